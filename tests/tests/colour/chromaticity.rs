//! Chromaticity, mixing and the locus of real light against published tables.

use super::{assert_near, list, primaries, xy};
use milliglow_sim::colour::{Uv, Xy, boundary, is_real, mix, standard_observer};
use milliglow_tests::data::rows;

/// Half of the last digit that the tables print.
const PRINTED: f64 = 5.1e-9;

#[test]
fn chromaticities_convert_as_tabulated() {
    for row in rows("colour_uv.csv") {
        let xy = xy(&row, "x", "y");
        let uv = Uv {
            u: row.number("u_prime"),
            v: row.number("v_prime"),
        };
        let (u, v) = xy.to_uv_1960();
        assert_near(u, row.number("u1960"), 3e-7, row.text("name"));
        assert_near(v, row.number("v1960"), 3e-7, row.text("name"));
        // The equal-energy row prints a third with six digits.
        assert_near(xy.to_uv().u, uv.u, 3e-7, row.text("name"));
        assert_near(xy.to_uv().v, uv.v, 3e-7, row.text("name"));
        assert_near(uv.to_xy().x, xy.x, 4e-7, row.text("name"));
        assert_near(uv.to_xy().y, xy.y, 4e-7, row.text("name"));
    }
}

#[test]
fn lights_add_up_as_tabulated() {
    for row in rows("colour_mix_examples.csv") {
        let lights = primaries(row.text("channels")).into_iter();
        let drives = list(&row, "drive_levels");
        let mixed = mix(lights
            .zip(drives)
            .map(|((xy, flux), drive)| (xy, flux * drive)))
        .unwrap();
        let name = row.text("name");
        assert_near(mixed.x, row.number("x"), PRINTED, name);
        assert_near(mixed.y, row.number("y"), PRINTED, name);
        assert_near(mixed.to_uv().u, row.number("u_prime"), PRINTED, name);
        assert_near(mixed.to_uv().v, row.number("v_prime"), PRINTED, name);
    }
}

#[test]
fn distance_is_straight() {
    let distance = Uv { u: 0.2, v: 0.4 }.distance(Uv {
        u: 0.2003,
        v: 0.4004,
    });
    assert_near(distance, 0.0005, 1e-12, "3, 4, 5");
}

#[test]
fn the_observer_is_whole() {
    let rows = standard_observer();
    assert_eq!(rows.len(), 471);
    let brightest = rows
        .iter()
        .max_by(|a, b| a.y_bar.total_cmp(&b.y_bar))
        .unwrap();
    // V(lambda) is 1 at 555 nm; the sums of the 1 nm tables as CIE 15 gives them (from memory).
    assert_eq!((brightest.wavelength_nm, brightest.y_bar), (555.0, 1.0));
    assert_near(
        rows.iter().map(|row| row.x_bar).sum(),
        106.8655,
        0.0001,
        "sum of x-bar",
    );
    assert_near(
        rows.iter().map(|row| row.y_bar).sum(),
        106.8569,
        0.0001,
        "sum of y-bar",
    );
    assert_near(
        rows.iter().map(|row| row.z_bar).sum(),
        106.8923,
        0.0001,
        "sum of z-bar",
    );
}

#[test]
fn real_lights_lie_inside_the_locus() {
    for row in rows("colour_uv.csv") {
        assert!(is_real(xy(&row, "x", "y")), "{}", row.text("name"));
    }
    for seen in standard_observer() {
        let sum = seen.x_bar + seen.y_bar + seen.z_bar;
        let light = Xy {
            x: seen.x_bar / sum,
            y: seen.y_bar / sum,
        };
        assert!(is_real(light), "{} nm", seen.wavelength_nm);
    }
}

#[test]
fn the_boundary_is_sharp_to_a_millionth() {
    let middle = Xy {
        x: 1.0 / 3.0,
        y: 1.0 / 3.0,
    };
    let points = boundary();
    for (from, to) in points.iter().zip(points.iter().cycle().skip(1)) {
        let (across, up) = (to.x - from.x, to.y - from.y);
        let length = across.hypot(up);
        let outward = |by: f64| Xy {
            x: (from.x + to.x) / 2.0 + by * up / length,
            y: (from.y + to.y) / 2.0 - by * across / length,
        };
        assert!(is_real(outward(0.9e-6)), "just outside {from:?}");
        assert!(!is_real(outward(1.1e-6)), "outside {from:?}");
        assert!(is_real(Xy {
            x: (from.x + middle.x) / 2.0,
            y: (from.y + middle.y) / 2.0
        }));
    }
}

/// Corners of the locus as the CIE tables give them (CIE 15, from memory, three digits).
#[test]
fn the_boundary_passes_where_it_should() {
    for (x, y) in [
        (0.0743, 0.8338),
        (0.0082, 0.5384),
        (0.7347, 0.2653),
        (0.1741, 0.0050),
    ] {
        let nearest = boundary()
            .iter()
            .map(|point| (point.x - x).hypot(point.y - y))
            .fold(1.0, f64::min);
        assert!(nearest < 2e-4, "({x}, {y}) is {nearest} from the boundary");
    }
    for (x, y) in [(0.8, 0.2), (0.4, 0.05), (0.02, 0.3), (0.2, 0.82)] {
        assert!(!is_real(Xy { x, y }), "({x}, {y})");
    }
}
