//! The operating table: density from light, edges given back, charge kept over changes of row.

mod changes;
mod correction;
mod edges;
mod held;
mod luminaire;
mod refused;
mod rows;
