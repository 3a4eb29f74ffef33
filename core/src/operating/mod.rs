//! The operating table: from channel light to a range of the driver, a stretch, and the density that gives that light.
//!
//! Deep down a stream needs a high rate of pulses, so short ticks and a low set point of the driver; higher up it needs fewer
//! edges, so longer decisions. A [`Table`] says which from which light on. The row is chosen from channel
//! light before correction, with hysteresis in this one place; its [`Row::density`] gives back what the driver's edges take.
//!
//! ```
//! use milliglow::density::{Modulation, Stretch};
//! use milliglow::operating::{EdgeLoss, EdgeTimes, RangeRatio, Row, RowSetting, Table};
//! use milliglow::{Light, constant};
//!
//! /// Edges of a 3 MHz stream, 333 333 ps a tick.
//! const EDGES: EdgeLoss = constant!(EdgeLoss::from_times(
//!     &EdgeTimes { rise_ps: 200_000, fall_ps: 80_000, on_delay_ps: 0, off_delay_ps: 0 },
//!     333_333,
//! ));
//! /// Below 5 % an eighth of the current, above it all of it and four ticks a decision.
//! const ROWS: [Row; 2] = [
//!     constant!(Row::new(&RowSetting {
//!         from_light: Light::BLACK,
//!         range: 1,
//!         ratio: constant!(RangeRatio::from_ratio_nearest(8, 1)),
//!         stretch: Stretch::One,
//!         edges: EDGES,
//!     }, Modulation::FirstOrder)),
//!     constant!(Row::new(&RowSetting {
//!         from_light: constant!(Light::from_ratio_nearest(5, 100)),
//!         range: 0,
//!         ratio: RangeRatio::ONE,
//!         stretch: Stretch::Four,
//!         edges: EDGES,
//!     }, Modulation::FirstOrder)),
//! ];
//! static TABLE: Table = constant!(Table::new(&ROWS, 4)); // left downwards a sixteenth lower
//! assert_eq!(TABLE.row(constant!(Light::from_ratio_nearest(1, 100)), 0), 0);
//! ```

mod edge_loss;
mod gain;
mod range_ratio;
mod row;
mod table;

pub use edge_loss::{EdgeLoss, EdgeTimes};
pub use range_ratio::RangeRatio;
pub use row::{Row, RowSetting};
pub(crate) use table::Placed;
pub use table::{Settling, Table};
