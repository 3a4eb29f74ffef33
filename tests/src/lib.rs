//! Shared pieces of the tests.

mod agreement;
mod flickermeter_light;
mod series;
mod table;

pub use agreement::Agreement;
pub use flickermeter_light::flickermeter_light;
pub use series::Series;
pub use table::{Row, table};
