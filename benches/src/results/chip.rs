//! What the ledger of the Cortex-M0 says, quoted and not measured here.

use std::fmt::Write;
use std::io;

use super::folder;
use super::page::{Page, table};

/// Items, or begins of items, with what they are.
const SHOWN: [(&str, &str); 12] = [
    ("cpu_", "% of a 48 MHz processor, see the ledger's head"),
    ("tick_5", "a tick of five channels, the small profile"),
    ("tick_9", "a tick of nine channels, the small profile"),
    ("held_", "a tick of the fast profile, a standing density"),
    ("port_4", "a tick and channel on a port, four channels"),
    ("port_9", "the same, nine channels"),
    ("port_16", "the same, sixteen channels"),
    ("fade_tick", "a tick of a fade"),
    ("first_order_word", "a word of first order"),
    ("second_order_fill", "32 words of second order"),
    ("dithered_fill", "32 words, dithered"),
    ("control_5", "a control step of five channels"),
];

/// Writes the section of the chip.
pub(super) fn quote(page: &mut Page) -> io::Result<()> {
    let ledger = std::fs::read_to_string(folder().join("../tests/m0/ledger.csv"))?;
    let (remarks, rows): (Vec<_>, Vec<_>) = ledger.lines().partition(|line| line.starts_with('#'));
    let mut words = "Quoted from `tests/m0/ledger.csv`, counted and not measured on silicon; its head explains the names.".to_owned();
    if let Some(compiler) = remarks
        .iter()
        .find_map(|line| line.strip_prefix("# Compiler: "))
    {
        write!(words, " Compiler: {compiler}.").map_err(io::Error::other)?;
    }
    let mut shown = Vec::new();
    for (begin, what) in SHOWN {
        let rows = rows.iter().map(|row| row.split(',').collect::<Vec<_>>());
        for row in rows.filter(|row| row[0].starts_with(begin)) {
            let cells = [row[0], what, row[1], row[3], row[4], row[5]];
            shown.push(cells.map(str::to_owned).to_vec());
        }
    }
    let head = [
        "item",
        "what",
        "opt-level",
        "cycles",
        "slow multiplier",
        "one wait state",
    ];
    page.section(
        "The chip",
        &words,
        "bash tests/parts/ledger.sh",
        &table(&head, &shown),
    );
    Ok(())
}
