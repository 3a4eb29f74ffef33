//! `[modulation]`, and the same keys in a channel: from density to a one-bit stream or a timer's duties.

use super::key::{Key, key};
use super::table::Table;
use super::value::{Kind, Refusal, Whole, from_to, whole};
use super::{Modulation, Problem};
use toml::de::DeValue;

pub(super) const NAME: &str = "modulation";
pub(super) const KEYS: [&str; 3] = [ORDER.name, DITHER_STEPS.name, TIMER_BITS.name];

const ORDER: Key<Whole<u8>, u8> = key("order", whole(0, 2, ""), 1);
const DITHER_STEPS: Key<DitherWidth, Option<u8>> = key("dither_steps", DitherWidth, None);
const TIMER_BITS: Key<TimerBits, Option<u8>> = key("timer_bits", TimerBits, None);

/// 2^-8 of a quantiser step.
const NARROWEST_SHIFT: u8 = 8;

/// None, or a width of 2^-shift quantiser steps.
pub(super) struct DitherWidth;

impl Kind for DitherWidth {
    type Value = Option<u8>;

    fn read(&self, value: &DeValue<'_>) -> Result<Option<u8>, Refusal> {
        let width = from_to(0.0, 1.0, "").read(value)?;
        if width == 0.0 {
            return Ok(None);
        }
        let shift = (0..=NARROWEST_SHIFT).find(|shift| width == 0.5_f64.powi((*shift).into()));
        shift.map(Some).ok_or(Refusal::Value)
    }

    fn allowed(&self) -> String {
        "0 (none), or 1, 0.5, 0.25, 0.125, ... halved down to 0.00390625 quantiser steps".to_owned()
    }
}

/// None, or the bits of a timer's duty.
pub(super) struct TimerBits;

impl Kind for TimerBits {
    type Value = Option<u8>;

    fn read(&self, value: &DeValue<'_>) -> Result<Option<u8>, Refusal> {
        match const { whole::<u8>(0, 16, "") }.read(value)? {
            0 => Ok(None),
            1..8 => Err(Refusal::Value),
            bits => Ok(Some(bits)),
        }
    }

    fn allowed(&self) -> String {
        "0 (a one-bit stream, no timer), or a timer of 8 to 16 bits".to_owned()
    }
}

/// The modulation of the channels that do not choose their own.
#[derive(Clone, Copy)]
pub(super) struct Common {
    order: u8,
    dither: Option<u8>,
    timer: Option<u8>,
}

pub(super) fn read_common(root: &Table<'_>) -> Result<Common, Problem> {
    let table = root.table(NAME)?.unwrap_or_else(Table::empty);
    table.only(&KEYS)?;
    let common = Common {
        order: table.take(&ORDER)?,
        dither: table.take(&DITHER_STEPS)?,
        timer: table.take(&TIMER_BITS)?,
    };
    read_own(&table, common)?;
    Ok(common)
}

/// The modulation of one channel: where dither does not fit it takes none from `[modulation]`, but must not ask for it.
pub(super) fn read_own(channel: &Table<'_>, common: Common) -> Result<Modulation, Problem> {
    let order = channel.find(&ORDER)?.unwrap_or(common.order);
    let timer = channel.find(&TIMER_BITS)?.unwrap_or(common.timer);
    let own_dither = channel.find(&DITHER_STEPS)?;
    let width_shift = own_dither.unwrap_or(common.dither);
    match (order, width_shift, timer) {
        (_, width_shift, Some(bits)) => Ok(Modulation::Timer {
            bits,
            order,
            width_shift,
        }),
        (0, ..) => Err(Problem::new("`order` = 0 goes with a timer only")
            .about(channel.path_of(ORDER.name))
            .at(channel.span_of(&ORDER))
            .allowed("1 or 2, or 0 where `timer_bits` is 8 to 16")),
        (1, None, None) => Ok(Modulation::FirstOrder),
        (1, Some(width_shift), None) => Ok(Modulation::Dithered { width_shift }),
        _ if own_dither.flatten().is_none() => Ok(Modulation::SecondOrder),
        _ => Err(
            Problem::new("`dither_steps` goes with first order or a timer")
                .about(channel.path_of(DITHER_STEPS.name))
                .at(channel.span_of(&DITHER_STEPS))
                .allowed("0 where order = 2 without a timer"),
        ),
    }
}
