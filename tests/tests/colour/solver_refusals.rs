//! What no shares can be found for is refused.

use super::{channels, luminaire, white};
use milliglow_sim::colour::solver::{Aim, Primaries, Primary, Refused, Wanted, solve};
use milliglow_sim::colour::{Xy, mix};

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
    on_line[2].light = mix(halves).unwrap();
    assert_eq!(refused(on_line), Refused::OneLine);
}
