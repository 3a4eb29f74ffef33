//! The light steps that a fade makes from control step to control step.

use super::gsdf::step_jnd;

/// The largest light step seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LightStep {
    /// Brighter over darker, less 1.
    pub ratio: f64,
    /// The brighter of the two, as a fraction of full.
    pub light: f64,
}

/// Follows one fade: the largest step between lit lights, the first lit light from black and the last one before it.
///
/// Steps between two lights below `lowest_light` do not count as ratios: there, in a tail to black, any straight way
/// down has growing ratios, and the first and last lit light are the measure.
#[derive(Clone, Debug)]
pub struct StepWatch {
    lowest_light: f64,
    last: (f64, f64),
    /// The largest step between two lit lights, if there were any to compare.
    pub largest: Option<LightStep>,
    /// The first light after black.
    pub first_lit: Option<f64>,
    /// The last light before black.
    pub last_lit: Option<f64>,
    /// Luminance in cd/m2 that a unit of flux gives.
    cd_m2: f64,
    /// The largest step in just-noticeable differences of the GSDF, between luminances that it covers.
    pub largest_jnd: Option<f64>,
}

impl StepWatch {
    /// From the light (fraction of full) and flux (any unit, of which one gives `cd_m2`) before the fade.
    #[must_use]
    pub fn new(lowest_light: f64, light: f64, flux: f64, cd_m2: f64) -> Self {
        Self {
            lowest_light,
            last: (light, flux),
            largest: None,
            first_lit: None,
            last_lit: None,
            cd_m2,
            largest_jnd: None,
        }
    }

    /// Light and flux after the next control step; gives whether the flux moved.
    pub fn see(&mut self, light: f64, flux: f64) -> bool {
        let (last_light, last_flux) = std::mem::replace(&mut self.last, (light, flux));
        match (last_flux > 0.0, flux > 0.0) {
            (false, true) => self.first_lit = self.first_lit.or(Some(light)),
            (true, false) => self.last_lit = Some(last_light),
            (true, true) => {
                self.compare(last_light.max(light), last_flux, flux);
                let jnd = step_jnd(self.cd_m2, last_flux, flux);
                self.largest_jnd = self.largest_jnd.into_iter().chain(jnd).reduce(f64::max);
            }
            (false, false) => {}
        }
        flux != last_flux
    }

    fn compare(&mut self, light: f64, one: f64, other: f64) {
        let ratio = one.max(other) / one.min(other) - 1.0;
        if light >= self.lowest_light && self.largest.is_none_or(|largest| ratio > largest.ratio) {
            self.largest = Some(LightStep { ratio, light });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{StepWatch, step_jnd};

    #[test]
    fn finds_the_largest_step_and_the_lit_ends() {
        let mut watch = StepWatch::new(0.01, 0.0, 0.0, 2.0);
        for light in [0.0, 0.002, 0.006, 0.02, 0.022, 0.04, 0.0] {
            watch.see(light, 100.0 * light);
        }
        assert!((watch.largest.unwrap().ratio - (0.02 / 0.006 - 1.0)).abs() < 1e-12);
        assert_eq!(watch.largest_jnd, step_jnd(2.0, 0.6, 2.0));
        assert_eq!(
            (
                watch.largest.unwrap().light,
                watch.first_lit,
                watch.last_lit
            ),
            (0.02, Some(0.002), Some(0.04))
        );
    }
}
