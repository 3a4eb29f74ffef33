//! Drivers that cannot be: the figure, its value, and what is allowed.

use milliglow_sim::optics::drivers::{
    Decay, Driver, DriverError, Exponential, ExponentialFigures, Gated, LightDecay, Slew,
    SlewFigures,
};

#[test]
fn messages_say_what_and_what_is_allowed() {
    let refused = Slew::new(SlewFigures {
        fall_s: -1e-9,
        ..SlewFigures::default()
    })
    .unwrap_err();
    assert_eq!(refused.to_string(), "the fall of -1e-9 is not possible");
    assert_eq!(refused.allowed(), "0.0 to 1.0");
    let slew = Slew::new(SlewFigures {
        rise_s: 400e-9,
        ..SlewFigures::default()
    })
    .unwrap();
    let refused = Gated::new(&Driver::Slew(slew), 250e-9, 1).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "the current needs 400 ns to rise, and a pulse lasts 250 ns"
    );
}

#[test]
fn figures_out_of_range_are_refused() {
    for bad in [f64::NAN, f64::INFINITY, -1e-12, 1.1] {
        let slews = [
            SlewFigures {
                rise_s: bad,
                ..SlewFigures::default()
            },
            SlewFigures {
                fall_s: bad,
                ..SlewFigures::default()
            },
            SlewFigures {
                turn_on_delay_s: bad,
                ..SlewFigures::default()
            },
            SlewFigures {
                turn_off_delay_s: bad,
                ..SlewFigures::default()
            },
            SlewFigures {
                turn_on_charge_s: bad,
                ..SlewFigures::default()
            },
        ];
        assert!(
            slews.iter().all(|figures| Slew::new(*figures).is_err()),
            "{bad}"
        );
        let edges = [
            ExponentialFigures {
                rise_constant_s: bad,
                ..ExponentialFigures::default()
            },
            ExponentialFigures {
                fall_constant_s: bad,
                ..ExponentialFigures::default()
            },
        ];
        assert!(
            edges
                .iter()
                .all(|figures| Exponential::new(*figures).is_err()),
            "{bad}"
        );
        let decay = Decay {
            part: bad,
            constant_s: 1e-6,
        };
        assert!(LightDecay::new(&[decay]).is_err(), "{bad}");
    }
    for tick_s in [0.0, -1e-6, f64::NAN, 2.0] {
        assert!(matches!(
            Gated::new(&Driver::Ideal, tick_s, 1),
            Err(DriverError::Figure { name: "tick", .. })
        ));
    }
    assert!(Gated::new(&Driver::Ideal, 1e-6, 0).is_err());
    let third = Decay {
        part: 0.4,
        constant_s: 1e-6,
    };
    assert!(LightDecay::new(&[third, third]).is_ok());
    assert!(LightDecay::new(&[third; 3]).is_err());
    let most = Decay {
        part: 0.6,
        constant_s: 1e-6,
    };
    assert!(LightDecay::new(&[most, most]).is_err());
}
