//! The ledger's own rules, and the page that quotes it.

use milliglow_m0::ledger::{self, Comparison, FIGURES, Row};

fn row(item: &str, cycles: f64) -> Row {
    let mut row = Row {
        item: item.into(),
        opt_level: "3".into(),
        ..Row::default()
    };
    row.figures[1] = Some(cycles);
    row
}

fn worse(ledger: &[Row], measured: &[Row]) -> usize {
    ledger::compare(ledger, measured).worse.len()
}

#[test]
fn five_percent_are_allowed_and_no_more() {
    let ledger = [row("a", 100.0)];
    assert_eq!(ledger::compare(&ledger, &ledger), Comparison::default());
    assert_eq!(worse(&ledger, &[row("a", 105.0)]), 0);
    assert_eq!(worse(&ledger, &[row("a", 105.1)]), 1);
    assert_eq!(ledger::compare(&ledger, &[row("a", 90.0)]).better.len(), 1);
}

#[test]
fn no_row_and_no_figure_goes_unnoticed() {
    assert_eq!(worse(&[row("a", 1.0)], &[row("b", 1.0)]), 2);
    let without = Row {
        figures: [None; FIGURES.len()],
        ..row("a", 1.0)
    };
    assert_eq!(worse(&[row("a", 1.0)], std::slice::from_ref(&without)), 1);
    assert_eq!(worse(&[without], &[row("a", 1.0)]), 1);
    assert_eq!(worse(&[row("peer_a", 1.0)], &[row("peer_a", 2.0)]), 0);
}

#[test]
fn the_readme_quotes_the_ledger() {
    let rows = ledger::read(&ledger::path()).expect("a ledger");
    let page = std::fs::read_to_string(ledger::readme()).expect("README.md");
    let anew = ledger::replace_blocks(&page, &rows).expect("a place for the ledger");
    assert!(
        page == anew,
        "the README's ledger is old: run bash tests/parts/ledger.sh --write"
    );
}
