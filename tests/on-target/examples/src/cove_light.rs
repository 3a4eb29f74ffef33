//! Five channels on a port of 16 pins that a DMA writes once a tick: the constants that `milliglow emit` made of the cove light.

use milliglow::constant;
use milliglow::luminaire::Luminaire;
use milliglow::output::{Half, Refill, SentHalves, port_words};

use crate::Seen;
use crate::emitted::cove_light::{CHANNELS, CONFIGURATION, CONTROL_HZ, Fade, SCRIPT, TICK_HZ};
use crate::platform::say;

/// 128 ticks: at 750 kHz a half lasts 171 us.
type HalfBuffer = [[u16; 32]; 4];
/// 4 500 control steps of 1 kHz: the first fade, and the begin of the second.
const HALVES: u32 = 26_367;

/// What the DMA's interrupt writes and the main loop reads.
static SENT: SentHalves = SentHalves::new();

/// The luminaire on its script: a control step takes effect with the first word that begins at or after it.
struct Playing {
    luminaire: Luminaire<'static, CHANNELS>,
    fades: core::slice::Iter<'static, Fade>,
    /// Control steps until the next fade.
    steps: u32,
    /// Words until the next control step.
    words: u32,
    /// What those words fall short of it, in ticks over CONTROL_HZ.
    rest: u32,
}

/// A word in ticks over CONTROL_HZ; a control step in the same is TICK_HZ.
const WORD: u32 = 32 * CONTROL_HZ;

impl Playing {
    fn new() -> Self {
        Self {
            luminaire: constant!(Luminaire::new(&CONFIGURATION)),
            fades: SCRIPT.iter(),
            steps: 0,
            words: 0,
            rest: 0,
        }
    }

    fn control_step(&mut self) {
        if self.steps == 0
            && let Some(fade) = self.fades.next()
        {
            fade.begin(&mut self.luminaire);
            self.steps = fade.control_steps;
        }
        self.steps = self.steps.saturating_sub(1);
        self.luminaire.control_step();
        self.words = TICK_HZ / WORD;
        self.rest += TICK_HZ % WORD;
        if self.rest >= WORD {
            self.rest -= WORD;
            self.words += 1;
        }
    }

    fn fill(&mut self, half: &mut HalfBuffer) {
        for block in half {
            if self.words == 0 {
                self.control_step();
            }
            self.words -= 1;
            port_words(&self.luminaire.next_words(), block);
        }
    }
}

/// In place of a DMA: sends a half to pins, then interrupts.
struct Pins {
    sending: Half,
    seen: [Seen; CHANNELS],
    lit: [u32; CHANNELS],
}

impl Pins {
    fn send(&mut self, buffer: &mut [HalfBuffer; 2]) {
        for block in self.sending.of(buffer) {
            let pins = self.seen.iter_mut().zip(&mut self.lit);
            for (pin, (seen, lit)) in pins.enumerate() {
                let on = |word: u32, tick: &u16| word << 1 | u32::from(tick >> pin & 1);
                let word = block.iter().fold(0, on);
                seen.take(word);
                *lit += word.count_ones();
            }
        }
        self.sending = match self.sending {
            Half::First => Half::Second,
            Half::Second => Half::First,
        };
        SENT.begun(self.sending);
    }
}

/// The begin of the script, and what the pins saw of it.
pub fn run() {
    let mut playing = Playing::new();
    let mut buffer: [HalfBuffer; 2] = Default::default();
    buffer.iter_mut().for_each(|half| playing.fill(half));
    let mut refill = Refill::new();
    let mut pins = Pins {
        sending: Half::First,
        seen: [const { Seen::NOTHING }; CHANNELS],
        lit: [0; CHANNELS],
    };
    for _ in 0..HALVES {
        pins.send(&mut buffer);
        if let Some(half) = refill.due(&SENT) {
            playing.fill(half.of(&mut buffer));
            refill.filled(&SENT);
        }
    }
    pins.seen
        .iter()
        .for_each(|seen| say("channel", seen.hash()));
    pins.lit.iter().for_each(|&lit| say("ticks_lit", lit));
    say("underruns", refill.underruns());
}
