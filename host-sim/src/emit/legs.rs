//! Fades through recipes as several fades, for a language whose library has none through recipes.

use crate::description::{Description, Fade, LevelChoice, Recipe};
use crate::run::{control_steps, leg_ends, level};

/// Each leg becomes a fade of its own, and each recipe on the way a recipe.
///
/// Where the Level stands the streams stay the same. Where it moves, it is where the whole fade would have it at the end of each leg, and
/// within one Level of that between; a script that loops must not begin with such a fade, since its legs are those from black.
pub(super) fn as_fades(description: &Description) -> Description {
    let mut made = description.clone();
    made.script.clear();
    let mut from = 0;
    for (place, fade) in description.script.iter().enumerate() {
        let to = level(description, fade.level).to_bits();
        if fade.through.is_empty() {
            made.script.push(fade.clone());
        } else {
            legs(&mut made, place, fade, [from, to]);
        }
        from = to;
    }
    made
}

fn legs(made: &mut Description, place: usize, fade: &Fade, levels: [u16; 2]) {
    let steps = control_steps(made, fade);
    let ends = leg_ends(steps, fade.through.len() + 1);
    let first = made.recipes.len();
    for (k, shares) in fade.through.iter().enumerate() {
        let name = format!("fade {} on the way {}", place + 1, k + 1);
        made.recipes.push(Recipe::plain(name, shares.clone()));
    }
    let mut begin = 0;
    for (k, &end) in ends.iter().enumerate() {
        made.script.push(Fade {
            recipe: if k < fade.through.len() {
                first + k
            } else {
                fade.recipe
            },
            level: LevelChoice::Level(level_at(levels, end, steps)),
            seconds: f64::from(end - begin) / f64::from(made.control_hz),
            through: Vec::new(),
        });
        begin = end;
    }
}

/// As the core's fade: rounded towards where it began.
fn level_at([from, to]: [u16; 2], step: u32, of: u32) -> u16 {
    let moved = u64::from(from.abs_diff(to)) * u64::from(step) / u64::from(of);
    let moved = moved as u16;
    if to >= from {
        from + moved
    } else {
        from - moved
    }
}

#[cfg(test)]
mod tests {
    use super::{as_fades, level_at};
    use crate::description::{BUILT_IN, parse};
    use crate::run::{control_steps, level};

    #[test]
    fn legs_take_the_time_of_the_fade_and_end_where_it_would_be() {
        let cove = parse(BUILT_IN, "built in").unwrap();
        let made = as_fades(&cove);
        assert_eq!((cove.script.len(), made.script.len()), (5, 11));
        assert_eq!(made.recipes.len(), 3 + 6);
        let steps = made.script[1..8]
            .iter()
            .map(|leg| control_steps(&made, leg));
        assert_eq!(steps.sum::<u32>(), control_steps(&cove, &cove.script[1]));
        assert_eq!(made.script[7].recipe, 1);
        assert!(
            made.script[1..8]
                .iter()
                .all(|leg| level(&made, leg.level).to_bits() == 65_535)
        );
        assert_eq!([0, 3, 7].map(|step| level_at([10, 3], step, 7)), [10, 7, 3]);
        assert_eq!(level_at([3, 10], 1, 2), 6);
    }
}
