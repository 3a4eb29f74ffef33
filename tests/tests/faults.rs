//! The fault run of the aisle marker: what it must have seen, and the README's table that tells it.
//!
//! To write the table anew: `MILLIGLOW_WRITE_README=1 cargo test -p milliglow-tests --test faults`.

use std::path::Path;

use milliglow_sim::description::{Description, read};
use milliglow_sim::faults::{FaultKind, FaultRow, Faults, faults};
use milliglow_sim::report::faults_markdown;
use milliglow_tests::readme;

fn marker(name: &str) -> Description {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../host-sim/luminaires")
        .join(name);
    read(&path).unwrap_or_else(|problem| panic!("{problem}")).0
}

fn counted(row: &FaultRow, name: &str) -> u64 {
    let found = row.counters.iter().find(|(counter, _)| *counter == name);
    found.unwrap_or_else(|| panic!("{name}")).1
}

/// Each kind did what it is called, was counted where the firmware looks, and was survived.
fn assert_seen(faults: &Faults, kinds: &[FaultKind]) {
    assert!(faults.seconds() >= 1_000.0, "{}", faults.seconds());
    let found: Vec<_> = faults.rows.iter().map(|row| row.kind).collect();
    assert_eq!(found, kinds);
    for row in &faults.rows {
        let name = row.kind.name();
        assert!(row.injected >= 8, "{name}: {}", row.injected);
        assert!(row.survived(faults.modulation_limit), "{name}: {row:?}");
        match row.kind {
            FaultKind::Flipped => {
                assert!(counted(row, "others") > 20 && counted(row, "unknown") > 10);
            }
            FaultKind::Overflow => assert_eq!(counted(row, "overflows"), 8 * row.injected),
            FaultKind::TimeJump => assert_eq!(counted(row, "jumps"), row.injected),
            FaultKind::Missed | FaultKind::MissedHeld => {
                let late = counted(row, "late");
                assert!(late >= row.injected);
                let is_held = row.kind == FaultKind::MissedHeld;
                assert_eq!(counted(row, "dropped"), if is_held { late } else { 0 });
                assert!(
                    row.below_90_hz > 0.01,
                    "stalls are seen: {}",
                    row.below_90_hz
                );
            }
            FaultKind::Underrun => {
                assert!(counted(row, "underruns") >= row.injected);
                assert!(row.below_90_hz > 1e-4, "{}", row.below_90_hz);
            }
            FaultKind::Temperature => {
                assert!(counted(row, "lost_inputs") >= row.injected);
                assert!(row.below_90_hz > 1e-5, "{}", row.below_90_hz);
            }
            FaultKind::Image => assert_eq!(counted(row, "refused"), row.injected),
            FaultKind::Lost | FaultKind::Doubled | FaultKind::Late => {
                assert!(counted(row, "taken") > 100);
            }
            FaultKind::LatePackets
            | FaultKind::LostPackets
            | FaultKind::FlippedSlots
            | FaultKind::PowerCut => {
                assert!(counted(row, "taken") > 100 && row.injected >= 8);
            }
            FaultKind::ShortPackets => assert_eq!(counted(row, "short"), row.injected),
            FaultKind::Foreign => assert_eq!(counted(row, "foreign"), row.injected),
            FaultKind::LongPackets | FaultKind::EarlyPackets => {
                assert_eq!(counted(row, "refused"), row.injected);
            }
            // And one at the end of each round.
            FaultKind::Silence => assert!(counted(row, "losses") >= 2 * row.injected),
        }
    }
}

/// One test for both tables: they are in one file.
#[test]
fn the_readme_tells_what_was_survived() {
    let tables = [
        (
            "aisle-marker-on-bus.toml",
            &FaultKind::OF_GEAR[..],
            "faults",
        ),
        (
            "aisle-marker-on-dmx.toml",
            &FaultKind::OF_SLOTS,
            "packet faults",
        ),
    ];
    for (name, kinds, mark) in tables {
        let found = faults(&marker(name), |_| ()).expect("a luminaire on a bus");
        println!("{}", faults_markdown(&found));
        assert_seen(&found, kinds);
        readme::keep(mark, &faults_markdown(&found));
    }
}

#[test]
fn a_luminaire_without_a_bus_has_none() {
    let mut marker = marker("aisle-marker-on-bus.toml");
    marker.bus = None;
    assert_eq!(faults(&marker, |_| ()), None);
}
