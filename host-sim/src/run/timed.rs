//! A channel of a timer in closed form.

use milliglow::density::Density;

use super::driven::{Driven, Stand};
use crate::description::{Description, Modulation};
use crate::optics::{Steady, SteadyTimer};

/// Every channel in closed form, where it has one: first order without dither, and timers whose duty is rounded or fed back to
/// first order; edges that add up. The luminaire has just woken, `stands` being how.
#[must_use]
pub fn steadied(
    description: &Description,
    driven: &[Driven],
    stands: &[Stand],
) -> Vec<Option<Steady>> {
    let mut lit = 0..;
    let mut place = |stand: &Stand| {
        let is_lit = stand.density != Density::NONE;
        if is_lit { lit.next().unwrap_or(0) } else { 0 }
    };
    let channels = description.channels.iter().zip(driven).zip(stands);
    channels
        .map(|((channel, driven), stand)| {
            let place = place(stand);
            let closed = driven.steady(stand, channel.flux_lm);
            closed.map(Steady::FirstOrder).or_else(|| {
                let phase = phase(place, description.channels.len());
                let timer = timed(description, channel.modulation, driven, stand, phase)?;
                Some(Steady::Timer(timer).with_flux(channel.flux_lm * driven.rows[stand.row].full))
            })
        })
        .collect()
}

/// Whether every channel has a closed form, whatever the light.
#[must_use]
pub fn has_exact_lines(description: &Description) -> bool {
    let drivers = Driven::all(description);
    let channels = description.channels.iter().zip(drivers);
    let mut closed = channels.map(|(channel, driven)| {
        let stands_alone = description.operating.settling_s == 0.0 || channel.rows.len() == 1;
        let modulation = match channel.modulation {
            Modulation::FirstOrder => true,
            Modulation::Timer {
                order, width_shift, ..
            } => order < 2 && width_shift.is_none() && stands_alone,
            _ => false,
        };
        modulation && driven.edges_add_up
    });
    closed.all(|closed| closed)
}

/// The phase of a lit channel, as the core luminaire spreads them.
fn phase(place: u32, channels: usize) -> u32 {
    place.wrapping_mul(((1u64 << 32) / channels as u64) as u32)
}

/// 1 in units of charge.
const ONE: i64 = 1 << 32;

fn timed(
    description: &Description,
    modulation: Modulation,
    driven: &Driven,
    stand: &Stand,
    phase: u32,
) -> Option<SteadyTimer> {
    let Modulation::Timer {
        bits,
        order: order @ (0 | 1),
        width_shift: None,
    } = modulation
    else {
        return None;
    };
    if !driven.edges_add_up || description.operating.settling_s > 0.0 && driven.rows.len() > 1 {
        return None;
    }
    let stretch = driven.stretches[stand.row];
    let loss = driven.rows[stand.row].edge_loss / f64::from(stretch);
    let booked = match description.operating.edge_correction && loss.abs() < 1.0 {
        true => (loss * ONE as f64).round() as i64,
        false => 0,
    };
    let duties = Duties {
        period: 1 << bits,
        asked: exact(stand.density) << bits,
        booked,
        charge: i64::from(stand.density.to_bits().wrapping_neg() >> 1),
    };
    let (whole, part, charge) = match stand.density {
        Density::NONE => (0, 0, 0),
        Density::FULL => (duties.period, 0, 0),
        _ if order == 0 => (duties.rounded(), 0, 0),
        _ => duties.fed_back(),
    };
    Some(SteadyTimer {
        period: duties.period,
        whole,
        part: Density::from_bits(part),
        phase: charge,
        late_decisions: (phase >> (32 - bits)) & !31,
        flux: 1.0,
        stretch,
        edge_loss: loss,
        late_ticks: stand.late_ticks,
        decay: driven.decay,
    })
}

fn exact(density: Density) -> i64 {
    match density {
        Density::FULL => ONE,
        _ => i64::from(density.to_bits()),
    }
}

/// What a timer is asked for, in units of 2^-32 decisions.
struct Duties {
    period: u32,
    asked: i64,
    /// What each pulse is given more for its edges.
    booked: i64,
    /// Charge at the begin of the first period.
    charge: i64,
}

impl Duties {
    /// The duty of a timer without feedback.
    fn rounded(&self) -> u32 {
        let duty = (self.asked + self.booked + ONE / 2) >> 32;
        duty.clamp(0, i64::from(self.period)) as u32
    }

    /// Ones of every period, part of the periods that have one more, and phase of these. Charge after n periods with pulses is
    /// `charge + n (asked + booked) - ones`; where some have no pulse, those that have one take `1 - booked` of it, and where some
    /// are all light, those that are not give `booked` more (their phase is of no account).
    fn fed_back(&self) -> (u32, u32, u32) {
        let asked = self.asked + self.booked;
        if asked < ONE {
            let of_pulse = ONE - self.booked;
            let over = |charge: i64| ((i128::from(charge) << 32) / i128::from(of_pulse)) as i64;
            let phase = over(self.charge) + ONE - over(ONE / 2);
            return (0, over(self.asked).max(0) as u32, phase as u32);
        }
        let whole = (asked >> 32) as u32;
        let phase = (self.charge - self.booked + ONE / 2) as u32;
        if whole >= self.period {
            (self.period, 0, 0)
        } else if whole + 1 == self.period {
            let of_dark = i128::from(ONE + self.booked);
            let part = (i128::from(asked & (ONE - 1)) << 32) / of_dark;
            (whole, part as u32, phase)
        } else {
            (whole, asked as u32, phase)
        }
    }
}
