//! Gamuts and the place of a chromaticity in them.

use super::{assert_near, primaries};
use milliglow_sim::colour::{Face, Gamut, NO_DISTANCE, Uv, mix};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

fn gamut(names: &str) -> Gamut {
    Gamut::of(primaries(names).into_iter().map(|(xy, _)| xy.to_uv()))
}

#[test]
fn only_outer_lights_are_corners() {
    let corners = |names| gamut(names).corners().count();
    assert_eq!(corners("R"), 1);
    assert_eq!(corners("R+R"), 1);
    assert_eq!(corners("WW+CW"), 2);
    assert_eq!(corners("R+G+B"), 3);
    assert_eq!(corners("R+G+B+WW+CW"), 3);
    assert_eq!(corners("R+G+B+R"), 3);
}

#[test]
fn a_corner_an_edge_and_the_inside_are_told_apart() {
    let lights = primaries("R+G+B");
    let gamut = gamut("R+G+B");
    for (xy, _) in &lights {
        let place = gamut.place(xy.to_uv());
        assert_eq!(
            (place.face, place.distance),
            (Face::Corner(xy.to_uv()), 0.0)
        );
    }
    let half = mix([lights[0], lights[1]]).unwrap().to_uv();
    let place = gamut.place(half);
    assert!(matches!(place.face, Face::Edge(..)), "{place:?}");
    assert_eq!(place.distance, 0.0);
    let white = mix(lights).unwrap().to_uv();
    let place = gamut.place(white);
    assert_eq!(
        (place.face, place.nearest, place.distance),
        (Face::Inside, white, 0.0)
    );
}

#[test]
fn a_narrow_gamut_is_known_by_its_width() {
    assert_eq!(gamut("WW+CW").width(), 0.0);
    let corners = |up: f64| [(0.2, 0.4), (0.3, 0.4), (0.25, 0.4 + up)].map(|(u, v)| Uv { u, v });
    assert_near(Gamut::of(corners(1e-3)).width(), 1e-3, 1e-12, "thin");
    assert!(gamut("R+G+B").width() > 0.2);
}

proptest! {
    #![proptest_config(cases())]

    /// The nearest point is in the gamut and no corner or mixture is nearer; what is inside stays where it is.
    #[test]
    fn nothing_of_the_gamut_is_nearer(
        u in 0.0..0.7_f64, v in 0.0..0.6_f64,
        shares in prop::collection::vec(0.0..1.0_f64, 5), names in 0..3_usize,
    ) {
        let names = ["R+G+B+A+L", "WW+CW", "R+G+B"][names];
        let (lights, gamut) = (primaries(names), gamut(names));
        let asked = Uv { u, v };
        let place = gamut.place(asked);
        prop_assert!((place.nearest.distance(asked) - place.distance).abs() <= NO_DISTANCE);
        prop_assert!(gamut.place(place.nearest).distance <= NO_DISTANCE);
        if let Some(mixed) = mix(lights.iter().zip(&shares).map(|(&(xy, flux), share)| (xy, flux * share))) {
            let inside = gamut.place(mixed.to_uv());
            prop_assert!(inside.distance == 0.0, "{mixed:?}");
            prop_assert!(inside.nearest.distance(mixed.to_uv()) <= NO_DISTANCE);
            prop_assert!(mixed.to_uv().distance(asked) >= place.distance - NO_DISTANCE);
        }
    }
}
