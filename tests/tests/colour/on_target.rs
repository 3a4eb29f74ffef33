//! The core's solver in `f32` against the host's in `f64`, over all colours of a fine grid.

use super::primaries;
use milliglow::solve::{Chromaticity, Primary, Solved, ThreeChannels, TunableWhite};
use milliglow::{Error, Share};
use milliglow_sim::colour::solver::{self, Aim, Primaries, Wanted};
use milliglow_sim::colour::{N_STEP, Uv, White, Xy, is_real, mix, planckian};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

/// What `core/src/solve` states, in u', v'.
const THREE_CHANNELS: f64 = 2e-6;
const PAIR_BY_CCT: f64 = 2e-4;

type Lights = Vec<(Xy, f64)>;

/// The very figures that the core gets, as both sides can hold them.
fn single(lights: Lights) -> Lights {
    let f32 = |number: f64| f64::from(number as f32);
    let light = |(xy, flux): (Xy, f64)| {
        (
            Xy {
                x: f32(xy.x),
                y: f32(xy.y),
            },
            f32(flux),
        )
    };
    lights.into_iter().map(light).collect()
}

fn chromaticity(light: Xy) -> Chromaticity {
    Chromaticity {
        x: light.x as f32,
        y: light.y as f32,
    }
}

fn core_primaries<const N: usize>(lights: &Lights) -> [Primary; N] {
    let primary = |k: usize| Primary {
        light: chromaticity(lights[k].0),
        flux: lights[k].1 as f32,
    };
    std::array::from_fn(primary)
}

fn host_primaries(lights: &Lights) -> Option<Primaries> {
    let primary = |&(light, flux_lm): &(Xy, f64)| solver::Primary {
        name: String::new(),
        light,
        flux_lm,
        power_w: None,
    };
    Primaries::new(lights.iter().map(primary).collect()).ok()
}

fn shares<const N: usize>(solved: &Solved<N>) -> [f64; N] {
    solved.recipe.shares().map(Share::as_f64)
}

/// Delta u'v' between what the core's shares give and what the host's do; and whether both say the same of the gamut,
/// unless the colour is nearly on its edge.
fn error<const N: usize>(host: &Primaries, wanted: Wanted, core: &Solved<N>) -> (f64, bool) {
    let expected = solver::solve(host, wanted, Aim::MostFlux).unwrap();
    let found = host.mixture(&shares(core)).light.unwrap();
    assert!(core.recipe.shares().contains(&Share::FULL), "{core:?}");
    let agrees = core.reached == expected.in_gamut || expected.distance <= 2e-5;
    (found.to_uv().distance(expected.light.to_uv()), agrees)
}

fn grid() -> impl Iterator<Item = Xy> {
    let places = (0..=62).flat_map(|u| (1..=59).map(move |v| (f64::from(u), f64::from(v))));
    let lights = places.map(|(u, v)| {
        Uv {
            u: u / 100.0,
            v: v / 100.0,
        }
        .to_xy()
    });
    lights
        .filter(|xy| xy.y > 0.0 && is_real(*xy))
        .map(|xy| single(vec![(xy, 1.0)])[0].0)
}

#[test]
fn three_channels_agree_with_the_host() {
    let mut worst = 0.0_f64;
    for names in ["R+G+B", "WW+CW+L", "R+G+CW", "A+L+B", "WW+CW+A"] {
        let lights = single(primaries(names));
        let (core, host) = (core_primaries(&lights), host_primaries(&lights).unwrap());
        let core = ThreeChannels::new(core).unwrap();
        for light in grid() {
            let (error, agrees) = error(
                &host,
                Wanted::Light(light),
                &core.solve(chromaticity(light)),
            );
            assert!(agrees, "{names} {light:?}");
            assert!(error <= THREE_CHANNELS, "{names} {light:?}: {error}");
            worst = worst.max(error);
        }
    }
    println!("worst error of three channels: {worst:e} in u'v'");
    const { assert!(THREE_CHANNELS <= N_STEP / 2.0) };
}

#[test]
fn a_pair_agrees_with_the_host() {
    let (mut worst, mut compared) = (0.0_f64, 0);
    let wide = || {
        vec![
            (planckian(1_750.0), 300.0),
            (
                White {
                    cct_k: 12_000.0,
                    duv: 0.01,
                }
                .to_xy(),
                700.0,
            ),
        ]
    };
    for lights in [primaries("WW+CW"), primaries("CW+A"), wide()].map(single) {
        let (core, host) = (core_primaries(&lights), host_primaries(&lights).unwrap());
        let core = TunableWhite::new(core).unwrap();
        for kelvin in (1_800..=10_000).step_by(10).map(f64::from) {
            let wanted = Wanted::White {
                cct_k: kelvin,
                duv: None,
            };
            let expected = solver::solve(&host, wanted, Aim::MostFlux).unwrap();
            let found = core.solve_cct(kelvin as f32);
            let (error, _) = error(&host, wanted, &found);
            // Beyond its ends the host takes the nearest colour, the core the nearer end; both say so.
            if expected.in_gamut && found.reached {
                assert!(error <= PAIR_BY_CCT, "{kelvin} K: {error}");
                worst = worst.max(error);
                compared += 1;
            }
        }
        for light in grid() {
            let (error, agrees) = error(
                &host,
                Wanted::Light(light),
                &core.solve(chromaticity(light)),
            );
            assert!(agrees && error <= THREE_CHANNELS, "{light:?}: {error}");
        }
    }
    assert!(compared > 1_500, "{compared}");
    println!("worst error of a pair by CCT: {worst:e} in u'v'");
    const { assert!(PAIR_BY_CCT <= N_STEP / 2.0) };
}

#[test]
fn a_pair_reaches_the_ccts_between_its_ends_and_no_others() {
    let lights = primaries("WW+CW");
    let pair = TunableWhite::new(core_primaries(&single(lights.clone()))).unwrap();
    let ends = [0, 1].map(|k: usize| White::of(lights[k].0).unwrap().cct_k);
    for kelvin in (1_000..=15_000).step_by(25).map(f64::from) {
        // The fit of the locus moves an end by a few kelvins.
        if ends.iter().all(|end| (kelvin - end).abs() > 10.0) {
            let between = ends[0] < kelvin && kelvin < ends[1];
            assert_eq!(pair.solve_cct(kelvin as f32).reached, between, "{kelvin} K");
        }
    }
    assert_eq!(
        pair.solve_cct(1_500.0).recipe.shares(),
        &[Share::FULL, Share::NONE]
    );
    assert_eq!(
        pair.solve_cct(12_000.0).recipe.shares(),
        &[Share::NONE, Share::FULL]
    );
}

#[test]
fn what_is_no_number_still_gives_a_lit_recipe() {
    let three = ThreeChannels::new(core_primaries(&primaries("R+G+B"))).unwrap();
    let pair = TunableWhite::new(core_primaries(&primaries("WW+CW"))).unwrap();
    let odd = [
        f32::NAN,
        f32::INFINITY,
        f32::NEG_INFINITY,
        -1.0,
        0.0,
        1.0,
        1e30,
        f32::MIN_POSITIVE,
    ];
    for x in odd {
        for y in odd {
            let (of_three, of_pair) = (
                three.solve(Chromaticity { x, y }),
                pair.solve(Chromaticity { x, y }),
            );
            assert!(
                of_three.recipe.shares().contains(&Share::FULL) && !of_three.reached,
                "{x} {y}"
            );
            assert!(
                of_pair.recipe.shares().contains(&Share::FULL) && !of_pair.reached,
                "{x} {y}"
            );
        }
        let by_cct = pair.solve_cct(x);
        assert!(
            by_cct.recipe.shares().contains(&Share::FULL) && !by_cct.reached,
            "{x}"
        );
    }
}

#[test]
fn channels_that_mix_no_colour_are_refused() {
    let good: [Primary; 3] = core_primaries(&primaries("R+G+B"));
    let refused = |change: fn(&mut Primary)| {
        let mut bad = good;
        change(&mut bad[1]);
        assert_eq!(ThreeChannels::new(bad), Err(Error::Primaries));
        assert_eq!(TunableWhite::new([bad[0], bad[1]]), Err(Error::Primaries));
    };
    refused(|channel| channel.light.y = 0.0);
    refused(|channel| channel.light.y = f32::NAN);
    refused(|channel| channel.light.x = -0.1);
    refused(|channel| channel.flux = 0.0);
    refused(|channel| channel.flux = f32::INFINITY);
    let twin = [good[0], good[0]];
    assert_eq!(TunableWhite::new(twin), Err(Error::Primaries));
    assert_eq!(
        ThreeChannels::new([good[0], good[0], good[1]]),
        Err(Error::Primaries)
    );
    let lights = primaries("R+G");
    let between = mix(lights).unwrap();
    let on_line = Primary {
        light: chromaticity(between),
        flux: 100.0,
    };
    assert_eq!(
        ThreeChannels::new([good[0], good[1], on_line]),
        Err(Error::Primaries)
    );
}

fn light() -> impl Strategy<Value = Xy> {
    (0.02..0.6_f64, 0.1..0.58_f64)
        .prop_map(|(u, v)| Uv { u, v }.to_xy())
        .prop_filter("a real light", |xy| is_real(*xy))
}

/// Feet that lie almost on an edge's end: to both edges there the distances round to the same.
#[test]
fn an_edge_is_told_from_its_neighbour_at_their_corner() {
    let (mut worst, mut compared) = (0.0_f64, 0);
    for names in ["R+G+B", "WW+CW+L", "R+G+CW", "A+L+B", "WW+CW+A"] {
        let lights = single(primaries(names));
        let (host, core) = (host_primaries(&lights).unwrap(), core_primaries(&lights));
        let core = ThreeChannels::new(core).unwrap();
        for asked in beyond_corners(&lights) {
            let (error, agrees) = error(
                &host,
                Wanted::Light(asked),
                &core.solve(chromaticity(asked)),
            );
            assert!(agrees, "{names} {asked:?}");
            assert!(error <= THREE_CHANNELS, "{names} {asked:?}: {error}");
            (worst, compared) = (worst.max(error), compared + 1);
        }
    }
    println!("worst of {compared} colours: {worst:e} in u'v'");
    assert!(compared > 10_000, "{compared}");
}

/// Real lights square to an edge, almost at one of its ends.
fn beyond_corners(lights: &Lights) -> Vec<Xy> {
    let corners: Vec<Uv> = lights.iter().map(|(xy, _)| xy.to_uv()).collect();
    let mut found = Vec::new();
    for (from, to) in (0..3).flat_map(|a| (0..3).filter(move |b| a != *b).map(move |b| (a, b))) {
        let (u, v) = (
            corners[to].u - corners[from].u,
            corners[to].v - corners[from].v,
        );
        let length = u.hypot(v);
        for (along, away) in (0..40).flat_map(|k| (-100..=100).map(move |n| (k, n))) {
            let (along, away) = (f64::from(along) * 5e-6, f64::from(away) * 5e-3 / length);
            let (u0, v0) = (corners[from].u + u * along, corners[from].v + v * along);
            found.push(
                Uv {
                    u: u0 - v * away,
                    v: v0 + u * away,
                }
                .to_xy(),
            );
        }
    }
    let real = found.into_iter().filter(|xy| xy.y > 0.0 && is_real(*xy));
    real.map(|xy| single(vec![(xy, 1.0)])[0].0).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, ..cases() })]

    /// For any three channels around an area that is not a sliver, of any fluxes.
    #[test]
    fn any_three_channels_agree_with_the_host(
        lights in prop::collection::vec((light(), 1.0..2_000.0_f64), 3), asked in light(),
    ) {
        let lights = single(lights);
        let asked = single(vec![(asked, 1.0)])[0].0;
        let host = host_primaries(&lights);
        prop_assume!(host.as_ref().is_some_and(|host| host.gamut().width() > 0.02));
        let core = ThreeChannels::new(core_primaries(&lights)).unwrap();
        let (error, agrees) = error(&host.unwrap(), Wanted::Light(asked), &core.solve(chromaticity(asked)));
        prop_assert!(agrees);
        prop_assert!(error <= THREE_CHANNELS, "{error}");
    }
}
