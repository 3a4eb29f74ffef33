//! The core's configuration of a described luminaire.

use milliglow::density::{DitherWidth, Modulation};
use milliglow::luminaire::{Configuration, Lowest, RangeChoice};
use milliglow::operating::{Settling, Table};
use milliglow::requantise::{Order, TimerPwm};

use super::row_numbers::row_numbers;
use crate::description::{
    BelowLowest, Channel, Description, Modulation as Chosen, SetPoints, Settling as Bridged,
    TIME_CONSTANTS, core_curve, light,
};

/// The operating table of every channel.
pub(super) fn tables(description: &Description) -> Vec<Table> {
    description
        .channels
        .iter()
        .map(|channel| table(description, channel))
        .collect()
}

pub(crate) fn table(description: &Description, channel: &Channel) -> Table {
    let modulation = modulation(channel.modulation);
    let rows: Vec<_> = row_numbers(description, channel)
        .iter()
        .map(|numbers| numbers.row(modulation).expect("validated rows"))
        .collect();
    let table = Table::new(&rows, description.operating.hysteresis_shift);
    table
        .expect("validated rows")
        .with_settling(settling(description))
}

pub(crate) fn settling(description: &Description) -> Settling {
    let ticks = description.operating.settling_s * f64::from(description.tick_hz);
    match description.operating.settling {
        _ if ticks == 0.0 => Settling::AtOnce,
        Bridged::DarkPause => Settling::Dark {
            words: (ticks / 32.0).ceil() as u8,
        },
        Bridged::Booked => Settling::Booked {
            ticks: ticks.round() as u16,
            words: (TIME_CONSTANTS * ticks / 32.0).ceil() as u8,
        },
    }
}

pub(super) fn modulation(chosen: Chosen) -> Modulation {
    let width = |shift: u8| DitherWidth::new(shift).expect("a validated width");
    match chosen {
        Chosen::FirstOrder => Modulation::FirstOrder,
        Chosen::Dithered { width_shift } => Modulation::Dithered(width(width_shift)),
        Chosen::SecondOrder => Modulation::SecondOrder,
        Chosen::Timer {
            bits,
            order,
            width_shift,
        } => {
            let order = match order {
                0 => Order::Rounding,
                1 => Order::First,
                _ => Order::Second,
            };
            let pwm = TimerPwm::new(bits, order, width_shift.map(width));
            Modulation::Timer(pwm.expect("a validated timer"))
        }
    }
}

pub(crate) fn range_choice(description: &Description) -> RangeChoice {
    match description.operating.set_points {
        SetPoints::Own => RangeChoice::Own,
        SetPoints::Common => RangeChoice::Common,
    }
}

pub(crate) fn lowest(description: &Description) -> Lowest {
    let operating = description.operating;
    let lowest = light(operating.lowest_light);
    match operating.below_lowest {
        _ if operating.lowest_light == 0.0 => Lowest::Any,
        BelowLowest::Hold => Lowest::Clamp(lowest),
        BelowLowest::Off => Lowest::Off {
            below: lowest,
            hysteresis_shift: operating.hysteresis_shift,
        },
    }
}

/// With these tables, one a channel.
pub(super) fn configuration<'t, const N: usize>(
    description: &Description,
    tables: &'t [Table],
) -> Configuration<'t, N> {
    let modulation = std::array::from_fn(|k| modulation(description.channels[k].modulation));
    Configuration {
        operating: std::array::from_fn(|k| &tables[k]),
        range_choice: range_choice(description),
        lowest: lowest(description),
        ..Configuration::new(core_curve(description.curve), modulation, description.seed)
    }
}
