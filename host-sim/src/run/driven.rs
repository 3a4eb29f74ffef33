//! What a channel's driver makes of its stream, in each row of its operating table.

use milliglow::density::Density;

use super::set_point::SetPoint;
use super::supplied::{Supplied, behind};
use crate::colour::Xy;
use crate::description::{Channel, Description, Modulation, OperatingRow};
use crate::optics::drivers::{DecayingLight, Driver, LightDecay, Supply};
use crate::optics::{LitRow, SteadyChannel};

/// How a channel works at a moment, as its core luminaire says it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// Density of its stream.
    pub density: Density,
    /// Number of its row.
    pub row: usize,
    /// Ticks by which it is late for good.
    pub late_ticks: u8,
    /// The charge that its modulator carries; none unless it is of first order without dither and owes nothing.
    pub charge: Option<u32>,
}

/// A channel and its driver.
#[derive(Clone, Debug)]
pub struct Driven {
    driver: Driver,
    supply: Supply,
    modulation: Modulation,
    tick_s: f64,
    /// Its rows, as its light has them. Where edges do not add up, the loss is that of a pulse that stands alone.
    pub rows: Vec<LitRow>,
    /// Ticks of a decision, a row each.
    pub stretches: Vec<u8>,
    /// Its set points, a row each.
    pub set_points: Vec<SetPoint>,
    /// How its light decays.
    pub decay: LightDecay,
    /// Whether every edge takes the same of the light, in every row.
    pub edges_alike: bool,
    /// The same, and the supply leaves the light alone.
    pub edges_add_up: bool,
}

impl Driven {
    /// A channel of a luminaire.
    #[must_use]
    pub fn new(description: &Description, channel: &Channel) -> Self {
        let tick_s = 1.0 / f64::from(description.tick_hz);
        let set_points = channel.rows.iter().map(|row| SetPoint::of(channel, row));
        let set_points: Vec<_> = set_points.collect();
        let lit = |(row, set_point): (&OperatingRow, &SetPoint)| LitRow {
            full: set_point.light,
            edge_loss: pulse_loss(&channel.driver, tick_s, row.stretch),
        };
        let gated = |row: &OperatingRow| behind(&channel.driver, tick_s, row.stretch).edge_loss();
        let supply = description.supply;
        let is_still = is_still(&channel.driver, supply);
        let edges_alike = channel.rows.iter().all(|row| gated(row).is_some());
        Self {
            driver: channel.driver,
            supply,
            modulation: channel.modulation,
            tick_s,
            rows: channel.rows.iter().zip(&set_points).map(lit).collect(),
            stretches: channel.rows.iter().map(|row| row.stretch).collect(),
            set_points,
            decay: channel.light_decay,
            edges_alike,
            edges_add_up: is_still && edges_alike,
        }
    }

    /// Every channel of a luminaire.
    #[must_use]
    pub fn all(description: &Description) -> Vec<Self> {
        let channels = description.channels.iter();
        channels
            .map(|channel| Self::new(description, channel))
            .collect()
    }

    /// Its driver behind its stream, dark, on a supply that carries `load`, the light of the luminaire over its full.
    #[must_use]
    pub fn supplied(&self, load: f64) -> Supplied {
        let shortest = self.stretches.iter().copied().min().unwrap_or(1);
        Supplied {
            gated: behind(&self.driver, self.tick_s, shortest),
            decaying: DecayingLight::new(&self.decay, self.tick_s).expect("a validated tick"),
            line_sensitivity: self.driver.line_sensitivity(),
            supply: self.supply,
            load,
            tick_s: self.tick_s,
            ticks: 0,
            is_still: is_still(&self.driver, self.supply),
        }
    }

    /// The channel in closed form, if it has one: first order, and edges that add up.
    #[must_use]
    pub fn steady(&self, stand: &Stand, flux: f64) -> Option<SteadyChannel> {
        let phase = stand.charge.filter(|_| self.edges_add_up)?;
        let row = self.rows[stand.row];
        let stretch = self.stretches[stand.row];
        Some(SteadyChannel {
            stretch,
            edge_loss: row.edge_loss / f64::from(stretch),
            late_ticks: stand.late_ticks,
            decay: self.decay,
            ..SteadyChannel::new(stand.density, phase, flux * row.full)
        })
    }

    /// Chromaticity at a stand.
    #[must_use]
    pub fn xy(&self, stand: &Stand) -> Xy {
        self.set_points[stand.row].xy
    }

    /// Mean light at a stand, over the full light of the channel. Exact where edges add up and the modulator is of first order or
    /// a timer, or books its edges; otherwise as if runs of ones were as many as those of first order.
    #[must_use]
    pub fn light(&self, stand: &Stand, booked: bool) -> f64 {
        let row = self.rows[stand.row];
        let ones = stand.density.as_f64();
        if booked && self.modulation != Modulation::FirstOrder {
            return row.full * ones;
        }
        let stretch = f64::from(self.stretches[stand.row]);
        let edges = match self.modulation {
            Modulation::Timer { bits, .. } => {
                let lit = f64::from(u8::from(ones > 0.0 && ones < 1.0));
                lit / f64::from(1u32 << bits)
            }
            _ => ones.min(1.0 - ones),
        };
        row.full * (ones - edges * row.edge_loss / stretch)
    }
}

/// Whether a supply leaves the light of a driver alone.
fn is_still(driver: &Driver, supply: Supply) -> bool {
    driver.line_sensitivity() == 0.0 || supply == Supply::default()
}

/// Light that a pulse of one decision lacks, in ticks: as every edge does, or as one pulse that stands alone.
fn pulse_loss(driver: &Driver, tick_s: f64, stretch: u8) -> f64 {
    let mut gated = behind(driver, tick_s, stretch);
    if let Some(loss) = gated.edge_loss() {
        return loss;
    }
    let mut charge = 0.0;
    for _ in 0..SETTLING_PULSES {
        let ones = (0..stretch).map(|_| gated.tick(true)).sum::<f64>();
        let (mut tail, mut ticks) = (0.0, 0.0);
        while ticks * tick_s < GAP_S {
            tail += gated.tick(false);
            ticks += 1.0;
        }
        charge = ones + tail;
    }
    f64::from(stretch) - charge
}

/// Pulses until a driver repeats itself, and the dark that a pulse stands alone in.
const SETTLING_PULSES: u32 = 3;
const GAP_S: f64 = 100e-6;
