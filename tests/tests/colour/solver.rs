//! From a wanted colour to shares: published cases and the aims.

use super::{assert_near, list, luminaire, white, xy};
use milliglow_sim::colour::solver::{
    Aim, Primaries, Solved, Wanted, even_in_mirek, same_flux, solve, worst_duv,
};
use milliglow_sim::colour::{Gamut, Uv, White, Xy, named_white, planckian};
use milliglow_tests::data::rows;

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

/// A share of 1e-7 would be lit and pulse once in hours.
#[test]
fn even_load_leaves_no_specks() {
    let lights = luminaire("R+G+B+A+L+WW+CW");
    for kelvin in even_in_mirek(1_900.0, 20_000.0, 400) {
        let even = solve(&lights, white(kelvin), Aim::EvenLoad(150.0)).unwrap();
        assert!(even.in_gamut, "{kelvin}");
        let specks = even
            .shares
            .iter()
            .filter(|share| **share > 0.0 && **share < 1e-5);
        assert_eq!(specks.count(), 0, "{kelvin}: {even:?}");
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
