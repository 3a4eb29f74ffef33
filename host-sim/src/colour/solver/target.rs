//! From what was asked for to one chromaticity.

use super::super::planck::passing;
use super::super::{CCT_RANGE_K, LARGEST_DUV, Uv, White, Xy, is_real};
use super::{Primaries, Refused};

/// A wanted colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wanted {
    /// This chromaticity.
    Light(Xy),
    /// A white: of this CCT in K and this Duv. Without a Duv two channels give the CCT on their own line, whatever
    /// its Duv, and more channels give it on the Planckian locus.
    White {
        /// CCT in K.
        cct_k: f64,
        /// Duv, if it matters.
        duv: Option<f64>,
    },
}

impl Wanted {
    pub(super) fn resolve(self, primaries: &Primaries) -> Result<Xy, Refused> {
        let light = match self {
            Self::Light(light) => light,
            Self::White { cct_k, duv } => white(cct_k, duv, primaries)?,
        };
        let is_light = light.y > 0.0 && light.x.is_finite() && is_real(light);
        is_light.then_some(light).ok_or(Refused::Colour(light))
    }
}

fn white(cct_k: f64, duv: Option<f64>, primaries: &Primaries) -> Result<Xy, Refused> {
    if !CCT_RANGE_K.contains(&cct_k) {
        return Err(Refused::Cct(cct_k));
    }
    if let Some(duv) = duv.filter(|duv| duv.is_nan() || duv.abs() > LARGEST_DUV) {
        return Err(Refused::Duv(duv));
    }
    let on_line = || match primaries.gamut().corners().collect::<Vec<_>>()[..] {
        [from, to] => on_line(from, to, cct_k),
        _ => None,
    };
    let free = if duv.is_none() { on_line() } else { None };
    Ok(free.unwrap_or_else(|| {
        let duv = duv.unwrap_or(0.0);
        White { cct_k, duv }.to_xy()
    }))
}

/// Where the line between two lights has this CCT: where it crosses the normal of the Planckian locus there. None if it
/// does so beyond its ends or too far from the locus.
fn on_line(from: Uv, to: Uv, cct_k: f64) -> Option<Xy> {
    let locus = passing(cct_k);
    let (from, to) = (from.to_xy().to_uv_1960(), to.to_xy().to_uv_1960());
    let along = |(u, v): (f64, f64)| u * locus.tangent.0 + v * locus.tangent.1;
    let part = (along(locus.at) - along(from)) / (along(to) - along(from));
    let crossing = (
        from.0 + (to.0 - from.0) * part,
        from.1 + (to.1 - from.1) * part,
    );
    let duv = (crossing.0 - locus.at.0).hypot(crossing.1 - locus.at.1);
    ((0.0..=1.0).contains(&part) && duv <= LARGEST_DUV).then(|| Xy::from_uv_1960(crossing))
}
