//! Which benches the table shows, beside which peer and with which errors.

use crate::table::{Peer, Row};
use crate::{errors, peers};

/// A control step at 3 MHz and 1 kHz, in whole words of 32 ticks.
pub const WORDS_A_CONTROL_STEP: usize = 94;
const TICKS_A_CONTROL_STEP: u32 = 32 * WORDS_A_CONTROL_STEP as u32;

const fn alone(ours: &'static str) -> Row {
    Row {
        ours,
        error: None,
        peer: None,
        parts: 1,
    }
}

const fn a_tick(ours: &'static str) -> Row {
    Row {
        parts: TICKS_A_CONTROL_STEP,
        ..alone(ours)
    }
}

/// Times of fills are for 128 words, those of `luminaire/tick` for one tick of all channels.
pub const ROWS: [Row; 23] = [
    Row {
        error: Some(errors::of_exponential),
        peer: Some(Peer {
            name: "curve/libm_exp2f",
            error: || errors::of_curve(|level| peers::libm_curve(level).into()),
        }),
        ..alone("curve/exponential")
    },
    Row {
        error: Some(errors::of_exponential),
        peer: Some(Peer {
            name: "curve/micromath_exp",
            error: || errors::of_curve(|level| peers::micromath_curve(level).into()),
        }),
        ..alone("curve/exponential")
    },
    alone("curve/tail"),
    Row {
        error: Some(errors::of_lightness),
        ..alone("curve/lightness")
    },
    alone("curve/linear"),
    alone("curve/control_level"),
    alone("curve/inverse"),
    Row {
        error: Some(errors::of_first_order),
        peer: Some(Peer {
            name: "word/idsp",
            error: errors::of_idsp,
        }),
        ..alone("word/first_order")
    },
    alone("word/fill_first_order"),
    alone("word/fill_held"),
    Row {
        error: Some(errors::of_dithered),
        ..alone("word/fill_dithered")
    },
    Row {
        error: Some(errors::of_second_order),
        ..alone("word/fill_second_order")
    },
    alone("fade/short_6"),
    alone("fade/long_6"),
    Row {
        error: Some(errors::of_share),
        peer: Some(Peer {
            name: "product/fixed",
            error: || errors::of_product(peers::fixed_product),
        }),
        ..alone("product/share")
    },
    alone("luminaire/control_1"),
    alone("luminaire/control_5"),
    alone("luminaire/control_table_5"),
    alone("luminaire/control_9"),
    alone("luminaire/control_table_9"),
    a_tick("luminaire/tick_1"),
    a_tick("luminaire/tick_5"),
    a_tick("luminaire/tick_9"),
];
