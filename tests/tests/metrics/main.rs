//! The metrics of light against published values.

mod filtered_modulation;
mod gsdf;
mod ieee1789;
mod modulation;
mod phantom_array;
mod pst_lm;
mod shapes;
mod spectrum;
mod svm;
mod temporal_visibility;
