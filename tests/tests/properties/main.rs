//! What holds for all inputs: drawn by property from a fixed seed, 1024 cases each.

mod average;
mod charge;
mod dither;
mod ends;
mod fade;
mod fade_long;
mod fills;
mod fixed;
mod held;
mod knots;
mod luminaire_fades;
mod luminaire_knots;
mod luminaire_paths;
mod product;
mod requantise;
mod retarget;
mod wake;
