//! CSV: a column of times and one of values, or values alone; comma, semicolon or tab; `#` begins a comment.

mod decimal;
mod layout;
mod lines;
mod parsing;
mod resampled;
mod rows;
mod timing;

pub use layout::TimeUnit;
pub use timing::Timing;

use std::path::Path;

use layout::Layout;
use resampled::Resampled;
use rows::Rows;

use super::pieces::blocks;
use super::{Options, Pieces, Refusal, asked_rate};

#[derive(Clone, Debug)]
pub(super) struct Form {
    layout: Layout,
    clock: Clock,
}

/// Where times come from.
#[derive(Clone, Copy, Debug)]
enum Clock {
    /// From the option.
    Rate(f64),
    /// From the first column.
    Stamps(Timing),
}

impl Form {
    pub(super) fn of(file: &Path, options: &Options) -> Result<Self, Refusal> {
        let layout = Layout::of(file, options.time_unit)?;
        let clock = match (layout.has_times, asked_rate(file, options)?) {
            (true, None) => Clock::Stamps(Timing::of(file, Rows::open(file, layout)?)?),
            (false, Some(rate_hz)) => Clock::Rate(rate_hz),
            (true, Some(_)) => {
                let what = "times and values; allowed is --rate with a column of values alone";
                return Err(Refusal::of(file, what));
            }
            (false, None) => {
                let what = "a column of values alone; needed is its --rate HZ";
                return Err(Refusal::of(file, what));
            }
        };
        Ok(Self { layout, clock })
    }

    pub(super) fn rate_hz(&self) -> f64 {
        match self.clock {
            Clock::Rate(rate_hz) => rate_hz,
            Clock::Stamps(timing) => timing.rate_hz,
        }
    }

    pub(super) fn timing(&self) -> Option<Timing> {
        match self.clock {
            Clock::Rate(_) => None,
            Clock::Stamps(timing) => Some(timing),
        }
    }

    pub(super) fn pieces(&self, file: &Path) -> Result<Pieces, Refusal> {
        let mut rows = Rows::open(file, self.layout)?;
        match self.clock {
            Clock::Stamps(timing) => Ok(Box::new(Resampled::new(rows, timing))),
            Clock::Rate(_) => Ok(blocks(move |block| match rows.next() {
                None => Ok(false),
                Some(row) => {
                    block.push(row?.value);
                    Ok(true)
                }
            })),
        }
    }
}
