//! Inductor, capacitor and string between two switching instants, in closed form.

use super::search::crossing;

/// The linear parts of a buck. The string conducts, or stands at its knee.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Circuit {
    pub(super) inductance_h: f64,
    pub(super) output_f: f64,
    pub(super) knee_v: f64,
    pub(super) ohm: f64,
}

/// Current of the inductor in A, voltage of the capacitor above the string's knee in V (0 without one).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct State {
    pub(super) inductor_a: f64,
    pub(super) over_knee_v: f64,
}

/// What drives the inductor's far end: the supply through the switch, less than nothing through the diode, or nothing,
/// its current having run out.
pub(super) type Drive = Option<f64>;

impl Circuit {
    /// Current of the string in A.
    pub(super) fn string_a(&self, state: State) -> f64 {
        if self.output_f > 0.0 {
            state.over_knee_v / self.ohm
        } else {
            state.inductor_a
        }
    }

    /// The state so many seconds later.
    pub(super) fn after(&self, state: State, drive: Drive, seconds: f64) -> State {
        match drive {
            None => State {
                inductor_a: 0.0,
                over_knee_v: self.discharged(state.over_knee_v, seconds),
            },
            Some(volts) if self.output_f > 0.0 => self.swung(state, volts - self.knee_v, seconds),
            Some(volts) => State {
                inductor_a: self.ramped(state.inductor_a, volts - self.knee_v, seconds),
                over_knee_v: 0.0,
            },
        }
    }

    /// Charge through the string in A s on the way from one state to the next.
    pub(super) fn string_charge(&self, from: State, to: State, drive: Drive, seconds: f64) -> f64 {
        match drive {
            None => self.output_f * (from.over_knee_v - to.over_knee_v),
            // The integral of the inductor's law: what the string's resistance had of the volt-seconds.
            Some(volts) if self.output_f > 0.0 => {
                let flux = self.inductance_h * (to.inductor_a - from.inductor_a);
                ((volts - self.knee_v) * seconds - flux) / self.ohm
            }
            Some(volts) => self.ramp_charge(from.inductor_a, volts - self.knee_v, seconds),
        }
    }

    /// Seconds until the inductor's current crosses `aim`, infinite if it does not within `limit`.
    pub(super) fn time_to(&self, state: State, volts: f64, aim: f64, limit: f64) -> f64 {
        if self.output_f == 0.0 {
            return self.ramp_time(state.inductor_a, volts - self.knee_v, aim);
        }
        // A quarter of the fastest swing holds no two crossings that matter.
        let step = (self.inductance_h * self.output_f).sqrt() / 4.0;
        let current = |seconds| self.after(state, Some(volts), seconds).inductor_a - aim;
        crossing(current, limit, step)
    }

    fn discharged(&self, over_knee_v: f64, seconds: f64) -> f64 {
        if self.output_f > 0.0 {
            over_knee_v * (-seconds / (self.ohm * self.output_f)).exp()
        } else {
            0.0
        }
    }

    /// Without capacitor: a straight line, or one bent by the resistance.
    fn ramped(&self, from_a: f64, over_knee_v: f64, seconds: f64) -> f64 {
        if self.ohm == 0.0 {
            return from_a + over_knee_v / self.inductance_h * seconds;
        }
        let turns = self.ohm / self.inductance_h * seconds;
        from_a - (over_knee_v / self.ohm - from_a) * (-turns).exp_m1()
    }

    fn ramp_charge(&self, from_a: f64, over_knee_v: f64, seconds: f64) -> f64 {
        if self.ohm == 0.0 {
            return (from_a + over_knee_v / self.inductance_h * seconds / 2.0) * seconds;
        }
        let turns = self.ohm / self.inductance_h * seconds;
        from_a * seconds
            + (over_knee_v / self.ohm - from_a) * self.inductance_h / self.ohm * bent(turns)
    }

    fn ramp_time(&self, from_a: f64, over_knee_v: f64, aim: f64) -> f64 {
        let way = aim - from_a;
        let seconds = if self.ohm == 0.0 {
            way * self.inductance_h / over_knee_v
        } else {
            let all = over_knee_v / self.ohm - from_a;
            -self.inductance_h / self.ohm * (-way / all).ln_1p()
        };
        // Not a number or below 0: the current goes elsewhere.
        if seconds >= 0.0 {
            seconds
        } else {
            f64::INFINITY
        }
    }

    /// With capacitor: the matrix exponential of `L di/dt = V - v`, `C dv/dt = i - v / r`, v above the knee.
    fn swung(&self, state: State, over_knee_v: f64, seconds: f64) -> State {
        let still = State {
            inductor_a: over_knee_v / self.ohm,
            over_knee_v,
        };
        let x = state.inductor_a - still.inductor_a;
        let y = state.over_knee_v - still.over_knee_v;
        let damping = 0.5 / (self.ohm * self.output_f);
        let swing = damping * damping - 1.0 / (self.inductance_h * self.output_f);
        let (plain, turned) = damped(damping, swing, seconds);
        State {
            inductor_a: still.inductor_a
                + plain * x
                + turned * (damping * x - y / self.inductance_h),
            over_knee_v: still.over_knee_v + plain * y + turned * (x / self.output_f - damping * y),
        }
    }
}

/// `exp(-a t) cosh(k t)` and `exp(-a t) sinh(k t) / k` with `k^2 = swing`, of either sign.
fn damped(damping: f64, swing: f64, seconds: f64) -> (f64, f64) {
    let k = swing.abs().sqrt();
    if k * seconds < 1e-7 {
        let left = (-damping * seconds).exp();
        (left, left * seconds)
    } else if swing < 0.0 {
        let left = (-damping * seconds).exp();
        let (sine, cosine) = (k * seconds).sin_cos();
        (left * cosine, left * sine / k)
    } else {
        let slow = ((k - damping) * seconds).exp();
        let fast = (-(k + damping) * seconds).exp();
        ((slow + fast) / 2.0, (slow - fast) / (2.0 * k))
    }
}

/// `x - 1 + exp(-x)`, its series where the difference would cancel.
fn bent(x: f64) -> f64 {
    if x < 1e-3 {
        x * x * (0.5 - x * (1.0 / 6.0 - x * (1.0 / 24.0 - x / 120.0)))
    } else {
        x + (-x).exp_m1()
    }
}
