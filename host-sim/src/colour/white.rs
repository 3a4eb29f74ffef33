//! Correlated colour temperature and distance from the Planckian locus, both ways.

use super::Xy;
use super::hull::{Point, distance};
use super::planck::passing;
use std::sync::OnceLock;

/// The temperatures in K that a CCT can have here.
pub const CCT_RANGE_K: std::ops::RangeInclusive<f64> = 1_000.0..=25_000.0;

/// Beyond this distance from the locus, in CIE 1960 u, v, a CCT means nothing (CIE 15).
pub const LARGEST_DUV: f64 = 0.05;

/// A white by its correlated colour temperature and its distance from the Planckian locus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct White {
    /// Correlated colour temperature in K.
    pub cct_k: f64,
    /// Signed distance from the locus in CIE 1960 u, v: above it (greenish) positive, below it (pinkish) negative.
    pub duv: f64,
}

/// The locus from below 1 000 K to above 25 000 K, each temperature 0.25 % above the one before.
struct Row {
    kelvin: f64,
    at: Point,
}

const SPACING: f64 = 1.0025;

/// Below this distance the triangle's solution is the better one, above it the parabola's (Ohno 2014).
const PARABOLIC_FROM: f64 = 0.002;

impl White {
    /// CCT and Duv of a chromaticity; none outside 1 000 to 25 000 K or farther than 0.05 from the locus, where they
    /// mean nothing.
    ///
    /// Ohno 2014 (Leukos 10:47), the combined solution over a table of 0.25 % steps. *Error*: within 0.5 K and 2e-5 of
    /// the nearest point on the locus for the whites that the tests hold.
    ///
    /// ```
    /// use milliglow_sim::colour::{White, Xy};
    /// let d65 = White::of(Xy { x: 0.31272, y: 0.32903 }).unwrap();
    /// assert!((d65.cct_k - 6503.0).abs() < 0.5 && (d65.duv - 0.0032).abs() < 2e-5);
    /// ```
    #[must_use]
    pub fn of(light: Xy) -> Option<Self> {
        let point = light.to_uv_1960();
        let rows = table();
        let to = |row: &Row| distance(row.at, point);
        let nearest = (0..rows.len()).min_by(|&a, &b| to(&rows[a]).total_cmp(&to(&rows[b])))?;
        let [before, middle, after] = rows.get(nearest.checked_sub(1)?..nearest + 2)? else {
            return None;
        };
        let triangle = triangular(before, after, point);
        let white = if triangle.duv.abs() < PARABOLIC_FROM {
            triangle
        } else {
            let (kelvin, far) = parabolic([before, middle, after], point);
            Self {
                cct_k: kelvin,
                duv: far.copysign(triangle.duv),
            }
        };
        (CCT_RANGE_K.contains(&white.cct_k) && white.duv.abs() <= LARGEST_DUV).then_some(white)
    }

    /// The chromaticity: from the locus at this temperature, straight across it.
    #[must_use]
    pub fn to_xy(self) -> Xy {
        let passing = passing(self.cct_k);
        let (du, dv) = passing.tangent;
        // Rising temperature moves the locus to smaller u, so that this normal points to larger v.
        let scale = self.duv / du.hypot(dv);
        Xy::from_uv_1960((passing.at.0 + dv * scale, passing.at.1 - du * scale))
    }
}

fn table() -> &'static [Row] {
    static ROWS: OnceLock<Vec<Row>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let begin = CCT_RANGE_K.start() / SPACING.powi(2);
        let end = CCT_RANGE_K.end() * SPACING.powi(2);
        std::iter::successors(Some(begin), |kelvin| Some(kelvin * SPACING))
            .take_while(|kelvin| *kelvin <= end)
            .map(|kelvin| Row {
                kelvin,
                at: passing(kelvin).at,
            })
            .collect()
    })
}

/// The foot of the point on the chord between two rows.
fn triangular(before: &Row, after: &Row, point: Point) -> White {
    let chord = distance(before.at, after.at);
    let (first, second) = (distance(before.at, point), distance(after.at, point));
    let along = (first * first - second * second + chord * chord) / (2.0 * chord);
    let part = along / chord;
    let foot_v = before.at.1 + (after.at.1 - before.at.1) * part;
    White {
        cct_k: before.kelvin + (after.kelvin - before.kelvin) * part,
        duv: (first * first - along * along)
            .max(0.0)
            .sqrt()
            .copysign(point.1 - foot_v),
    }
}

/// Temperature and distance at the lowest point of the parabola through the distances of three rows.
fn parabolic(rows: [&Row; 3], point: Point) -> (f64, f64) {
    let [before, here, after] = rows.map(|row| distance(row.at, point));
    let origin = rows[1].kelvin;
    let (left, right) = (rows[0].kelvin - origin, rows[2].kelvin - origin);
    let (to_left, to_right) = ((before - here) / left, (after - here) / right);
    let curvature = (to_right - to_left) / (right - left);
    let slope = to_left - curvature * left;
    let lowest = -slope / (2.0 * curvature);
    (origin + lowest, here + slope * lowest / 2.0)
}
