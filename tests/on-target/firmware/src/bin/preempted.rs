//! An update that a tick interrupt breaks into, to be called by name: `tests/m0` lets it do so after every instruction.
//!
//! The control loop makes the next densities and hands them over; the interrupt takes the latest ones and draws words with them.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;
use core::sync::atomic::{AtomicU32, Ordering};

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, FirstOrder, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::mailbox::Mailbox;
use milliglow::{Level, Recipe, Share, constant};
use milliglow_firmware::kept;
use milliglow_suite::tables::CORRECTED;

const N: usize = 5;

const CONFIGURATION: Configuration<N> = Configuration {
    operating: [&CORRECTED; N],
    ..Configuration::new(
        Curve::Exponential(constant!(Exponential::new(1_000, 2_048))),
        [Modulation::FirstOrder; N],
        1,
    )
};

/// What the interrupt keeps, in the order in which it is read from outside.
#[repr(C)]
struct Drawn {
    densities: [u32; N],
    words: [u32; N],
    modulators: [FirstOrder; N],
}

impl Drawn {
    fn draw(&mut self, densities: Option<[u32; N]>) {
        self.densities = densities.unwrap_or(self.densities);
        let places = self.words.iter_mut().zip(&mut self.modulators);
        for ((word, modulator), &density) in places.zip(&self.densities) {
            *word = modulator.next_word(Density::from_bits(density));
        }
    }
}

kept! {
    fn size_of_luminaire() -> usize { size_of::<Luminaire<'static, N>>() }
    fn size_of_mailbox() -> usize { size_of::<Mailbox<N>>() }
    fn size_of_drawn() -> usize { size_of::<Drawn>() }
    fn set_up(luminaire: &mut MaybeUninit<Luminaire<'static, N>>, mailbox: &mut MaybeUninit<Mailbox<N>>, drawn: &mut MaybeUninit<Drawn>) {
        let shares = [4, 7, 1, 5, 3].map(|part: u32| Share::from_bits(part << 29 | part));
        let target = Target { level: Level::FULL, recipe: Recipe::new(shares) };
        luminaire.write(constant!(Luminaire::new(&CONFIGURATION))).fade_to(&target, Pace::new(7));
        mailbox.write(Mailbox::new());
        let modulators = [const { FirstOrder::new(0) }; N];
        drawn.write(Drawn { densities: [0; N], words: [0; N], modulators });
    }
    fn update(luminaire: &mut Luminaire<'static, N>, mailbox: &Mailbox<N>) {
        luminaire.control_step();
        mailbox.post(&luminaire.densities().map(Density::to_bits));
    }
    fn tick(drawn: &mut Drawn, mailbox: &Mailbox<N>) { drawn.draw(mailbox.take()); }
    /// Without a mailbox, a word after the other, which the test must see torn.
    fn update_plain(luminaire: &mut Luminaire<'static, N>, shared: &[AtomicU32; N]) {
        luminaire.control_step();
        for (place, density) in shared.iter().zip(luminaire.densities()) {
            place.store(density.to_bits(), Ordering::Relaxed);
        }
    }
    fn tick_plain(drawn: &mut Drawn, shared: &[AtomicU32; N]) {
        drawn.draw(Some(shared.each_ref().map(|word| word.load(Ordering::Relaxed))));
    }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        keep();
    }
}
