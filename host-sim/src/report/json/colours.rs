//! How colours dim, and fades between whites.

use serde_json::{Value, json};

use crate::colour::White;
use crate::report::Checked;
use crate::run::{Dimming, HeldColour, WhiteFade};

/// One object per recipe.
pub(super) fn colours(checked: &Checked) -> Vec<Value> {
    let dimming = checked.observed.dimming.iter();
    dimming.map(|dimming| colour(checked, dimming)).collect()
}

fn colour(checked: &Checked, dimming: &Dimming) -> Value {
    let recipe = &checked.description.recipes[dimming.recipe];
    json!({
        "recipe": recipe.name,
        "follows_level": recipe.follows_level(),
        "passes_n_step_at_light": dimming.passes_n_step,
        "test_lights": dimming.held.iter().map(held).collect::<Vec<_>>(),
    })
}

fn held(held: &HeldColour) -> Value {
    json!({
        "light": held.light,
        "delta_uv_densities": held.by_densities,
        "delta_uv_streams": held.by_streams,
    })
}

/// One object per fade from one white to another.
pub(super) fn white_fades(checked: &Checked) -> Vec<Value> {
    let fades = checked.observed.white_fades.iter();
    fades.map(white_fade).collect()
}

fn white_fade(fade: &WhiteFade) -> Value {
    json!({
        "fade": fade.fade + 1,
        "begin_s": fade.begin_s,
        "recipe": fade.recipe,
        "from": white(fade.from),
        "to": white(fade.to),
        "through": fade.through,
        "worst_straight": WhiteFade::farthest(&fade.straight).map(white),
        "worst": WhiteFade::farthest(&fade.along).map(white),
    })
}

fn white(white: White) -> Value {
    json!({ "cct_k": white.cct_k, "duv": white.duv })
}

#[cfg(test)]
mod tests {
    use crate::report::fixture;

    #[test]
    fn each_recipe_and_fade_has_its_figures() {
        let checked = fixture::checked();
        let colours = super::colours(&checked);
        assert_eq!(colours[1]["recipe"], "stars");
        assert_eq!(colours[1]["passes_n_step_at_light"], 9e-6);
        assert_eq!(colours[0]["test_lights"][2]["light"], 0.001);
        let fade = &super::white_fades(&checked)[0];
        assert_eq!(
            (&fade["fade"], &fade["recipe"]),
            (&2.into(), &"stars".into())
        );
        assert_eq!(fade["worst_straight"]["duv"], 0.0081);
        assert_eq!(fade["worst"]["duv"], 0.003);
    }
}
