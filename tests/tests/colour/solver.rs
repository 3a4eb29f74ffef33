//! From a wanted colour to shares: published cases, and what holds for any channels.

use super::{assert_near, list, primaries, xy};
use milliglow_sim::colour::solver::{
    Aim, Primaries, Primary, Refused, Solved, Wanted, even_in_mirek, same_flux, solve, worst_duv,
};
use milliglow_sim::colour::{Gamut, Uv, White, Xy, is_real, named_white, planckian};
use milliglow_tests::data::rows;
use proptest::prelude::*;

/// The invented primaries that are named, each with a power of its own, invented too.
fn channels(names: &str) -> Vec<Primary> {
    let lights = primaries(names).into_iter().zip(names.split('+'));
    lights
        .zip(0..)
        .map(|(((light, flux_lm), name), k)| Primary {
            name: name.to_owned(),
            light,
            flux_lm,
            power_w: Some(2.0 + f64::from(k * 3 % 5)),
        })
        .collect()
}

fn luminaire(names: &str) -> Primaries {
    Primaries::new(channels(names)).unwrap()
}

fn white(cct_k: f64) -> Wanted {
    Wanted::White { cct_k, duv: None }
}

#[test]
fn most_flux_is_that_of_an_independent_program() {
    for row in rows("colour_lp_examples.csv") {
        let name = row.text("name");
        let wanted = Wanted::Light(xy(&row, "target_x", "target_y"));
        let found = solve(&luminaire(row.text("channels")), wanted, Aim::MostFlux).unwrap();
        let flux_lm = row.number("max_flux_lm");
        assert_near(found.flux_lm, flux_lm, 1e-6 * flux_lm, name);
        for (share, expected) in found.shares.iter().zip(list(&row, "drive_levels")) {
            assert_near(*share, expected, 1e-6, name);
        }
        assert!(
            found.in_gamut && found.reachable_lm == found.flux_lm,
            "{name}"
        );
    }
}

/// With three channels colour and flux settle the shares, whatever the aim.
#[test]
fn three_channels_are_the_inverse_of_their_matrix() {
    for row in rows("colour_inverse_3ch.csv") {
        let wanted = Wanted::Light(xy(&row, "target_x", "target_y"));
        let flux_lm = row.number("target_Y_lm");
        for aim in [Aim::LeastPower(flux_lm), Aim::EvenLoad(flux_lm)] {
            let found = solve(&luminaire(row.text("channels")), wanted, aim).unwrap();
            for (share, expected) in found.shares.iter().zip(list(&row, "drive_levels")) {
                assert_near(*share, expected, 1e-6, row.text("name"));
            }
            assert_near(found.flux_lm, flux_lm, 1e-6 * flux_lm, row.text("name"));
        }
    }
}

#[test]
fn shares_give_the_tabulated_mixtures() {
    for row in rows("colour_mix_examples.csv") {
        let mixture = luminaire(row.text("channels")).mixture(&list(&row, "drive_levels"));
        let light = mixture.light.unwrap();
        assert_near(light.x, row.number("x"), 1e-6, row.text("name"));
        assert_near(light.y, row.number("y"), 1e-6, row.text("name"));
        let flux_lm = row.number("Y_lm");
        assert_near(mixture.flux_lm, flux_lm, 1e-6 * flux_lm, row.text("name"));
    }
}

#[test]
fn two_whites_reach_a_cct_on_their_own_line() {
    let whites = luminaire("WW+CW");
    let (warm, cool) = (2_700.0, 6_400.0);
    for kelvin in even_in_mirek(warm, cool, 40) {
        let found = solve(&whites, white(kelvin), Aim::MostFlux).unwrap();
        let white = found.white.unwrap();
        assert_near(white.cct_k, kelvin, 0.5, "CCT on the line");
        assert!(found.in_gamut && found.distance == 0.0, "{found:?}");
        assert!(found.shares.contains(&1.0), "{found:?}");
        let chord = worst_duv(&whites, &[&[1.0, 0.0], &[0.0, 1.0]]).unwrap();
        assert!(
            white.duv.abs() <= chord.duv.abs() + 1e-6,
            "{white:?} {chord:?}"
        );
    }
    // Beyond the ends, and with a Duv that the line does not have, the nearest of the line.
    let beyond = solve(&whites, white(2_000.0), Aim::MostFlux).unwrap();
    assert_eq!((beyond.shares, beyond.in_gamut), (vec![1.0, 0.0], false));
    let duv = Some(0.02);
    let beside = solve(
        &whites,
        Wanted::White {
            cct_k: 3_500.0,
            duv,
        },
        Aim::MostFlux,
    )
    .unwrap();
    assert!(!beside.in_gamut && beside.distance > 0.015, "{beside:?}");
    assert!(beside.shares.iter().all(|share| *share > 0.1), "{beside:?}");
}

#[test]
fn one_channel_has_one_colour() {
    let single = luminaire("WW");
    let found = solve(&single, white(4_000.0), Aim::MostFlux).unwrap();
    assert_eq!(
        (found.shares, found.in_gamut, found.flux_lm),
        (vec![1.0], false, 400.0)
    );
    let own = Wanted::Light(single.channels()[0].light);
    let half = solve(&single, own, Aim::EvenLoad(200.0)).unwrap();
    assert_near(half.shares[0], 0.5, 1e-8, "half");
    assert!(half.in_gamut);
}

#[test]
fn least_power_and_even_load_do_what_they_say() {
    let lights = luminaire("R+G+B+A+L+WW+CW");
    let flux_lm = 500.0;
    let most = solve(&lights, white(4_000.0), Aim::MostFlux).unwrap();
    let least = solve(&lights, white(4_000.0), Aim::LeastPower(flux_lm)).unwrap();
    let even = solve(&lights, white(4_000.0), Aim::EvenLoad(flux_lm)).unwrap();
    let largest = |solved: &Solved| solved.shares.iter().copied().fold(0.0, f64::max);
    assert!(least.power_w.unwrap() < even.power_w.unwrap() * 0.999);
    assert!(largest(&even) < largest(&least) * 0.999);
    for found in [&least, &even] {
        assert_near(found.flux_lm, flux_lm, 1e-6, "flux");
        assert_eq!(found.reachable_lm, most.flux_lm);
    }
}

/// Against every other recipe of the same colour and flux that random weights of the channels lead to.
#[test]
fn no_other_recipe_takes_less() {
    let lights = luminaire("R+G+B+A+L+WW+CW");
    let wanted = Wanted::Light(planckian(3_500.0));
    let least = solve(&lights, wanted, Aim::LeastPower(300.0)).unwrap();
    let even = solve(&lights, wanted, Aim::EvenLoad(300.0)).unwrap();
    let largest = |solved: &Solved| solved.shares.iter().copied().fold(0.0, f64::max);
    let power = |solved: &Solved| lights.mixture(&solved.shares).power_w.unwrap();
    for salt in 1..60_u32 {
        let mut weighted = lights.channels().to_vec();
        for (k, channel) in (1..).zip(&mut weighted) {
            channel.power_w = Some(f64::from((salt * k * 7_919) % 97 + 1));
        }
        let weighted = Primaries::new(weighted).unwrap();
        let other = solve(&weighted, wanted, Aim::LeastPower(300.0)).unwrap();
        assert!(power(&other) >= power(&least) - 1e-6, "{salt}");
        assert!(largest(&other) >= largest(&even) - 1e-6, "{salt}");
    }
}

#[test]
fn equal_channels_are_told_apart_the_same_way_each_time() {
    let twins = luminaire("R+G+B+R+G+B");
    for aim in [Aim::MostFlux, Aim::EvenLoad(100.0), Aim::LeastPower(100.0)] {
        let first = solve(&twins, white(4_000.0), aim).unwrap();
        for _ in 0..20 {
            assert_eq!(
                solve(&luminaire("R+G+B+R+G+B"), white(4_000.0), aim).unwrap(),
                first
            );
        }
    }
}

#[test]
fn what_cannot_be_solved_is_refused() {
    let lights = luminaire("R+G+B");
    let refused = |wanted, aim| solve(&lights, wanted, aim).unwrap_err();
    let unreal = Xy { x: 0.8, y: 0.3 };
    assert_eq!(
        refused(Wanted::Light(unreal), Aim::MostFlux),
        Refused::Colour(unreal)
    );
    for dark in [
        Xy { x: 0.3, y: 0.0 },
        Xy {
            x: f64::NAN,
            y: 0.3,
        },
    ] {
        assert!(matches!(
            refused(Wanted::Light(dark), Aim::MostFlux),
            Refused::Colour(_)
        ));
    }
    for kelvin in [999.0, 25_001.0, 0.0, -5.0, f64::NAN, f64::INFINITY] {
        assert!(
            matches!(refused(white(kelvin), Aim::MostFlux), Refused::Cct(_)),
            "{kelvin}"
        );
    }
    let far = Wanted::White {
        cct_k: 3_000.0,
        duv: Some(0.06),
    };
    assert_eq!(refused(far, Aim::MostFlux), Refused::Duv(0.06));
    for flux_lm in [0.0, -1.0, 5_000.0, f64::NAN, f64::INFINITY] {
        for aim in [Aim::EvenLoad(flux_lm), Aim::LeastPower(flux_lm)] {
            assert!(
                matches!(refused(white(4_000.0), aim), Refused::Flux { .. }),
                "{flux_lm}"
            );
        }
    }
    let mut unmetered = channels("R+G+B");
    unmetered[1].power_w = None;
    let unmetered = Primaries::new(unmetered).unwrap();
    let found = solve(&unmetered, white(4_000.0), Aim::LeastPower(10.0));
    assert_eq!(found, Err(Refused::Power("G".to_owned())));
    assert_eq!(
        solve(&unmetered, white(4_000.0), Aim::MostFlux)
            .unwrap()
            .power_w,
        None
    );
}

#[test]
fn channels_that_mix_no_colour_are_refused() {
    let refused = |channels| Primaries::new(channels).unwrap_err();
    let changed = |change: fn(&mut Primary)| {
        let mut channels = channels("R+G+B");
        change(&mut channels[2]);
        refused(channels)
    };
    let blue = || "B".to_owned();
    assert_eq!(
        changed(|blue| blue.light.y = 0.0),
        Refused::ChannelColour(blue())
    );
    assert_eq!(
        changed(|blue| blue.light.x = f64::NAN),
        Refused::ChannelColour(blue())
    );
    assert_eq!(
        changed(|blue| blue.flux_lm = 0.0),
        Refused::ChannelFlux(blue())
    );
    assert_eq!(
        changed(|blue| blue.flux_lm = f64::INFINITY),
        Refused::ChannelFlux(blue())
    );
    assert_eq!(refused(Vec::new()), Refused::Channels(0));
    assert_eq!(
        refused(vec![channels("R").remove(0); 17]),
        Refused::Channels(17)
    );
    assert_eq!(refused(channels("WW+WW")), Refused::OneColour);
    assert_eq!(refused(channels("WW+WW+WW")), Refused::OneColour);
    assert_eq!(refused(channels("WW+CW+WW")), Refused::OneLine);
    let mut on_line = channels("R+G+B");
    let halves = [(on_line[0].light, 100.0), (on_line[1].light, 100.0)];
    on_line[2].light = milliglow_sim::colour::mix(halves).unwrap();
    assert_eq!(refused(on_line), Refused::OneLine);
}

#[test]
fn a_path_along_the_locus_stays_nearer_to_it() {
    let lights = luminaire("R+G+B+A+WW");
    let kelvins = even_in_mirek(2_700.0, 6_500.0, 8);
    assert_eq!((kelvins[0], kelvins[7]), (2_700.0, 6_500.0));
    let whites: Vec<_> = kelvins.into_iter().map(white).collect();
    let recipes = same_flux(&lights, &whites, None, Aim::EvenLoad).unwrap();
    let shares: Vec<&[f64]> = recipes.iter().map(|solved| &*solved.shares).collect();
    let straight = worst_duv(&lights, &[shares[0], shares[7]]).unwrap();
    let along = worst_duv(&lights, &shares).unwrap();
    // The chord of the locus runs below it, towards pink.
    assert!(
        straight.duv < -0.005 && along.duv.abs() < 0.0005,
        "{straight:?} {along:?}"
    );
    for solved in &recipes {
        assert_near(solved.flux_lm, recipes[0].flux_lm, 1e-6, "one flux");
    }
    let least = recipes
        .iter()
        .map(|solved| solved.reachable_lm)
        .fold(1e9, f64::min);
    assert_near(recipes[0].flux_lm, least, 1e-6, "the most that all reach");
}

fn light() -> impl Strategy<Value = Xy> {
    (0.005..0.62_f64, 0.02..0.585_f64)
        .prop_map(|(u, v)| Uv { u, v }.to_xy())
        .prop_filter("a real light", |xy| xy.y > 0.005 && is_real(*xy))
}

fn any_channels() -> impl Strategy<Value = Primaries> {
    let channel = (light(), 1.0..1_000.0_f64, 0.1..20.0_f64);
    prop::collection::vec(channel, 1..=16).prop_filter_map("a gamut", |channels| {
        let primary = |(k, (light, flux_lm, power_w)): (usize, (Xy, f64, f64))| Primary {
            name: k.to_string(),
            light,
            flux_lm,
            power_w: Some(power_w),
        };
        Primaries::new(channels.into_iter().enumerate().map(primary).collect()).ok()
    })
}

fn assert_sound(primaries: &Primaries, found: &Solved) -> Result<(), TestCaseError> {
    let place = primaries.gamut().place(found.asked.to_uv());
    prop_assert!(
        found.shares.iter().all(|share| (0.0..=1.0).contains(share)),
        "{found:?}"
    );
    prop_assert!(
        found.light.to_uv().distance(place.nearest) <= 1e-6,
        "{found:?} {place:?}"
    );
    if found.in_gamut {
        prop_assert!((found.light.x - found.asked.x).abs() <= 1e-6, "{found:?}");
        prop_assert!((found.light.y - found.asked.y).abs() <= 1e-6, "{found:?}");
    }
    prop_assert_eq!(found.in_gamut, place.distance == 0.0);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn shares_give_the_colour_for_any_channels(primaries in any_channels(), asked in light(), part in 1e-4..1.0_f64) {
        let most = solve(&primaries, Wanted::Light(asked), Aim::MostFlux).unwrap();
        assert_sound(&primaries, &most)?;
        let inside = most.shares.iter().filter(|share| **share > 0.0 && **share < 1.0).count();
        prop_assert!(inside <= 2, "{most:?}");
        prop_assert!(most.shares.contains(&1.0), "{most:?}");
        let flux_lm = most.flux_lm * part;
        for aim in [Aim::LeastPower(flux_lm), Aim::EvenLoad(flux_lm)] {
            let found = solve(&primaries, Wanted::Light(asked), aim).unwrap();
            assert_sound(&primaries, &found)?;
            prop_assert!((found.flux_lm / flux_lm - 1.0).abs() < 1e-6, "{found:?}");
        }
    }

    /// A colour that shares give is found again, with no less flux.
    #[test]
    fn a_mixture_is_reached_again(primaries in any_channels(), shares in prop::collection::vec(0.0..=1.0_f64, 16)) {
        let mixture = primaries.mixture(&shares);
        prop_assume!(mixture.flux_lm > 0.0);
        let found = solve(&primaries, Wanted::Light(mixture.light.unwrap()), Aim::MostFlux).unwrap();
        prop_assert!(found.in_gamut, "{found:?}");
        prop_assert!(found.flux_lm >= mixture.flux_lm * (1.0 - 1e-6), "{found:?} {mixture:?}");
        assert_sound(&primaries, &found)?;
    }

    #[test]
    fn scaling_all_shares_moves_no_chromaticity(primaries in any_channels(), asked in light(), light in 1e-6..1.0_f64) {
        let found = solve(&primaries, Wanted::Light(asked), Aim::MostFlux).unwrap();
        let dimmed: Vec<f64> = found.shares.iter().map(|share| share * light).collect();
        let mixed = primaries.mixture(&dimmed);
        prop_assert!(mixed.light.unwrap().to_uv().distance(found.light.to_uv()) < 1e-12);
        prop_assert!((mixed.flux_lm / found.flux_lm / light - 1.0).abs() < 1e-12);
    }
}

/// The nearest colour is the nearest by search along the outline, too.
#[test]
fn an_unreachable_colour_gets_the_nearest_one() {
    let lights = luminaire("R+G+B+WW");
    for (x, y) in [
        (0.1, 0.2),
        (0.05, 0.5),
        (0.4, 0.55),
        (0.55, 0.2),
        (0.73, 0.265),
        (0.16, 0.02),
    ] {
        let asked = Xy { x, y };
        let found = solve(&lights, Wanted::Light(asked), Aim::MostFlux).unwrap();
        assert!(!found.in_gamut);
        let corners: Vec<Uv> = Gamut::of(
            lights
                .channels()
                .iter()
                .map(|channel| channel.light.to_uv()),
        )
        .corners()
        .collect();
        let outline = corners
            .iter()
            .zip(corners.iter().cycle().skip(1))
            .flat_map(|(a, b)| {
                (0..=10_000)
                    .map(move |k| f64::from(k) / 1e4)
                    .map(move |t| Uv {
                        u: a.u + (b.u - a.u) * t,
                        v: a.v + (b.v - a.v) * t,
                    })
            });
        let least = outline
            .map(|uv| uv.distance(asked.to_uv()))
            .fold(1.0, f64::min);
        assert_near(found.distance, least, 1e-6, "the nearest of the outline");
        assert_near(
            found.light.to_uv().distance(asked.to_uv()),
            least,
            1e-6,
            "reached",
        );
    }
}

#[test]
fn d65_by_name_by_white_and_by_tristimulus_values_is_one_recipe() {
    let lights = luminaire("R+G+B+A+WW");
    let light = named_white("D65").unwrap();
    let by_name = solve(&lights, Wanted::Light(light), Aim::MostFlux).unwrap();
    let White { cct_k, duv } = White::of(light).unwrap();
    let by_white = Wanted::White {
        cct_k,
        duv: Some(duv),
    };
    let by_white = solve(&lights, by_white, Aim::MostFlux).unwrap();
    let values = [
        light.x / light.y * 5.0,
        5.0,
        (1.0 - light.x - light.y) / light.y * 5.0,
    ];
    let light = Xy::from_tristimulus(values).unwrap();
    let by_values = solve(&lights, Wanted::Light(light), Aim::MostFlux).unwrap();
    for k in 0..5 {
        assert_near(by_white.shares[k], by_name.shares[k], 2e-4, "by white");
        assert_near(by_values.shares[k], by_name.shares[k], 1e-9, "by values");
    }
}
