//! Packets against the tables of E1.11.

use crate::packets::{LEVEL, run, slots};
use milliglow::bus::dmx512::{LONGEST_US, Refusal, SHORTEST_US, SLOTS, Slots, Width};
use milliglow_tests::data::{Row as Published, rows};

/// Rows that bytes and time stamps cannot show: bits on the line, limits of senders only, prose, other protocols.
const NOT_FOR_A_RECEIVER_OF_BYTES: [&str; 16] = [
    "bit_rate",
    "bit_time",
    "slot_bits",
    "break_min_tx",
    "mab_min_tx",
    "break_min_rx",
    "mab_min_rx",
    "break_typ_tx",
    "mab_max",
    "interslot_max",
    "loss_of_data_behaviour",
    "16bit_pairing",
    "e131_priority",
    "e131_data_loss_timeout",
    "e131_universe",
    "e131_port",
];

/// Every row is either shown here or on the list above.
#[test]
fn timing_table() {
    let rows = rows("e111_timing.csv");
    for row in &rows {
        let name = row.text("name");
        match name {
            "slot_time" => {
                let by_packets = (frame_us(&rows, "512") - frame_us(&rows, "1_")) / 511;
                assert_eq!(row.parsed::<u32>("value"), by_packets);
            }
            "slots_max" => assert_eq!(row.parsed::<usize>("value"), SLOTS),
            "start_code_null" => assert_eq!(row.text("value"), "0x00"),
            "packet_min_rx" => assert_eq!(row.parsed::<u32>("value"), SHORTEST_US),
            "packet_max_rx" => assert_eq!(row.number("value") * 1e6, f64::from(LONGEST_US)),
            "packet_min_tx" => assert_eq!(measured(row.parsed("value"), 25), Ok(1_204)),
            "packet_max_tx" => assert_eq!(measured(1_000_000, 25), Ok(1_000_000)),
            _ if name.starts_with("frame_") => frame_row(name, row.parsed("value")),
            _ if name.starts_with("refresh_") => refresh_row(&rows, name, row.parsed("value")),
            _ => assert!(
                NOT_FOR_A_RECEIVER_OF_BYTES.contains(&name),
                "{name} is not tested"
            ),
        }
    }
}

fn frame_us(rows: &[Published], slots: &str) -> u32 {
    let name = format!("frame_time_{slots}");
    let row = rows.iter().find(|row| row.text("name").starts_with(&name));
    row.expect("a row").parsed("value")
}

/// The break-to-break time that a receiver measures of packets with so many slots.
fn measured(interval_us: u32, slot_count: usize) -> Result<u32, Refusal> {
    let mut slots = slots(&LEVEL);
    let packet = vec![0; slot_count + 1];
    for index in 0..4u32 {
        // Across the wrap of the time stamp.
        slots.packet(
            &packet,
            0u32.wrapping_sub(50).wrapping_add(index * interval_us),
        )?;
    }
    Ok(slots.interval_us())
}

fn slot_count(name: &str) -> usize {
    let digits = name.split('_').find_map(|part| part.parse().ok());
    digits.expect("slots in the name")
}

/// Packets that follow each other without a gap: the time is measured, or refused below the receiver's minimum.
fn frame_row(name: &str, us: u32) {
    let expected = if us < SHORTEST_US {
        Err(Refusal::TooSoon)
    } else {
        Ok(us)
    };
    assert_eq!(measured(us, slot_count(name)), expected, "{name}");
}

/// The rate is that of the time, but for the sender's minimum of 1204 us.
fn refresh_row(rows: &[Published], name: &str, hz: f64) {
    let us = frame_us(rows, &format!("{}_", slot_count(name))).max(1_204);
    let measured = measured(us, slot_count(name)).expect("a good packet");
    let tolerance = if name.contains("typical") { 0.1 } else { 5e-5 };
    assert!(
        (1e6 / f64::from(measured) - hz).abs() <= tolerance,
        "{name}"
    );
}

#[test]
fn sixteen_bits() {
    for row in rows("e111_16bit.csv") {
        let (coarse, fine) = (row.parsed("coarse"), row.parsed("fine"));
        let mut slots = slots(&LEVEL);
        slots.packet(&[0, coarse, fine], 0).expect("a good packet");
        slots.control_step();
        let [value] = slots.values();
        assert_eq!(value, row.parsed::<u16>("value16"));
        let fraction = f64::from(value) / 65_535.0;
        assert!((fraction - row.number("fraction_of_65535")).abs() <= row.number("abs_tolerance"));
        let [value] = alone(coarse).values();
        let fraction = f64::from(value) / 65_535.0;
        let expected = row.number("fraction_if_coarse_only_of_255");
        assert!((fraction - expected).abs() <= row.number("abs_tolerance"));
    }
}

fn alone(coarse: u8) -> Slots<1> {
    let mut configuration = LEVEL;
    configuration.rows[0].width = Width::Coarse;
    let mut slots = slots(&configuration);
    slots.packet(&[0, coarse], 0).expect("a good packet");
    run(&mut slots, 4_000);
    slots
}
