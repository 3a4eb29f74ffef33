//! Runs a luminaire and judges what comes of it: the holds at the test lights, every Level by arithmetic, the script.

mod asked_fade;
mod averages;
mod bus_watch;
mod chip;
mod colour;
mod colour_warm;
pub mod compare;
mod console_judge;
mod depth;
mod driving;
mod fade_judge;
mod fade_power;
mod fade_remedy;
mod fades;
mod flicker;
mod following;
pub(crate) mod glimpse;
mod hardware;
mod lowest;
mod moments;
#[cfg(test)]
mod one_channel;
mod pulse_survey;
mod pulses;
mod quantile;
mod range_change;
mod row_scan;
mod rules;
mod share_moves;
pub mod spread;
mod whites;
mod words;

use std::panic::resume_unwind;
use std::thread;

use crate::description::Description;
use crate::run::{Observed, core_curve, hold_all, tables_over_light};
use crate::verdict::Verdict;
use milliglow::Level;

/// Runs and judges. `progress` hears the fraction of the script that is done, 0 to 1. The script runs here, all that stands still
/// beside it.
pub fn check(description: &Description, progress: impl FnMut(f64)) -> (Observed, Vec<Verdict>) {
    let ((mut observed, mut verdicts), scripted) = thread::scope(|scope| {
        let still = scope.spawn(|| still(description));
        let scripted = fades::run_script(description, progress);
        let still = still.join().unwrap_or_else(|panic| resume_unwind(panic));
        (still, scripted)
    });
    // After averages and depth.
    verdicts.insert(2, scripted.verdicts);
    observed.script = scripted.moments;
    observed.fades = scripted.spans;
    observed.bus = scripted.bus;
    observed.white_fades = scripted.white_fades;
    // A bus has no script whose fades could have shown it.
    observed.fade_powers.extend(scripted.powers);
    (observed, verdicts.concat())
}

/// All but the script; verdicts by what they are about.
fn still(description: &Description) -> (Observed, Vec<Vec<Verdict>>) {
    let holds = hold_all(description);
    let pulse_rates = pulse_survey::survey(description);
    let driving = driving::observe(description, &holds);
    let flicker = flicker::figures(description, &holds);
    let metric_maps = flicker::metric_maps(description);
    let bands = flicker::bands(description);
    let rows = row_scan::scan(description);
    let warmed = colour_warm::warmed(description);
    let (colours, dimming) = colour::judge(description, &holds);
    let verdicts = vec![
        averages::judge(description, &holds),
        depth::judge(description, &holds),
        colours,
        colour_warm::judge(description, &warmed),
        pulses::judge(description, &holds),
        following::judge(description, &rows),
        range_change::judge(description, &rows),
        flicker::judge(description, &flicker, &metric_maps),
        flicker::judge_bands(description, &bands),
        vec![lowest::judge(description, &metric_maps, &bands)],
        chip::judge(description),
    ];
    let observed = Observed {
        curve: sampled_curve(description),
        holds,
        script: Vec::new(),
        fades: Vec::new(),
        bus: None,
        pulse_rates,
        flicker,
        metric_maps,
        bands,
        driving,
        light_errors: driving::light_errors(description),
        tables: tables_over_light(description),
        dimming,
        white_fades: Vec::new(),
        sights: flicker::sights(description),
        warmed,
        fade_powers: fade_power::fade_powers(description),
    };
    (observed, verdicts)
}

/// Every 64th Level, and the ends: enough for a plot and a table.
fn sampled_curve(description: &Description) -> Vec<(u16, f64)> {
    let curve = core_curve(description.curve);
    let levels = (0..=u16::MAX).step_by(64).chain([1, u16::MAX]);
    let mut sampled: Vec<_> = levels
        .map(|level| (level, curve.light(Level::from_bits(level)).as_f64()))
        .collect();
    sampled.sort_by_key(|&(level, _)| level);
    sampled
}
