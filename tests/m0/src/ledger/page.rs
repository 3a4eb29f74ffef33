//! The tables that the README quotes.

use super::Row;
use super::file::number;
use super::shares::shares;

/// Items and what a reader calls them.
const SHOWN: [(&str, &str); 32] = [
    ("tick_1", "a tick of a whole luminaire, 1 channel"),
    ("tick_5", "the same, 5 channels"),
    ("tick_9", "the same, 9 channels"),
    ("control_1", "control step, 1 channel"),
    ("control_5", "control step, 5 channels"),
    ("control_9", "control step, 9 channels"),
    ("rows_5", "the same with three rows a channel, 5 channels"),
    ("rows_9", "the same, 9 channels"),
    (
        "row_change_5",
        "control step, all of 5 channels change their row",
    ),
    ("wake_5", "control step out of the dark, 5 channels"),
    ("retarget_5", "new target, 5 channels"),
    ("new_5", "set-up at run time, 5 channels"),
    ("firmware_1", "least firmware, 1 channel"),
    ("firmware_5", "least firmware, 5 channels"),
    ("firmware_16", "least firmware, 16 channels"),
    (
        "firmware_5_first_order",
        "least firmware, 5 channels, first order alone",
    ),
    ("firmware_5_plain", "the same without operating tables"),
    ("ram_a_channel", "state a channel, any modulation"),
    (
        "ram_a_channel_first_order",
        "state a channel, first order alone",
    ),
    ("ram_a_channel_plain", "the same without operating tables"),
    ("curve_exponential", "`Exponential::light`"),
    ("peer_libm_exp2f", "the same by `libm::exp2f`"),
    ("peer_micromath_exp", "the same by `micromath`'s `exp`"),
    ("peer_cordic_exp", "the same by `cordic::exp` (16 bits)"),
    ("share_of_light", "`Share::of`"),
    ("first_order_word", "`FirstOrder::next_word`, 32 ticks"),
    ("peer_idsp_word", "the same by `idsp::Dsm<1>`"),
    (
        "held_64",
        "a tick of `Held::fill`, 64 words, the dearest of 19 standing densities",
    ),
    ("held_64_dark", "the same up to 2^-12"),
    (
        "port_9_sparse",
        "a tick and channel of `Luminaire::fill_port`, 9 channels at 1/256",
    ),
    ("next_duty", "`Requantiser::next_duty`, 12 bits"),
    ("fade_step_16", "`Fade::step`, 16 values"),
];

const COLUMNS: [(&str, &str, &str); 6] = [
    ("cycles", "3", "cycles"),
    ("cycles_slow_multiplier", "3", "slow multiplier"),
    ("cycles_one_wait_state", "3", "one wait state"),
    ("cycles", "s", "cycles at `s`"),
    ("flash_bytes", "s", "flash at `s`, bytes"),
    ("ram_bytes", "3", "RAM, bytes"),
];

/// The table of functions and firmwares.
#[must_use]
pub fn block(rows: &[Row]) -> String {
    let titles = COLUMNS.map(|(_, _, title)| title).join(" | ");
    let mut text = format!("| | {titles} |\n|---|{}\n", "---:|".repeat(COLUMNS.len()));
    for (item, name) in SHOWN {
        let cells = COLUMNS.map(|(column, opt_level, _)| {
            let row = rows.iter().find(|row| row.key() == (item, opt_level));
            row.and_then(|row| row.figure(column))
                .map_or(String::new(), number)
        });
        text += &format!("| {name} | {} |\n", cells.join(" | "));
    }
    text
}

/// The page with its tables made anew; none if it has no place for one.
#[must_use]
pub fn replace_blocks(page: &str, rows: &[Row]) -> Option<String> {
    let page = replace(page, "ledger", &block(rows))?;
    replace(&page, "cpu", &shares(rows))
}

/// The text between a mark's begin and its end.
fn replace(page: &str, mark: &str, text: &str) -> Option<String> {
    let (begin, end) = (
        format!("<!-- {mark}: begin -->\n"),
        format!("<!-- {mark}: end -->\n"),
    );
    let (before, rest) = page.split_once(&begin)?;
    let (_, after) = rest.split_once(&end)?;
    Some(format!("{before}{begin}{text}{end}{after}"))
}
