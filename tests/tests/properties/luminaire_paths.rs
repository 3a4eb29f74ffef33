//! Luminaires that fade through recipes: each is met on its control step, the last together with the Level.

use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::{Fade, Pace};
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Error, Level, Path, Recipe, Share};
use milliglow_tests::cases::{cases, fractions, log_uniform};
use proptest::array::uniform3;
use proptest::collection::vec;
use proptest::prelude::*;

type Written = Vec<(Recipe<3>, u32)>;

fn recipe() -> impl Strategy<Value = Recipe<3>> {
    uniform3(fractions()).prop_map(|shares| Recipe::new(shares.map(Share::from_bits)))
}

fn written() -> impl Strategy<Value = Written> {
    vec((recipe(), log_uniform(1..=1_000)), 1..=16)
}

fn path(written: &Written) -> Path<3, 16> {
    Path::new(written).expect("1 to 16 recipes")
}

fn lit(level: u16, recipe: Recipe<3>) -> Luminaire<'static, 3> {
    let curve = Curve::Exponential(Exponential::new(1_000, 2_048).expect("allowed"));
    let configuration = Configuration::new(curve, [Modulation::FirstOrder; 3], 1);
    let mut luminaire = Luminaire::new(&configuration).expect("a seed");
    let level = Level::from_bits(level);
    luminaire.fade_to(&Target { level, recipe }, Pace::AT_ONCE);
    luminaire.control_step();
    luminaire
}

fn bits(recipe: &Recipe<3>) -> [u32; 3] {
    recipe.shares().map(Share::to_bits)
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn shares_are_on_the_legs_and_the_level_on_its_line_in_every_control_step(
        written in written(), from in recipe(), from_level in 1_u16.., to in any::<u16>(),
    ) {
        let path = path(&written);
        let mut luminaire = lit(from_level, from);
        let mut level = Fade::at([u32::from(from_level)]);
        let steps = written.iter().map(|(_, steps)| steps).sum();
        level.start(&[to.into()], Pace::new(steps));
        luminaire.fade_through(Level::from_bits(to), &path);
        let mut shares = Fade::at(bits(&from));
        for (recipe, steps) in &written {
            shares.start(&bits(recipe), Pace::new(*steps));
            for _ in 0..*steps {
                prop_assert!(luminaire.remaining() > 0);
                luminaire.control_step();
                shares.step();
                level.step();
                prop_assert_eq!(luminaire.shares().map(Share::to_bits), shares.values());
                prop_assert_eq!([u32::from(luminaire.level().to_bits())], level.values());
            }
            prop_assert_eq!(&luminaire.shares(), recipe.shares());
        }
        prop_assert_eq!((path.steps(), luminaire.remaining()), (steps, 0));
        prop_assert_eq!(luminaire.level().to_bits(), to);
        (0..5).for_each(|_| luminaire.control_step());
        prop_assert_eq!(luminaire.shares().map(Share::to_bits), shares.values());
    }

    #[test]
    fn from_the_dark_the_colour_begins_at_the_first_recipe(written in written(), from in recipe()) {
        let path = path(&written);
        let mut luminaire = lit(0, from);
        luminaire.fade_through(Level::FULL, &path);
        let (first, steps) = written[0];
        for _ in 0..steps {
            luminaire.control_step();
            prop_assert_eq!(&luminaire.shares(), first.shares());
        }
        (steps..path.steps()).for_each(|_| luminaire.control_step());
        prop_assert_eq!(&luminaire.shares(), written[written.len() - 1].0.shares());
        prop_assert_eq!((luminaire.level(), luminaire.remaining()), (Level::FULL, 0));
    }

    #[test]
    fn turned_at_any_moment_without_a_jump(
        written in written(), others in written(), from in recipe(), to in recipe(), levels in uniform3(1_u16..), part in 0.0..=1.0,
    ) {
        let (one, other) = (path(&written), path(&others));
        let mut luminaire = lit(levels[0], from);
        luminaire.fade_through(Level::from_bits(levels[1]), &one);
        (0..(f64::from(one.steps()) * part) as u32).for_each(|_| luminaire.control_step());
        let held = (luminaire.level(), luminaire.shares());
        luminaire.fade_through(Level::from_bits(levels[2]), &other);
        prop_assert_eq!((luminaire.level(), luminaire.shares()), held);
        (0..other.steps() / 2).for_each(|_| luminaire.control_step());
        let held = (luminaire.level(), luminaire.shares());
        luminaire.fade_to(&Target { level: Level::FULL, recipe: to }, Pace::new(50));
        prop_assert_eq!((luminaire.level(), luminaire.shares()), held);
        (0..50 + other.steps()).for_each(|_| luminaire.control_step());
        prop_assert_eq!(&luminaire.shares(), to.shares());
    }

    #[test]
    fn a_pause_holds_and_every_recipe_is_met_later_by_it(
        written in written(), from in recipe(), part in 0.0..=1.0, pause in 1_u32..200,
    ) {
        let path = path(&written);
        let mut luminaire = lit(9_000, from);
        luminaire.fade_through(Level::FULL, &path);
        let before = (f64::from(path.steps()) * part) as u32;
        (0..before).for_each(|_| luminaire.control_step());
        let held = (luminaire.level(), luminaire.shares(), luminaire.remaining());
        luminaire.pause();
        (0..pause).for_each(|_| luminaire.control_step());
        prop_assert_eq!((luminaire.level(), luminaire.shares(), luminaire.remaining()), held);
        luminaire.resume();
        let mut end = 0;
        for (recipe, steps) in &written {
            end += steps;
            if end > before {
                (0..end - luminaire_steps(&luminaire, &path)).for_each(|_| luminaire.control_step());
                prop_assert_eq!(&luminaire.shares(), recipe.shares());
            }
        }
        prop_assert_eq!(luminaire.remaining(), 0);
    }
}

/// Control steps of a path that have gone.
fn luminaire_steps(luminaire: &Luminaire<3>, path: &Path<3, 16>) -> u32 {
    path.steps() - luminaire.remaining()
}

#[test]
fn what_is_no_path_is_refused() {
    let recipe = Recipe::new([Share::FULL; 3]);
    let refused = |recipes: &[(Recipe<3>, u32)]| {
        assert_eq!(
            Path::<3, 2>::new(recipes).map(|path| path.steps()),
            Err(Error::Path)
        );
    };
    refused(&[]);
    refused(&[(recipe, 1); 3]);
    refused(&[(recipe, 1), (recipe, 0)]);
    refused(&[(recipe, u32::MAX), (recipe, 1)]);
    let longest = Path::<3, 2>::new(&[(recipe, u32::MAX - 1), (recipe, 1)]);
    assert_eq!(longest.map(|path| path.steps()), Ok(u32::MAX));
}
