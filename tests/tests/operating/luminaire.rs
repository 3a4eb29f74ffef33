//! Luminaires with operating tables: what the firmware sees.

use milliglow::curve::Curve;
use milliglow::density::{Density, Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Lowest, Luminaire, RangeChoice, Target};
use milliglow::operating::{Row, Settling, Table};
use milliglow::{Level, Light, Recipe, Share};
use milliglow_tests::stream::ticks;
use milliglow_tests::tables::row;

const FIRST_ORDER: Modulation = Modulation::FirstOrder;

fn light(part: f64) -> Light {
    Light::from_bits((part * 4_294_967_296.0) as u32)
}

fn two_ranges() -> Table {
    let low = row(Light::BLACK, 8, Stretch::One, 0, FIRST_ORDER);
    let high = row(light(0.1), 1, Stretch::Eight, 0, FIRST_ORDER);
    Table::new(&[low, high], 3).expect("allowed")
}

fn luminaire<const N: usize>(
    table: &Table,
    range_choice: RangeChoice,
    lowest: Lowest,
) -> Luminaire<'_, N> {
    let operating = [table; N];
    let plain = Configuration::new(Curve::Linear, [FIRST_ORDER; N], 1);
    Luminaire::new(&Configuration {
        operating,
        range_choice,
        lowest,
        ..plain
    })
    .expect("allowed")
}

fn go<const N: usize>(luminaire: &mut Luminaire<'_, N>, part: f64, shares: [f64; N]) {
    let recipe =
        Recipe::new(shares.map(|share| Share::from_bits((share * 4_294_967_295.0) as u32)));
    let level = Level::from_bits((part * 65_535.0) as u16);
    luminaire.fade_to(&Target { level, recipe }, Pace::AT_ONCE);
    luminaire.control_step();
}

#[test]
fn every_channel_in_the_range_of_its_own_light_or_all_in_the_highest() {
    let table = two_ranges();
    let mut own = luminaire::<3>(&table, RangeChoice::Own, Lowest::Any);
    let mut common = luminaire::<3>(&table, RangeChoice::Common, Lowest::Any);
    let lit = |luminaire: &Luminaire<'_, 3>| {
        let channels = luminaire.rows().into_iter().zip(luminaire.densities());
        channels
            .map(|(row, density)| density.as_f64() * row.full().as_f64())
            .collect::<Vec<_>>()
    };
    for (part, own_ranges, common_range) in [
        (0.05, [8, 8, 8], 8),
        (0.5, [1, 8, 8], 1),
        (0.095, [1, 8, 8], 1),
        (0.08, [8, 8, 8], 8),
    ] {
        go(&mut own, part, [1.0, 0.1, 0.05]);
        go(&mut common, part, [1.0, 0.1, 0.05]);
        assert_eq!(
            (own.ranges(), common.ranges()),
            (own_ranges, [common_range; 3]),
            "{part}"
        );
        for ((own, common), share) in lit(&own)
            .into_iter()
            .zip(lit(&common))
            .zip([1.0, 0.1, 0.05])
        {
            assert!((own - common).abs() < 1e-8 && (own / part / share - 1.0).abs() < 1e-3);
        }
    }
}

#[test]
fn light_below_the_lowest_is_lifted_or_goes_off() {
    let lowest = light(0.01);
    let density = |luminaire: &Luminaire<'_, 1>| luminaire.densities()[0];
    let mut lifted = luminaire::<1>(&Table::PLAIN, RangeChoice::Own, Lowest::Clamp(lowest));
    for (part, expected) in [
        (0.001, Density::from_light(lowest)),
        (0.0, Density::NONE),
        (1.0, Density::FULL),
    ] {
        go(&mut lifted, part, [1.0]);
        assert_eq!(density(&lifted), expected);
    }
    let off = Lowest::Off {
        below: lowest,
        hysteresis_shift: 2,
    };
    let mut off = luminaire::<1>(&Table::PLAIN, RangeChoice::Own, off);
    for (part, lit) in [
        (0.011, false),
        (0.013, true),
        (0.0101, true),
        (0.0099, false),
        (0.012, false),
        (0.5, true),
        (0.0, false),
    ] {
        go(&mut off, part, [1.0]);
        assert_eq!(density(&off) != Density::NONE, lit, "{part}");
    }
}

/// The ticks at which a stream rises.
fn rises(words: &[u32]) -> Vec<usize> {
    let lit: Vec<bool> = ticks(words).collect();
    (1..lit.len()).filter(|&k| lit[k] && !lit[k - 1]).collect()
}

#[test]
fn edges_of_stretched_channels_do_not_coincide() {
    let sixteen = Table::new(&[row(Light::BLACK, 1, Stretch::Sixteen, 0, FIRST_ORDER)], 3).unwrap();
    let mut luminaire = luminaire::<5>(&sixteen, RangeChoice::Own, Lowest::Any);
    go(&mut luminaire, 0.37, [1.0, 0.9, 0.8, 0.7, 0.6]);
    let mut words = [[0; 200]; 5];
    luminaire.fill(words.each_mut().map(|words| &mut words[..]));
    for (k, stream) in words.iter().enumerate() {
        let expected = [0, 3, 6, 9, 12][k];
        assert!(
            rises(stream).iter().all(|rise| rise % 16 == expected),
            "{k}"
        );
        assert!(!rises(stream).is_empty());
    }
    // Dark and full from the lag on.
    for (part, word) in [(0.0, 0), (1.0, u32::MAX)] {
        go(&mut luminaire, part, [1.0; 5]);
        let _ = luminaire.next_words();
        assert_eq!(luminaire.next_words(), [word; 5]);
    }
}

#[test]
fn no_pulse_or_gap_is_shorter_than_a_decision() {
    let low = row(Light::BLACK, 8, Stretch::Two, 0, FIRST_ORDER);
    let high = row(light(0.1), 1, Stretch::Eight, 0, FIRST_ORDER);
    let table = Table::new(&[low, high], 3).unwrap();
    let mut luminaire = luminaire::<2>(&table, RangeChoice::Own, Lowest::Any);
    let mut streams = [vec![], vec![]];
    for k in 1..2_000_u32 {
        go(
            &mut luminaire,
            f64::from(k * 7_919 % 65_000 + 1) / 65_535.0 / f64::from(1 + k % 9),
            [1.0, 0.6],
        );
        for (stream, word) in streams.iter_mut().zip(luminaire.next_words()) {
            stream.push(word);
        }
    }
    for stream in streams {
        let lit: Vec<bool> = ticks(&stream).collect();
        let shortest = lit.chunk_by(|a, b| a == b).map(<[bool]>::len).min();
        assert_eq!(shortest, Some(table.shortest_ticks() as usize));
    }
}

#[test]
fn a_plain_table_is_no_table() {
    let table = Table::new(&[Row::PLAIN], 3).unwrap();
    assert!(table.rows().eq(Table::PLAIN.rows()));
    let mut luminaire = luminaire::<1>(&table, RangeChoice::Own, Lowest::Any);
    go(&mut luminaire, 0.3, [1.0]);
    assert_eq!(
        (luminaire.ranges(), luminaire.densities()[0].to_bits()),
        ([0], 19_660 * 65_537)
    );
}

/// The light, in ticks of full light, that is missing or too much after a change of range whose set point moves with a
/// time constant of 500 ticks.
fn missing(settling: Settling, parts: [f64; 2]) -> f64 {
    let table = two_ranges().with_settling(settling);
    let mut luminaire = luminaire::<1>(&table, RangeChoice::Own, Lowest::Any);
    go(&mut luminaire, parts[0], [1.0]);
    luminaire.fill([&mut [0; 200]]);
    let before = luminaire.rows()[0].full().as_f64();
    go(&mut luminaire, parts[1], [1.0]);
    let (after, density) = (
        luminaire.rows()[0].full().as_f64(),
        luminaire.densities()[0].as_f64(),
    );
    let mut words = [0; 1_000];
    luminaire.fill([&mut words]);
    let set_point = |tick: usize| after + (before - after) * (-(tick as f64) / 500.0).exp();
    let given: f64 = ticks(&words)
        .enumerate()
        .map(|(tick, one)| if one { set_point(tick) } else { 0.0 })
        .sum();
    density * after * 32_000.0 - given
}

#[test]
fn a_booked_set_point_gives_what_was_asked_for() {
    let booked = Settling::Booked {
        ticks: 500,
        words: 80,
    };
    for parts in [[0.09, 0.2], [0.3, 0.05]] {
        let (raw, mended) = (missing(Settling::AtOnce, parts), missing(booked, parts));
        assert!(raw.abs() > 80.0, "{raw}");
        // Within two decisions of the dearer range, 8 ticks each.
        assert!(mended.abs() < 16.0, "{mended} of {raw}");
    }
}

/// What a lag holds back shines in the next row's range: that is booked, so that no charge is lost however often the row changes.
#[test]
fn a_lag_loses_no_charge() {
    let table = two_ranges();
    let mut luminaire = luminaire::<3>(&table, RangeChoice::Own, Lowest::Any);
    let mut owed = [0.0; 3];
    for k in 0..1_000 {
        go(
            &mut luminaire,
            if k % 2 == 0 { 0.11 } else { 0.08 },
            [1.0; 3],
        );
        let channels = luminaire.rows().into_iter().zip(luminaire.densities());
        let full = channels
            .clone()
            .map(|(row, _)| row.full().as_f64())
            .collect::<Vec<_>>();
        let asked = channels
            .map(|(row, density)| row.full().as_f64() * density.as_f64())
            .collect::<Vec<_>>();
        let mut words = [[0; 3]; 3];
        luminaire.fill(words.each_mut().map(|words| &mut words[..]));
        for channel in 0..3 {
            let ones = ticks(&words[channel]).filter(|&one| one).count();
            owed[channel] += 96.0 * asked[channel] - ones as f64 * full[channel];
        }
        // A decision of eight ticks, and at most five ticks held back.
        assert!(
            owed.iter().all(|owed: &f64| owed.abs() < 13.0),
            "{owed:?} after {k}"
        );
    }
}
