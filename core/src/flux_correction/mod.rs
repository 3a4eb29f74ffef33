//! Flux correction: what a channel's bin and the temperature of its junction do to its flux is given back in the shares, off the
//! control step.
//!
//! ```text
//! board temperature, channel lights (10 times a second or less) -> junctions -> flux of each channel
//!   recipe -> shares over those fluxes -> all alike, so that none is above full and the power keeps its cap -> recipe
//! ```
//!
//! A junction is as warm as the board, and warmer by its thermal resistance times its electrical power, which follows the light of
//! the channel with one time constant. The corrected recipe goes to the luminaire like any other, so that its control step pays
//! nothing.
//!
//! ```
//! use milliglow::flux_correction::{Channel, Configuration, Estimator, Factor, FluxTable, Heating, Temperature};
//! use milliglow::{Light, Recipe, Share, constant};
//!
//! const RED: FluxTable = constant!(FluxTable::new(&[
//!     (constant!(Temperature::from_millicelsius_nearest(25_000)), Factor::ONE),
//!     (constant!(Temperature::from_millicelsius_nearest(85_000)), constant!(Factor::from_ratio_nearest(53, 100))),
//! ]));
//! const HEATING: Heating = Heating { milliwatts: 3_000, millikelvin_per_watt: 10_000, time_constant_ms: 8_000 };
//! static CONFIGURATION: Configuration<2> = constant!(Configuration::new(
//!     [constant!(Channel::new(RED, Factor::ONE, HEATING)), constant!(Channel::new(FluxTable::STEADY, Factor::ONE, HEATING))],
//!     100, // ms from step to step
//!     constant!(Temperature::from_millicelsius_nearest(45_000)), // where the sensor says nothing sensible
//! ));
//! let mut estimator = Estimator::new(&CONFIGURATION);
//! let recipe = Recipe::new([constant!(Share::from_ratio_nearest(1, 2)); 2]);
//! for _ in 0..1_000 {
//!     let corrected = estimator.correct(&recipe);
//!     // luminaire.fade_to(&Target { level, recipe: corrected }, pace);
//!     let sensor = Temperature::from_millicelsius_nearest(30_000).ok();
//!     estimator.step(sensor, &corrected.lights(Light::FULL));
//! }
//! let [red, white] = *estimator.correct(&recipe).shares();
//! assert!((0.61..0.62).contains(&red.as_f64()) && white == recipe.shares()[1]);
//! assert_eq!(estimator.lost_inputs(), 0);
//! ```

mod channel;
mod configuration;
mod estimator;
mod factor;
mod reciprocal;
mod shares;
mod table;
mod temperature;

pub use channel::{Channel, Heating};
pub use configuration::Configuration;
pub use estimator::Estimator;
pub use factor::Factor;
pub use table::FluxTable;
pub use temperature::Temperature;
