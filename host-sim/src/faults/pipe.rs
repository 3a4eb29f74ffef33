//! A buffer of two halves that a DMA sends round and round while the firmware fills it, now and then too late.

use milliglow::output::{Half, Refill, SentHalves};

use super::firmware::Firmware;
use crate::description::Description;
use crate::run::Driven;

/// Words of a half: 1 024 ticks.
const HALF_WORDS: usize = 32;

pub(super) struct Pipe {
    sent: SentHalves,
    refill: Refill,
    sending: Half,
    /// Each channel's buffer, two halves.
    buffers: Vec<[Vec<u32>; 2]>,
    /// The row that a half was filled in, a channel each.
    fulls: [Vec<f64>; 2],
    driven: Vec<Driven>,
    fluxes: Vec<f64>,
    /// Halves that go unfilled from now on.
    pub(super) stalled: u32,
    words_a_period: f64,
    owed_words: f64,
}

impl Pipe {
    pub(super) fn new(description: &Description) -> Self {
        let channels = description.channels.len();
        let half = || vec![0; HALF_WORDS];
        Self {
            sent: SentHalves::new(),
            refill: Refill::new(),
            sending: Half::First,
            buffers: (0..channels).map(|_| [half(), half()]).collect(),
            fulls: [vec![1.0; channels], vec![1.0; channels]],
            driven: Driven::all(description),
            fluxes: description
                .channels
                .iter()
                .map(|channel| channel.flux_lm)
                .collect(),
            stalled: 0,
            words_a_period: f64::from(description.tick_hz)
                / 32.0
                / f64::from(description.control_hz),
            owed_words: 0.0,
        }
    }

    pub(super) fn underruns(&self) -> u64 {
        self.refill.underruns().into()
    }

    /// Sends as many halves as a control period has time for: the mean flux in lm; none if it has no time for one.
    pub(super) fn period(&mut self, firmware: &mut Firmware<'_>) -> Option<f64> {
        self.owed_words += self.words_a_period;
        let (mut sum, mut halves) = (0.0, 0.0);
        while self.owed_words >= HALF_WORDS as f64 {
            self.owed_words -= HALF_WORDS as f64;
            sum += self.send();
            halves += 1.0;
            self.fill(firmware);
        }
        (halves > 0.0).then(|| sum / halves)
    }

    /// The flux in lm of the half that goes out.
    fn send(&mut self) -> f64 {
        let number = usize::from(self.sending == Half::Second);
        let channels = self
            .buffers
            .iter()
            .zip(&self.fluxes)
            .zip(&self.fulls[number]);
        let flux = channels.map(|((halves, flux), full)| {
            let ones: u32 = halves[number].iter().map(|word| word.count_ones()).sum();
            flux * full * f64::from(ones) / (32 * HALF_WORDS) as f64
        });
        let flux = flux.sum();
        self.sending = match self.sending {
            Half::First => Half::Second,
            Half::Second => Half::First,
        };
        self.sent.begun(self.sending);
        flux
    }

    fn fill(&mut self, firmware: &mut Firmware<'_>) {
        if self.stalled > 0 {
            self.stalled -= 1;
            return;
        }
        let Some(half) = self.refill.due(&self.sent) else {
            return;
        };
        let number = usize::from(half == Half::Second);
        let mut slices: Vec<_> = self
            .buffers
            .iter_mut()
            .map(|halves| halves[number].as_mut_slice())
            .collect();
        firmware.luminaire.fill(&mut slices);
        let stands = firmware.luminaire.stands();
        let rows = self.driven.iter().zip(&stands);
        self.fulls[number] = rows
            .map(|(driven, stand)| driven.rows[stand.row].full)
            .collect();
        self.refill.filled(&self.sent);
    }
}
