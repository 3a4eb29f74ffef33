//! Whites by name: the nominal whites of ANSI C78.377 and the standard illuminants of CIE 15.

use super::Xy;
use super::hull::holds;

/// A nominal white and the quadrangle of chromaticities that may bear its name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NominalWhite {
    /// Its name.
    pub name: &'static str,
    /// CCT that it aims at, in K.
    pub target_k: f64,
    /// Half the height of the quadrangle, in K.
    pub tolerance_k: f64,
    /// Its centre.
    pub centre: Xy,
    /// The corners, counterclockwise in x, y from the warm end above the locus.
    pub corners: [Xy; 4],
}

impl NominalWhite {
    /// Whether a light may bear the name.
    #[must_use]
    pub fn holds(&self, light: Xy) -> bool {
        holds(
            &self.corners.map(|corner| (corner.x, corner.y)),
            (light.x, light.y),
            0.0,
        )
    }

    /// The nominal white whose quadrangle holds a light.
    #[must_use]
    pub fn around(light: Xy) -> Option<&'static Self> {
        NOMINAL_WHITES.iter().find(|white| white.holds(light))
    }
}

const fn xy((x, y): (f64, f64)) -> Xy {
    Xy { x, y }
}

const fn nominal(
    name: &'static str,
    (target_k, tolerance_k): (f64, f64),
    centre: (f64, f64),
    [a, b, c, d]: [(f64, f64); 4],
) -> NominalWhite {
    NominalWhite {
        name,
        target_k,
        tolerance_k,
        centre: xy(centre),
        corners: [xy(a), xy(b), xy(c), xy(d)],
    }
}

/// The nominal whites of ANSI C78.377, edition of 2015 and later (centres and corners from a secondary source).
#[rustfmt::skip]
pub const NOMINAL_WHITES: [NominalWhite; 8] = [
    nominal("2700 K", (2725.0, 145.0), (0.4578, 0.4101), [(0.4813, 0.4319), (0.4562, 0.4260), (0.4373, 0.3893), (0.4593, 0.3944)]),
    nominal("3000 K", (3045.0, 175.0), (0.4339, 0.4033), [(0.4562, 0.4260), (0.4303, 0.4173), (0.4150, 0.3821), (0.4373, 0.3893)]),
    nominal("3500 K", (3465.0, 245.0), (0.4078, 0.3930), [(0.4303, 0.4173), (0.4003, 0.4035), (0.3895, 0.3709), (0.4150, 0.3821)]),
    nominal("4000 K", (3985.0, 275.0), (0.3818, 0.3797), [(0.4003, 0.4035), (0.3737, 0.3880), (0.3671, 0.3583), (0.3895, 0.3709)]),
    nominal("4500 K", (4503.0, 243.0), (0.3613, 0.3670), [(0.3737, 0.3882), (0.3550, 0.3754), (0.3514, 0.3482), (0.3672, 0.3585)]),
    nominal("5000 K", (5028.0, 283.0), (0.3446, 0.3551), [(0.3550, 0.3753), (0.3375, 0.3619), (0.3366, 0.3373), (0.3515, 0.3481)]),
    nominal("5700 K", (5665.0, 355.0), (0.3287, 0.3425), [(0.3375, 0.3619), (0.3205, 0.3476), (0.3221, 0.3256), (0.3366, 0.3374)]),
    nominal("6500 K", (6530.0, 510.0), (0.3123, 0.3283), [(0.3205, 0.3477), (0.3026, 0.3311), (0.3067, 0.3119), (0.3221, 0.3255)]),
];

/// The standard illuminants of CIE 15 that lights are compared with.
pub const ILLUMINANTS: [(&str, Xy); 6] = [
    ("A", xy((0.447_58, 0.407_45))),
    ("D50", xy((0.345_67, 0.358_51))),
    ("D55", xy((0.332_43, 0.347_44))),
    ("D65", xy((0.312_72, 0.329_03))),
    ("D75", xy((0.299_03, 0.314_88))),
    ("E", xy((1.0 / 3.0, 1.0 / 3.0))),
];

/// A white by its name: `4000 K` (or `4000K`, or `4000`) for the centre of a nominal white, or a standard illuminant
/// such as `D65`.
#[must_use]
pub fn named_white(name: &str) -> Option<Xy> {
    let plain = |name: &str| name.replace(' ', "").to_uppercase();
    let wanted = plain(name);
    let nominal = NOMINAL_WHITES
        .iter()
        .find(|white| plain(white.name) == wanted || plain(white.name) == format!("{wanted}K"))
        .map(|white| white.centre);
    nominal.or_else(|| {
        let illuminant = ILLUMINANTS.iter().find(|(name, _)| *name == wanted);
        illuminant.map(|(_, xy)| *xy)
    })
}
