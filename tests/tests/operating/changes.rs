//! Changes of range and stretch lose no charge and make no step, whatever their moment and order.

use milliglow::curve::Curve;
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::operating::{Row, Settling, Table};
use milliglow::{Level, Light, Recipe, Share};
use milliglow_tests::cases::{cases, log_uniform};
use milliglow_tests::stream::{exact, ticks};
use milliglow_tests::tables::tables;
use proptest::collection::vec;
use proptest::prelude::*;

/// Light x ticks in units of 2^-64, exact.
type LightTicks = i128;

/// What a tick of a row is worth at full density, in units of 2^-32.
fn full(row: &Row) -> LightTicks {
    if row.full() == Light::FULL {
        1 << 32
    } else {
        row.full().to_bits().into()
    }
}

/// What a decision of a row is worth.
fn decision(row: &Row) -> LightTicks {
    (full(row) * i128::from(row.decision().stretch.ticks())) << 32
}

/// A luminaire of one channel and the light that it owes.
struct Account<'t> {
    luminaire: Luminaire<'t, 1>,
    owed: LightTicks,
    /// The dearest decision so far.
    dearest: LightTicks,
    changes: u32,
}

impl<'t> Account<'t> {
    fn new(table: &'t Table, modulation: Modulation) -> Self {
        let configuration = Configuration {
            operating: [table],
            ..Configuration::new(Curve::Linear, [modulation], 7)
        };
        let luminaire = Luminaire::new(&configuration).expect("a seed");
        Self {
            luminaire,
            owed: 0,
            dearest: 0,
            changes: 0,
        }
    }

    /// Draws some words at a light, perhaps none; the most and the least owed after any tick.
    fn draw(&mut self, level: u32, words: usize) -> (LightTicks, LightTicks) {
        let recipe = Recipe::new([Share::FULL]);
        let before = self.luminaire.rows()[0];
        self.luminaire.fade_to(
            &Target {
                level: Level::from_bits(level as u16),
                recipe,
            },
            Pace::AT_ONCE,
        );
        self.luminaire.control_step();
        let row = self.luminaire.rows()[0];
        self.changes += u32::from(before != row);
        self.dearest = self.dearest.max(decision(row));
        let asked = i128::from(exact(self.luminaire.densities()[0])) * full(row);
        let mut drawn = vec![0; words];
        self.luminaire.fill([&mut drawn]);
        let (mut most, mut least) = (self.owed, self.owed);
        for one in ticks(&drawn) {
            self.owed += asked - if one { full(row) << 32 } else { 0 };
            (most, least) = (most.max(self.owed), least.min(self.owed));
        }
        (most, least)
    }

    /// One decision of the dearest row so far, and 3e-7 of it a change for rounding.
    fn bound(&self) -> LightTicks {
        self.dearest + self.dearest / 10_000_000 * 3 * i128::from(self.changes + 1)
    }
}

/// Lights and for how many words each is held; now and then none.
fn steps() -> impl Strategy<Value = Vec<(u32, usize)>> {
    vec((log_uniform(1..=65_535), 0_usize..40), 2..60)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn first_order_stays_within_one_decision(table in tables(Modulation::FirstOrder), steps in steps()) {
        let mut account = Account::new(&table, Modulation::FirstOrder);
        for (level, words) in steps {
            let (most, least) = account.draw(level, words);
            let bound = account.bound();
            prop_assert!(most <= bound && least >= -bound, "{most} {least} of {bound}");
        }
    }

    #[test]
    fn dithered_stays_within_two_decisions(table in tables(Modulation::SecondOrder), steps in steps()) {
        let mut account = Account::new(&table, Modulation::Dithered(milliglow::density::DitherWidth::ONE_STEP));
        for (level, words) in steps {
            let (most, least) = account.draw(level, words);
            let bound = 2 * account.bound();
            prop_assert!(most <= bound && least >= -bound, "{most} {least} of {bound}");
        }
    }

    /// After a dark pause what was owed has been given; while it lasts not a single tick is lit.
    #[test]
    fn a_dark_pause_is_given_back(table in tables(Modulation::FirstOrder), words in 1_u8..20, levels in [log_uniform(1..=30_000), log_uniform(1..=30_000)]) {
        let table = table.with_settling(Settling::Dark { words });
        let mut account = Account::new(&table, Modulation::FirstOrder);
        account.draw(levels[0], 2_000);
        let from = account.luminaire.rows()[0];
        let start = account.owed;
        account.draw(levels[1], 0);
        let to = account.luminaire.rows()[0];
        let dark = if from.range() == to.range() { 0 } else { usize::from(words) };
        let asked = i128::from(exact(account.luminaire.densities()[0])) * full(to);
        if dark > 0 {
            account.draw(levels[1], dark);
            prop_assert_eq!(account.owed - start, asked * 32 * dark as i128);
        }
        // Below a light of one half there is room for as much again.
        account.draw(levels[1], 4_000);
        let bound = account.bound();
        let room = account.luminaire.densities()[0].as_f64() < 0.9;
        prop_assert!(!room || account.owed.abs() <= bound, "{} of {bound}", account.owed);
    }
}
