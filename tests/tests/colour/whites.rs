//! Planckian locus, daylight, CCT and Duv, nominal whites and n-steps.

use super::{assert_near, xy};
use milliglow_sim::colour::{
    ILLUMINANTS, LARGEST_DUV, N_STEP, NOMINAL_WHITES, NominalWhite, White, Xy, daylight,
    named_white, planckian,
};
use milliglow_tests::data::{Row, rows};

/// What the figures may differ by: 0.5 K and 2e-5.
const CCT_K: f64 = 0.5;
const DUV: f64 = 2e-5;

#[test]
fn the_planckian_locus_is_as_tabulated() {
    for row in rows("colour_planck.csv") {
        let found = planckian(row.number("T_K"));
        assert_near(found.x, row.number("x"), 1e-5, row.text("T_K"));
        assert_near(found.y, row.number("y"), 1e-5, row.text("T_K"));
        let (u, v) = found.to_uv_1960();
        assert_near(u, row.number("u"), 1e-5, row.text("T_K"));
        assert_near(v, row.number("v"), 1e-5, row.text("T_K"));
    }
}

#[test]
fn daylight_is_as_tabulated() {
    for row in rows("colour_daylight.csv") {
        let found = daylight(row.number("T_K")).unwrap();
        assert_near(found.x, row.number("x_D"), 1e-5, row.text("T_K"));
        assert_near(found.y, row.number("y_D"), 1e-5, row.text("T_K"));
    }
    assert_eq!((daylight(3_999.0), daylight(25_001.0)), (None, None));
}

#[test]
fn whites_are_as_tabulated() {
    for row in rows("colour_cct_duv.csv") {
        let found = White::of(xy(&row, "x", "y")).unwrap();
        let name = row.text("name");
        for (cct, duv) in [
            ("cct_exact", "duv_exact"),
            ("cct_ohno_colour", "duv_ohno_colour"),
            ("cct_luxpy", "duv_luxpy"),
        ] {
            assert_near(found.cct_k, row.number(cct), CCT_K, name);
            assert_near(found.duv, row.number(duv), DUV, name);
        }
    }
}

#[test]
fn mixtures_have_the_tabulated_whites() {
    for row in rows("colour_mix_examples.csv") {
        let found = White::of(xy(&row, "x", "y")).unwrap();
        assert_near(found.cct_k, row.number("cct_K"), CCT_K, row.text("name"));
        assert_near(found.duv, row.number("duv"), DUV, row.text("name"));
    }
}

/// Between the rows of the table, on both sides of the locus and of the switch of solutions at 0.002.
#[test]
fn a_white_comes_back_from_its_chromaticity() {
    let kelvins = (0..=120).map(|k| 1_000.5 * 24.9_f64.powf(f64::from(k) / 120.0));
    for kelvin in kelvins {
        for duv in [
            -0.02, -0.0021, -0.0019, -1e-4, 0.0, 1e-4, 0.0019, 0.0021, 0.02,
        ] {
            let asked = White { cct_k: kelvin, duv };
            let found = White::of(asked.to_xy()).unwrap();
            let relative = CCT_K / 6_500.0 * kelvin.max(6_500.0);
            assert_near(found.cct_k, kelvin, relative, &format!("{asked:?}"));
            assert_near(found.duv, duv, DUV, &format!("{asked:?}"));
        }
    }
}

#[test]
fn what_is_no_white_has_none() {
    for (x, y) in [
        (0.15, 0.06),
        (0.2, 0.7),
        (0.69, 0.305),
        (0.4, 0.55),
        (0.24, 0.23),
    ] {
        assert_eq!(White::of(Xy { x, y }), None, "({x}, {y})");
    }
    for (kelvin, is_white) in [
        (995.0, false),
        (1_005.0, true),
        (24_900.0, true),
        (25_100.0, false),
    ] {
        assert_eq!(
            White::of(planckian(kelvin)).is_some(),
            is_white,
            "{kelvin} K"
        );
    }
    let beyond = White {
        cct_k: 4_000.0,
        duv: LARGEST_DUV + 1e-4,
    };
    assert_eq!(White::of(beyond.to_xy()), None);
}

fn corners(row: &Row) -> [Xy; 4] {
    [1, 2, 3, 4].map(|k| {
        let text = row.text(&format!("corner{k}_xy"));
        let (x, y) = text.split_once(' ').unwrap();
        Xy {
            x: x.parse().unwrap(),
            y: y.parse().unwrap(),
        }
    })
}

/// Target Duv of the later edition (from memory): 57700 / T^2 - 44.6 / T + 0.00854, none below 2870 K.
fn target_duv(edition: &str, row: &Row, kelvin: f64) -> f64 {
    match edition {
        "2008" => row.number("target_duv"),
        _ if kelvin < 2_870.0 => 0.0,
        _ => (57_700.0 / kelvin - 44.6) / kelvin + 0.00854,
    }
}

/// The corners of both editions stand at target CCT +- tolerance and target Duv +- 0.006.
#[test]
fn quadrangles_stand_where_their_rule_puts_them() {
    for row in rows("colour_ansi_c78_377.csv") {
        let (target, tolerance) = (row.number("target_K"), row.number("tolerance_K"));
        let edition = row.text("edition");
        let signs = [(-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)];
        for (corner, (warm, above)) in corners(&row).into_iter().zip(signs) {
            let kelvin = target + warm * tolerance;
            let found = White::of(corner).unwrap();
            let what = format!("{edition}, {} K, {corner:?}", row.text("nominal_K"));
            // The corners are printed with four digits, and neighbours share theirs.
            assert_near(found.cct_k, kelvin, 6.0, &what);
            let duv = target_duv(edition, &row, kelvin) + above * row.number("duv_tolerance");
            assert_near(found.duv, duv, 1.5e-4, &what);
        }
        let centre = White::of(xy(&row, "centre_x", "centre_y")).unwrap();
        assert_near(
            centre.cct_k,
            row.number("computed_cct_centre"),
            CCT_K,
            edition,
        );
        assert_near(centre.duv, row.number("computed_duv_centre"), 7e-5, edition);
    }
}

#[test]
fn nominal_whites_are_those_of_the_later_edition() {
    let rows = rows("colour_ansi_c78_377.csv");
    let later: Vec<_> = rows
        .iter()
        .filter(|row| row.text("edition") != "2008")
        .collect();
    assert_eq!(later.len(), NOMINAL_WHITES.len());
    for (row, white) in later.iter().zip(&NOMINAL_WHITES) {
        assert_eq!(white.name, format!("{} K", row.text("nominal_K")));
        assert_eq!(white.target_k, row.number("target_K"));
        assert_eq!(white.tolerance_k, row.number("tolerance_K"));
        assert_eq!(white.centre, xy(row, "centre_x", "centre_y"));
        assert_eq!(white.corners, corners(row));
    }
}

#[test]
fn a_light_bears_the_name_of_the_quadrangle_around_it() {
    for white in &NOMINAL_WHITES {
        assert_eq!(NominalWhite::around(white.centre), Some(white));
        let name = white.name;
        for written in [
            name.to_owned(),
            name.replace(' ', ""),
            name.replace(" K", ""),
            name.to_lowercase(),
        ] {
            assert_eq!(named_white(&written), Some(white.centre), "{written}");
        }
    }
    for (name, light) in ILLUMINANTS {
        assert_eq!(named_white(&name.to_lowercase()), Some(light));
    }
    assert_eq!(named_white("4001 K"), None);
    let beside = White {
        cct_k: 4_000.0,
        duv: 0.008,
    };
    assert_eq!(NominalWhite::around(beside.to_xy()), None);
    let d65 = named_white("D65").unwrap();
    assert_eq!(NominalWhite::around(d65).unwrap().name, "6500 K");
}

#[test]
fn an_n_step_circle_has_n_times_the_radius() {
    for row in rows("colour_nstep.csv") {
        let radius = row.number("n_step") * N_STEP;
        assert_near(
            radius,
            row.number("radius_delta_u_prime_v_prime"),
            1e-12,
            row.text("n_step"),
        );
    }
}
