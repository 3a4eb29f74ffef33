//! Units of a series, drawn from declared tolerances.

use milliglow_sim::check::spread::{SpreadFigures, SpreadRow, spread};
use milliglow_sim::description::{Description, Modulation, OperatingRow, SetPoints, Spread};
use milliglow_sim::metrics::N_STEP;
use milliglow_sim::optics::drivers::{Driver, Slew, SlewFigures};
use milliglow_tests::plain_cove::plain_cove;

const NOTHING: Spread = Spread {
    rise: 0.0,
    fall: 0.0,
    delay: 0.0,
    range_ratio: 0.0,
    flux: 0.0,
    chromaticity_uv: 0.0,
};

/// The cove light with edges of 30 % of a tick and an eighth of the current below 5 %. Invented.
fn two_ranges() -> Description {
    let mut cove = plain_cove();
    let figures = SlewFigures {
        rise_s: 60e-9,
        fall_s: 20e-9,
        turn_on_delay_s: 40e-9,
        ..SlewFigures::default()
    };
    for channel in &mut cove.channels {
        channel.driver = Driver::Slew(Slew::new(figures).unwrap());
        channel.rows = vec![
            OperatingRow {
                range_ratio: 8.0,
                ..OperatingRow::PLAIN
            },
            OperatingRow {
                from_light: 0.05,
                stretch: 2,
                ..OperatingRow::PLAIN
            },
        ];
    }
    cove.tick_tolerance = 0.0;
    cove.spread = NOTHING;
    cove
}

fn changes(figures: &SpreadFigures) -> Vec<&SpreadRow> {
    let rows = figures.rows.iter();
    rows.filter(|row| row.change.is_some()).collect()
}

fn most(rows: &[&SpreadRow], figure: impl Fn(&SpreadRow) -> f64) -> f64 {
    rows.iter().map(|row| figure(row)).fold(0.0, f64::max)
}

/// A declared ratio error of 3 % makes a step that is seen; one calibration value, the unit's ratio, takes it away.
#[test]
fn a_measured_ratio_takes_the_step_out_of_a_change_of_range() {
    for modulation in [Modulation::FirstOrder, Modulation::SecondOrder] {
        let mut cove = two_ranges();
        cove.spread.range_ratio = 0.03;
        for channel in &mut cove.channels {
            channel.modulation = modulation;
        }
        let figures = spread(&cove, 40);
        let rows = changes(&figures);
        assert!(rows.len() >= 20, "{}", rows.len());
        let design = most(&rows, |row| row.design.light_step);
        assert!(design > 0.01, "{design}");
        assert!(most(&rows, |row| row.design.colour_step) > N_STEP);
        let own = most(&rows, |row| row.own.light_step);
        assert!(own < 0.002, "{own}");
        let colour = most(&rows, |row| row.own.colour_step);
        assert!(colour < N_STEP, "{colour}");
    }
}

/// Where one set point serves all channels they change together: each recipe has one change up and one down, and the ratios' errors
/// add up to no more than the worst of them.
#[test]
fn a_common_set_point_changes_once_each_way() {
    let mut cove = two_ranges();
    cove.spread.range_ratio = 0.03;
    cove.operating.set_points = SetPoints::Common;
    let figures = spread(&cove, 20);
    let rows = changes(&figures);
    assert_eq!(rows.len(), 2 * cove.recipes.len());
    let design = most(&rows, |row| row.design.light_step);
    assert!((0.005..0.031).contains(&design), "{design}");
    assert!(most(&rows, |row| row.own.light_step) < 0.002);
}

/// Edges that differ by 20 % cost light where pulses are single decisions, whichever modulation books or corrects them.
#[test]
fn measured_edges_bring_the_light_back_to_the_curve() {
    let timer = Modulation::Timer {
        bits: 8,
        order: 1,
        width_shift: None,
    };
    for modulation in [Modulation::FirstOrder, Modulation::SecondOrder, timer] {
        let mut cove = two_ranges();
        (cove.spread.rise, cove.spread.fall, cove.spread.delay) = (0.2, 0.2, 0.2);
        for channel in &mut cove.channels {
            channel.modulation = modulation;
        }
        let figures = spread(&cove, 40);
        let deep = figures.rows.iter().filter(|row| row.light < 0.0011);
        let deep: Vec<_> = deep.collect();
        assert_eq!(deep.len(), 3);
        let least = match modulation {
            // A pulse of a timer loses less of its light: it lasts for more than a tick on the average.
            Modulation::Timer { .. } => 0.005,
            _ => 0.02,
        };
        let design = most(&deep, |row| row.design.light);
        assert!(design > least && design < 0.1, "{modulation:?} {design}");
        let own = most(&deep, |row| row.own.light);
        assert!(own < 2e-4, "{modulation:?} {own}");
    }
}

/// Fluxes alone: channels turned down to the weakest keep the colour, but not the light.
#[test]
fn measured_fluxes_keep_the_colour() {
    let mut cove = two_ranges();
    cove.spread.flux = 0.05;
    let figures = spread(&cove, 60);
    for row in &figures.rows {
        assert!(
            row.design.colour > 0.001 && row.own.colour < 5e-5,
            "{row:?}"
        );
        assert!((0.01..0.051).contains(&row.design.flux), "{row:?}");
        assert!((0.02..0.051).contains(&row.own.flux), "{row:?}");
    }
}

#[test]
fn the_design_itself_and_the_same_file_twice() {
    let cove = two_ranges();
    for row in spread(&cove, 3).rows {
        assert_eq!(row.design, row.own);
        assert!(row.design.light < 2e-4 && row.design.flux < 2e-4, "{row:?}");
        assert!(
            row.design.colour_step < 5e-5 && row.design.light_step < 2e-4,
            "{row:?}"
        );
    }
    let mut cove = two_ranges();
    cove.spread = Spread::default();
    assert_eq!(spread(&cove, 25), spread(&cove, 25));
    assert_ne!(spread(&cove, 25), spread(&cove, 26));
}
