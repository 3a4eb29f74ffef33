//! For any frames, through the gear, the palette and a real luminaire: its light stays off or within the limits, moves by no more than the
//! command allows, and arrives on time, colour and Level together.

use crate::control_gear::*;
use crate::random_frames::event;
use milliglow::bus::{Colour, Movement, Palette};
use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::solve::{Chromaticity, Primary, TunableWhite};
use milliglow::{Level, Light, Recipe, Share, constant};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

const CURVE: Curve = Curve::Exponential(Exponential::IEC_LOGARITHMIC);
const WHITES: Configuration<2> = Configuration::new(CURVE, [Modulation::FirstOrder; 2], 1);
const WARM: Recipe<2> = Recipe::new([Share::FULL, Share::NONE]);
const COOL: Recipe<2> = Recipe::new([Share::NONE, Share::FULL]);
const PALETTE: Palette<2, 2> = constant!(Palette::new([(153, COOL), (370, WARM)]));

/// Chromaticities by the solver, all other colours by the palette.
fn recipe_of(whites: &TunableWhite, colour: Colour) -> Option<Recipe<2>> {
    match colour {
        Colour::Chromaticity { x, y } => {
            let [x, y] = [x, y].map(|value| f32::from(value) / 65_536.0);
            Some(whites.solve(Chromaticity { x, y }).recipe)
        }
        colour => PALETTE.recipe(colour),
    }
}

/// Two invented whites.
fn whites() -> TunableWhite {
    let primary = |x, y, flux| Primary {
        light: Chromaticity { x, y },
        flux,
    };
    let pair = [primary(0.459, 0.41, 100.0), primary(0.313, 0.337, 120.0)];
    TunableWhite::new(pair).expect("two whites")
}

/// What the firmware does with a movement.
fn carry_out(luminaire: &mut Luminaire<'_, 2>, recipe: &mut Recipe<2>, movement: &Movement) {
    let whites = whites();
    if let Some(wanted) = movement
        .colour
        .and_then(|colour| recipe_of(&whites, colour))
    {
        *recipe = wanted;
    }
    let target = |level| Target {
        level,
        recipe: *recipe,
    };
    if let Some(from) = movement.from {
        luminaire.fade_to(&target(from), Pace::AT_ONCE);
    }
    luminaire.fade_to(&target(movement.level), movement.pace);
}

/// The largest factor that a control step may change light by, where the Level moves by so many: the curve's slope, and its error.
fn allowed(moved: u32) -> f64 {
    1000_f64.powf(f64::from(moved) / 65_527.0) * (1.0 + 1e-6)
}

fn follow(events: &[(u16, bool, u32)]) -> Result<(), TestCaseError> {
    let mut bus = Bus::new();
    let mut luminaire = constant!(Luminaire::new(&WHITES));
    let mut recipe = WARM;
    let (mut due, mut a_step, mut began, mut has_set_out) = (0_u32, 0_u32, false, false);
    // What a control step may change of each share.
    let mut share_steps = [0_u32; 2];
    for &(frame, twice, steps) in events {
        for _ in 0..=u32::from(twice) {
            if let Some(movement) = bus.frame(frame).movement {
                let from = movement.from.unwrap_or(luminaire.level());
                due = movement.pace.steps();
                a_step = u32::from(from.to_bits().abs_diff(movement.level.to_bits()))
                    .div_ceil(due.max(1));
                began |= due == 0 || movement.from.is_some();
                let before = luminaire.shares();
                has_set_out = true;
                carry_out(&mut luminaire, &mut recipe, &movement);
                let ways = before.iter().zip(recipe.shares());
                let ways = ways.map(|(from, to)| from.to_bits().abs_diff(to.to_bits()));
                for (share_step, way) in share_steps.iter_mut().zip(ways) {
                    *share_step = way.div_ceil(due.max(1));
                }
            }
        }
        for _ in 0..steps {
            let (before, shares) = (luminaire.level(), luminaire.shares());
            if let Some(off) = bus.gear.control_step() {
                carry_out(&mut luminaire, &mut recipe, &off);
                (due, began) = (0, true);
            }
            luminaire.control_step();
            due = due.saturating_sub(1);
            // In time, within one control step, and where the gear says that it is.
            prop_assert_eq!(luminaire.level(), bus.gear.level(), "after {:04x}", frame);
            prop_assert_eq!(luminaire.remaining(), due);
            let light = |level: Level| CURVE.light(level).as_f64();
            let (now, lowest) = (
                light(luminaire.level()),
                Light::as_f64(CONFIGURATION.lowest),
            );
            let lit = luminaire
                .densities()
                .iter()
                .any(|density| density.to_bits() != 0);
            // A colour can be none of either white.
            let has_colour = luminaire.shares().iter().any(|share| share.to_bits() != 0);
            prop_assert!(now == 0.0 || now >= lowest * (1.0 - 1e-6), "{}", now);
            prop_assert!(lit == (now > 0.0 && has_colour), "{} {}", lit, now);
            if !began && before != Level::OFF {
                let ratio = (now / light(before)).max(light(before) / now);
                prop_assert!(ratio <= allowed(a_step), "a jump by {}", ratio);
                let moved = shares.iter().zip(luminaire.shares()).zip(share_steps);
                for ((from, to), share_step) in moved {
                    let moved = from.to_bits().abs_diff(to.to_bits());
                    prop_assert!(
                        moved <= share_step,
                        "{} of a share, not {}",
                        moved,
                        share_step
                    );
                }
            }
            // Colour arrives with the Level.
            if due == 0 && has_set_out {
                prop_assert_eq!(&luminaire.shares(), recipe.shares(), "after {:04x}", frame);
            }
            began = false;
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..cases() })]

    #[test]
    fn ten_thousand_frames(events in prop::collection::vec(event(), 10_000)) {
        follow(&events)?;
    }
}
