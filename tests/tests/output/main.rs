//! Every form of output says the same, tick by tick: drawn by property from a fixed seed.

mod duties;
mod forms;
mod port_buffers;
mod refill;
mod transfers;
