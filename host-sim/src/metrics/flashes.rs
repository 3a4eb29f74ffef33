//! Flashes that repeat, in light as it is.
//!
//! Source: Epilepsia 2005, doi 10.1111/j.1528-1167.2005.31305.x: flashes are hazardous from 3 Hz on where luminance changes by
//! 20 cd/m2 or more over 0.006 sr or more. The angle is taken as exceeded. Transitions of saturated red, which count below
//! 20 cd/m2 too, are not told apart.

use std::collections::VecDeque;

/// Change of luminance that makes a flash, in cd/m2.
pub const CHANGE_CD_M2: f64 = 20.0;

/// Flashes are hazardous from so many a second on.
pub const HAZARDOUS_HZ: f64 = 3.0;

/// Periods that a rate is taken over: so many make a second at the rate that is hazardous.
const PERIODS: usize = 3;

/// Time that luminance is averaged over before weights of 1, 3, 3, 1 follow: a step stays a step that nowhere turns back, and
/// 25 Hz keeps three quarters of its swing, 50 Hz a third, 90 Hz 0.3 %.
const AVERAGED_S: f64 = 0.005;

/// Counts the flashes of a luminance, sample by sample. *State*: constant.
#[derive(Clone, Debug)]
pub struct FlashWatch {
    samples: u32,
    sum: f64,
    count: u32,
    /// The last averages, the newest last.
    averages: [f64; 4],
    /// Averages so far, and seconds of each.
    seen: u64,
    average_s: f64,
    /// Whether luminance last rose by enough, and its extreme since.
    bright: bool,
    extreme: f64,
    /// When the last flashes began, the newest last.
    begins: VecDeque<u64>,
    flashes: u64,
    /// Least averages that so many periods took.
    shortest: Option<u64>,
}

impl FlashWatch {
    /// Of a luminance that is dark before, sampled at a rate of at least 400 Hz.
    #[must_use]
    pub fn new(sample_hz: f64) -> Self {
        let samples = (AVERAGED_S * sample_hz).round().max(1.0);
        Self {
            samples: samples as u32,
            sum: 0.0,
            count: 0,
            averages: [0.0; 4],
            seen: 0,
            average_s: samples / sample_hz,
            bright: false,
            extreme: 0.0,
            begins: VecDeque::with_capacity(PERIODS + 1),
            flashes: 0,
            shortest: None,
        }
    }

    /// The next sample in cd/m2.
    pub fn see(&mut self, cd_m2: f64) {
        self.sum += cd_m2;
        self.count += 1;
        if self.count == self.samples {
            self.averages.rotate_left(1);
            self.averages[3] = self.sum / f64::from(self.samples);
            (self.sum, self.count) = (0.0, 0);
            self.seen += 1;
            let [oldest, older, newer, newest] = self.averages;
            self.follow((oldest + 3.0 * older + 3.0 * newer + newest) / 8.0);
        }
    }

    /// Flashes so far: rises of [`CHANGE_CD_M2`] or more, each after a fall of as much; the first from black.
    #[must_use]
    pub fn flashes(&self) -> u64 {
        self.flashes
    }

    /// The largest rate of four flashes in a row in Hz; 0 of fewer.
    #[must_use]
    pub fn rate_hz(&self) -> f64 {
        let rate = |averages| PERIODS as f64 / (averages as f64 * self.average_s);
        self.shortest.map_or(0.0, rate)
    }

    fn follow(&mut self, cd_m2: f64) {
        let change = cd_m2 - self.extreme;
        if self.bright {
            self.extreme = self.extreme.max(cd_m2);
            if change <= -CHANGE_CD_M2 {
                (self.bright, self.extreme) = (false, cd_m2);
            }
        } else {
            self.extreme = self.extreme.min(cd_m2);
            if change >= CHANGE_CD_M2 {
                (self.bright, self.extreme) = (true, cd_m2);
                self.flash();
            }
        }
    }

    fn flash(&mut self) {
        self.flashes += 1;
        self.begins.push_back(self.seen);
        if self.begins.len() > PERIODS {
            let took = self.begins.pop_front().map(|first| self.seen - first);
            self.shortest = [self.shortest, took].into_iter().flatten().min();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::FlashWatch;
    use std::f64::consts::TAU;

    const RATE_HZ: f64 = 14_000.0;

    fn watched(seconds: f64, luminance: impl Fn(f64) -> f64) -> FlashWatch {
        let mut watch = FlashWatch::new(RATE_HZ);
        for k in 0..(seconds * RATE_HZ) as u32 {
            watch.see(luminance(f64::from(k) / RATE_HZ));
        }
        watch
    }

    fn square(hertz: f64, high: f64, low: f64) -> impl Fn(f64) -> f64 {
        move |time| {
            if (time * hertz).fract() < 0.3 {
                high
            } else {
                low
            }
        }
    }

    #[test]
    fn flashes_have_the_rate_of_their_square_wave() {
        for hertz in [0.7, 2.9, 3.1, 12.0, 25.0] {
            let watch = watched(9.0, square(hertz, 300.0, 10.0));
            assert!(
                (watch.rate_hz() / hertz - 1.0).abs() < 0.05,
                "{hertz} {}",
                watch.rate_hz()
            );
            assert!(watch.flashes().abs_diff((9.0 * hertz).ceil() as u64) <= 1);
        }
    }

    #[test]
    fn three_flashes_are_no_rate() {
        let burst = |time: f64| {
            if time < 0.59 {
                square(5.0, 300.0, 0.0)(time)
            } else {
                0.0
            }
        };
        let watch = watched(3.0, burst);
        assert_eq!((watch.flashes(), watch.rate_hz()), (3, 0.0));
    }

    #[test]
    fn a_swing_below_20_cd_m2_is_none() {
        let swing = |high: f64| watched(5.0, square(5.0, high, 100.0)).rate_hz();
        assert_eq!(swing(119.0), 0.0);
        assert!(swing(121.0) > 4.8);
    }

    #[test]
    fn a_step_is_one_flash_and_fast_light_none() {
        let step = watched(2.0, |time| if time < 0.5 { 0.0 } else { 1_000.0 });
        assert_eq!(step.flashes(), 1);
        let fast = watched(5.0, |time| 500.0 * (1.0 + (TAU * 90.0 * time).sin()));
        assert_eq!(fast.flashes(), 1);
    }
}
