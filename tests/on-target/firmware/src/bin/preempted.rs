//! Updates that an interrupt breaks into, to be called by name: `tests/m0` lets it do so after every instruction.
//!
//! The control loop makes the next densities and set points and hands them over; the tick interrupt takes the latest ones and draws words
//! with them. The bus hands over movements; the control loop takes the latest one.
#![no_std]
#![no_main]

use core::mem::MaybeUninit;
use core::sync::atomic::{AtomicU32, Ordering};

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{Density, FirstOrder, Modulation};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::mailbox::Mailbox;
use milliglow::{Level, Path, Recipe, Share, constant};
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

const fn recipe(parts: [u32; N]) -> Recipe<N> {
    let mut shares = [Share::NONE; N];
    let mut k = 0;
    while k < N {
        shares[k] = Share::from_bits(parts[k] << 29 | parts[k]);
        k += 1;
    }
    Recipe::new(shares)
}

static PATH: Path<N, 3> = constant!(Path::new(&[
    (recipe([1, 2, 3, 4, 5]), 1),
    (recipe([7, 1, 6, 2, 5]), 2),
    (recipe([2, 7, 3, 6, 4]), 3),
]));

/// Densities, and the set points of all channels in two words more.
type Settings = [u32; N + 2];
type Lamp = Luminaire<'static, N>;

fn settings(luminaire: &Lamp) -> Settings {
    let [a, b, c, d, e] = luminaire.densities().map(Density::to_bits);
    let [first @ .., last] = luminaire.ranges();
    [a, b, c, d, e, u32::from_le_bytes(first), last.into()]
}

/// One control step; at the end of a way the next one begins.
fn go_on(luminaire: &mut Lamp) -> Settings {
    if luminaire.remaining() == 0 {
        let is_full = luminaire.level() == Level::FULL;
        let level = if is_full { 9_000 } else { u16::MAX };
        luminaire.fade_through(Level::from_bits(level), &PATH);
    }
    luminaire.control_step();
    settings(luminaire)
}

/// What the tick interrupt keeps, in the order in which it is read from outside.
#[repr(C)]
struct Drawn {
    settings: Settings,
    words: [u32; N],
    modulators: [FirstOrder; N],
}

impl Drawn {
    fn draw(&mut self, settings: Option<Settings>) {
        self.settings = settings.unwrap_or(self.settings);
        let places = self.words.iter_mut().zip(&mut self.modulators);
        for ((word, modulator), &density) in places.zip(&self.settings) {
            *word = modulator.next_word(Density::from_bits(density));
        }
    }
}

/// A movement as words: where from and where to, control steps, shares.
type Moved = [u32; N + 3];

fn movement(number: u32) -> (Option<Level>, Target<N>, Pace) {
    let level = |factor: u32| Level::from_bits(number.wrapping_mul(factor) as u16);
    let share = |factor: u32| Share::from_bits(number.wrapping_mul(factor));
    let shares = [
        0x1234_5679,
        0x2345_678B,
        0x3456_789D,
        0x4567_89AB,
        0x5678_9ABD,
    ]
    .map(share);
    let target = Target {
        level: level(7_001),
        recipe: Recipe::new(shares),
    };
    (
        (number % 2 == 0).then(|| level(3_001)),
        target,
        Pace::new(number + 3),
    )
}

fn post_next(count: &mut u32, mailbox: &Mailbox<{ N + 3 }>) {
    *count = count.wrapping_add(1);
    let (from, target, pace) = movement(*count);
    mailbox.post_movement(from, &target, pace);
}

kept! {
    fn size_of_luminaire() -> usize { size_of::<Lamp>() }
    fn size_of_settings() -> usize { size_of::<Mailbox<{ N + 2 }>>() }
    fn size_of_drawn() -> usize { size_of::<Drawn>() }
    fn set_up(luminaire: &mut MaybeUninit<Lamp>, mailbox: &mut MaybeUninit<Mailbox<{ N + 2 }>>, drawn: &mut MaybeUninit<Drawn>) {
        let target = Target { level: Level::FULL, recipe: recipe([4, 7, 1, 5, 3]) };
        luminaire.write(constant!(Luminaire::new(&CONFIGURATION))).fade_to(&target, Pace::new(3));
        mailbox.write(Mailbox::new());
        let modulators = [const { FirstOrder::new(0) }; N];
        drawn.write(Drawn { settings: [0; N + 2], words: [0; N], modulators });
    }
    fn update(luminaire: &mut Lamp, mailbox: &Mailbox<{ N + 2 }>) { mailbox.post(&go_on(luminaire)); }
    fn tick(drawn: &mut Drawn, mailbox: &Mailbox<{ N + 2 }>) { drawn.draw(mailbox.take()); }
    /// Without a mailbox, a word after the other, which the test must see torn.
    fn update_plain(luminaire: &mut Lamp, shared: &[AtomicU32; N + 2]) {
        for (place, word) in shared.iter().zip(go_on(luminaire)) {
            place.store(word, Ordering::Relaxed);
        }
    }
    fn tick_plain(drawn: &mut Drawn, shared: &[AtomicU32; N + 2]) {
        drawn.draw(Some(shared.each_ref().map(|word| word.load(Ordering::Relaxed))));
    }

    fn size_of_count() -> usize { size_of::<u32>() }
    fn size_of_movements() -> usize { size_of::<Mailbox<{ N + 3 }>>() }
    fn size_of_moved() -> usize { size_of::<Moved>() }
    fn set_up_movements(count: &mut MaybeUninit<u32>, mailbox: &mut MaybeUninit<Mailbox<{ N + 3 }>>, moved: &mut MaybeUninit<Moved>) {
        count.write(0);
        mailbox.write(Mailbox::new());
        moved.write([0; N + 3]);
    }
    fn post_movement(count: &mut u32, mailbox: &Mailbox<{ N + 3 }>) { post_next(count, mailbox); }
    fn post_four_movements(count: &mut u32, mailbox: &Mailbox<{ N + 3 }>) {
        for _ in 0..4 {
            post_next(count, mailbox);
        }
    }
    fn take_movement(moved: &mut Moved, mailbox: &Mailbox<{ N + 3 }>) {
        let Some((from, target, pace)) = mailbox.take_movement::<N>() else { return };
        let [a, b, c, d, e] = target.recipe.shares().map(Share::to_bits);
        let from = from.map_or(0, Level::to_bits).into();
        *moved = [from, target.level.to_bits().into(), pace.steps(), a, b, c, d, e];
    }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    loop {
        keep();
    }
}
