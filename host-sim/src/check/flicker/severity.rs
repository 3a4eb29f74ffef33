//! PstLM of a light that stands still.

use super::light::Light;
use crate::metrics::flicker::pst_lm::{MIN_JUDGED_SECONDS, PstLm, SETTLING_SECONDS, Severity};

/// Light judged, after settling.
const SECONDS: f64 = 180.0;
/// Ticks stepped at the most, where ticks must be stepped: all of 200 s up to 10 MHz. Beyond it light is judged for less
/// long, but for 21 s in any case.
const STEPPED_TICKS: f64 = 2e9;

/// Reads 180 s: of the exact lines below 100 Hz of every channel that has a closed form, and of the streams of the others.
pub(super) fn severity(light: &Light, tick_hz: u32) -> Option<Severity> {
    let light = light.slow();
    let seconds = if light.is_stepped() {
        let most = STEPPED_TICKS / f64::from(tick_hz) - SETTLING_SECONDS;
        most.clamp(MIN_JUDGED_SECONDS + 1.0, SECONDS)
    } else {
        SECONDS
    };
    let mut meter = PstLm::new(light.sample_hz())?;
    light.sample(seconds + SETTLING_SECONDS, |block| meter.feed(block));
    meter.severity()
}

#[cfg(test)]
mod tests {
    use super::severity;
    use crate::check::flicker::light::Light;
    use crate::description::{BUILT_IN, Description, LevelChoice, Modulation, OperatingRow, parse};
    use crate::run::level;

    fn read(description: &Description) -> crate::metrics::flicker::pst_lm::Severity {
        let level = level(description, LevelChoice::Light(0.01));
        severity(&Light::new(description, 0, level), description.tick_hz).expect("light")
    }

    /// A luminaire of few ticks, so that its slow lines are strong.
    fn slow() -> Description {
        let mut cove = parse(BUILT_IN, "built in").unwrap();
        cove.tick_hz = 40_000;
        for channel in &mut cove.channels {
            channel.rows = vec![OperatingRow::PLAIN];
        }
        cove
    }

    #[test]
    fn streams_are_read_for_180_s() {
        let mut noisy = slow();
        noisy.channels[0].modulation = Modulation::SecondOrder;
        let seconds = read(&noisy).judged_seconds;
        assert!((seconds - 180.0).abs() < 0.5, "{seconds}");
    }

    /// A channel that is dark decides whether the others are read as lines only or as lines beside streams.
    #[test]
    fn lines_beside_a_dark_stream_read_as_lines_alone() {
        let mut beside = slow();
        let dark = beside.channels[0].clone();
        beside.channels.push(dark);
        let recipes = beside.recipes.iter_mut();
        recipes.for_each(|recipe| recipe.shares.push(0.0));
        beside.script.clear(); // Its recipes on the way have five channels.
        let lines = read(&beside).pst_lm;
        beside.channels[5].modulation = Modulation::SecondOrder;
        let mixed = read(&beside).pst_lm;
        assert!(lines > 0.02, "{lines}");
        assert!((mixed / lines - 1.0).abs() < 0.02, "{mixed} {lines}");
    }
}
