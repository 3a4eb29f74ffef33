//! Lights at which a timer's error feedback is slowest: a hair from a whole duty the decision that it adds comes once in many
//! periods. Deep down, where it is the largest part of the light, that is the worst light there is.

use milliglow::Level;

use crate::description::{Channel, Description, LevelChoice, Modulation};
use crate::run::{Driven, core_curve, level};

/// Levels tried on each side of a whole duty.
const AWAY: [u16; 5] = [1, 2, 4, 11, 32];

/// Whole duties tried: the lowest ones in use.
const DUTIES: u32 = 2;

/// Levels round the lowest whole duties of each timer that error feedback or dither serves.
pub(super) fn near_duties(description: &Description, recipe: usize) -> Vec<Level> {
    let lowest = description.requirements.lowest_light;
    let channels = description.channels.iter();
    let lit = channels.zip(&description.recipes[recipe].shares);
    let lights = lit
        .filter(|(_, share)| **share > 0.0)
        .flat_map(|(channel, &share)| whole_duties(description, channel, lowest * share, share));
    lights
        .filter(|light| (lowest..1.0).contains(light))
        .flat_map(|light| round(level(description, LevelChoice::Light(light))))
        .filter(|&level| core_curve(description.curve).light(level).as_f64() >= lowest)
        .collect()
}

/// The lights of the luminaire at which a channel's duty is whole, from its lowest on.
fn whole_duties(description: &Description, channel: &Channel, lowest: f64, share: f64) -> Vec<f64> {
    let Modulation::Timer { bits, order, .. } = channel.modulation else {
        return Vec::new();
    };
    if order == 0 {
        return Vec::new();
    }
    let driven = Driven::new(description, channel);
    let row = driven.rows[0];
    let booked = match description.operating.edge_correction {
        true => row.edge_loss / f64::from(driven.stretches[0]),
        false => 0.0,
    };
    let period = f64::from(1u32 << bits) / row.full;
    let first = (lowest * period + booked).ceil().max(1.0);
    let duties = (0..DUTIES).map(|more| first + f64::from(more));
    duties
        .map(|duty| (duty - booked) / period / share)
        .collect()
}

fn round(level: Level) -> impl Iterator<Item = Level> {
    let bits = level.to_bits();
    let away = AWAY.into_iter();
    let below = away.clone().map(move |away| bits.saturating_sub(away));
    let above = away.map(move |away| bits.saturating_add(away));
    below.chain([bits]).chain(above).map(Level::from_bits)
}

#[cfg(test)]
mod tests {
    use super::near_duties;
    use crate::check::flicker::{metric_maps, row_at};
    use crate::check::one_channel::one_channel;
    use crate::description::{Description, LevelChoice, Modulation};
    use crate::run::level;

    /// One channel of a timer of 12 bits, 11.7 kHz, with error feedback.
    fn timer() -> Description {
        let mut made = one_channel();
        made.tick_hz = 48_000_000;
        made.channels[0].modulation = Modulation::Timer {
            bits: 12,
            order: 1,
            width_shift: None,
        };
        made
    }

    /// Duties of 5 and 6: 0.1221 % and 0.1465 % of light.
    #[test]
    fn levels_lie_round_the_lowest_whole_duties() {
        let timer = timer();
        let levels = near_duties(&timer, 0);
        assert_eq!(levels.len(), 22);
        for duty in [5.0, 6.0] {
            let here = level(&timer, LevelChoice::Light(duty / 4_096.0));
            assert!(levels.contains(&here));
        }
    }

    /// The search finds light whose slow lines weigh many times what they weigh at 0.1 %.
    #[test]
    fn the_worst_light_of_a_timer_is_searched_for() {
        let timer = timer();
        let deepest = level(&timer, LevelChoice::Light(0.001));
        let here = row_at(&timer, 0, deepest).slow_flicker;
        let maps = metric_maps(&timer);
        let rows = maps[0].rows.iter();
        let worst = rows.max_by(|a, b| a.slow_flicker.total_cmp(&b.slow_flicker));
        let worst = worst.unwrap();
        assert!(worst.slow_flicker > 20.0 * here, "{worst:?} {here}");
        assert!((0.0012..0.00149).contains(&worst.light), "{worst:?}");
    }
}
