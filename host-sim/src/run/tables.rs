//! The core's configuration of a described luminaire.

use fixed::types::U12F20;
use milliglow::density::{DitherWidth, Modulation, Stretch};
use milliglow::luminaire::{Configuration, Lowest, RangeChoice};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Settling, Table};
use milliglow::requantise::{Order, TimerPwm};

use milliglow::Light;

use super::driven::Driven;
use crate::description::{
    BelowLowest, Channel, Description, Modulation as Chosen, OperatingRow, SetPoints,
    Settling as Bridged, TIME_CONSTANTS, core_curve, light,
};

/// The operating table of every channel.
pub(super) fn tables(description: &Description) -> Vec<Table> {
    description
        .channels
        .iter()
        .map(|channel| table(description, channel))
        .collect()
}

pub(super) fn table(description: &Description, channel: &Channel) -> Table {
    let ranges = ranges(&channel.rows);
    let driven = Driven::new(description, channel);
    let losses = driven.rows.iter().map(|row| row.edge_loss);
    let mut reached = Light::FULL;
    let rows: Vec<_> = channel
        .rows
        .iter()
        .zip(ranges)
        .zip(losses)
        .map(|((row, range), loss)| {
            let corrected = if description.operating.edge_correction {
                loss
            } else {
                0.0
            };
            let setting = RowSetting {
                // Rounding must not lift it above what the row before reaches.
                from_light: light(row.from_light).min(reached),
                range,
                ratio: RangeRatio::from_fixed(U12F20::from_num(row.range_ratio))
                    .expect("a validated ratio"),
                stretch: stretch(row.stretch),
                edges: edge_loss(corrected),
            };
            let modulation = modulation(channel.modulation);
            // Edges that take a whole pulse cannot be given back: that the driver does not follow is judged.
            Row::new(&setting, modulation)
                .or_else(|_| {
                    Row::new(
                        &RowSetting {
                            edges: EdgeLoss::NONE,
                            ..setting
                        },
                        modulation,
                    )
                })
                .inspect(|row| reached = row.full())
                .expect("validated rows")
        })
        .collect();
    let table = Table::new(&rows, description.operating.hysteresis_shift);
    table
        .expect("validated rows")
        .with_settling(settling(description))
}

/// Each ratio is a set point; they are numbered from the highest current on.
fn ranges(rows: &[OperatingRow]) -> Vec<u8> {
    let mut ratios: Vec<_> = rows.iter().map(|row| row.range_ratio).collect();
    ratios.sort_by(f64::total_cmp);
    ratios.dedup();
    let number = |row: &OperatingRow| ratios.iter().position(|ratio| *ratio == row.range_ratio);
    rows.iter()
        .map(|row| number(row).unwrap_or(0) as u8)
        .collect()
}

fn edge_loss(ticks: f64) -> EdgeLoss {
    const UNITS: u32 = 1 << 26;
    let loss = EdgeLoss::from_ratio((ticks * f64::from(UNITS)).round() as i32, UNITS);
    loss.unwrap_or(EdgeLoss::NONE)
}

fn stretch(ticks: u8) -> Stretch {
    match ticks {
        1 => Stretch::One,
        2 => Stretch::Two,
        4 => Stretch::Four,
        8 => Stretch::Eight,
        _ => Stretch::Sixteen,
    }
}

fn settling(description: &Description) -> Settling {
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

/// With these tables, one a channel.
pub(super) fn configuration<'t, const N: usize>(
    description: &Description,
    tables: &'t [Table],
) -> Configuration<'t, N> {
    let operating = description.operating;
    let lowest = light(operating.lowest_light);
    let modulation = std::array::from_fn(|k| modulation(description.channels[k].modulation));
    Configuration {
        operating: std::array::from_fn(|k| &tables[k]),
        range_choice: match operating.set_points {
            SetPoints::Own => RangeChoice::Own,
            SetPoints::Common => RangeChoice::Common,
        },
        lowest: match operating.below_lowest {
            _ if operating.lowest_light == 0.0 => Lowest::Any,
            BelowLowest::Hold => Lowest::Clamp(lowest),
            BelowLowest::Off => Lowest::Off {
                below: lowest,
                hysteresis_shift: operating.hysteresis_shift,
            },
        },
        ..Configuration::new(core_curve(description.curve), modulation, description.seed)
    }
}
