//! Whatever the bytes, the reader answers with a description or one problem, never with a panic.

use crate::FULL;
use milliglow_sim::description::parse;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// Deletes, overwrites or repeats `length` bytes at `place` (of 65 536ths).
fn damage(bytes: &mut Vec<u8>, (kind, place, length, byte): (u8, u16, usize, u8)) {
    let start = bytes.len() * usize::from(place) / 65_536;
    let end = (start + length).min(bytes.len());
    match kind {
        0 => drop(bytes.drain(start..end)),
        1 => bytes[start..end].fill(byte),
        _ => {
            let again = bytes[start..end].to_vec();
            bytes.splice(start..start, again);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4_000, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn damaged_files_never_panic(
        damages in prop::collection::vec((0_u8..3, any::<u16>(), 1_usize..40, any::<u8>()), 1..6),
    ) {
        let mut bytes = FULL.as_bytes().to_vec();
        damages.into_iter().for_each(|one| damage(&mut bytes, one));
        let text = String::from_utf8_lossy(&bytes);
        if let Err(problem) = parse(&text, "damaged.toml") {
            let (line, column) = (problem.line().unwrap(), problem.column().unwrap());
            let place = format!("damaged.toml:{line}:{column}\n");
            prop_assert!(problem.render(false).contains(&place), "{problem}");
            prop_assert!(!problem.render(true).is_empty());
        }
    }
}

#[test]
fn a_mebibyte_of_anything_is_refused_in_a_short_message() {
    let mebibyte = |piece: &str| piece.repeat((1 << 20) / piece.len());
    let many_keys: String = (0..100_000).map(|index| format!("k{index}=1\n")).collect();
    let texts = [
        mebibyte("["),
        mebibyte("a."),
        mebibyte("[a]\n"),
        mebibyte("[[channels]]\n"),
        mebibyte("x"),
        format!("schema = 1\n{} = 1", mebibyte("x")),
        format!("schema = 1\nname = \"{}\"", mebibyte("é")),
        format!("schema = 1\nchannels = [{}]", mebibyte("{},")),
        format!("schema = 1\nname = {}", mebibyte("9")),
        format!("schema = 1\n{many_keys}"),
    ];
    for text in texts {
        let problem = parse(&text, "large.toml").unwrap_err();
        let rendered = problem.render(true);
        let start: String = text.chars().take(30).collect();
        assert!(
            rendered.len() < 4_000,
            "{start}: a message of {} bytes",
            rendered.len()
        );
    }
}
