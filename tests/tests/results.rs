//! Keeps the README's lines on speed those of `benches/RESULTS.md`.
//!
//! To write them anew: `MILLIGLOW_WRITE_README=1 cargo test -p milliglow-tests --test results`.

use milliglow_tests::readme::keep;

#[test]
fn the_readme_quotes_the_results() {
    let results = include_str!("../../benches/RESULTS.md");
    let (_, rest) = results
        .split_once("<!-- results: begin -->\n")
        .expect("the begin mark");
    let (table, _) = rest
        .split_once("<!-- results: end -->\n")
        .expect("the end mark");
    keep("results", table);
}
