//! What the C program must say: the same script on the core itself.

mod flux;

use milliglow::curve::{Curve, Exponential};
use milliglow::density::{DitherWidth, Modulation, Stretch};
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::operating::{EdgeLoss, EdgeTimes, RangeRatio, Row, RowSetting, Table};
use milliglow::output::{port_words, set_reset};
use milliglow::requantise::{Order, TimerPwm};
use milliglow::{Level, Light, Recipe, Share, constant};

const EDGES: EdgeLoss = constant!(EdgeLoss::from_times(
    &EdgeTimes {
        rise_ps: 200_000,
        fall_ps: 80_000,
        on_delay_ps: 0,
        off_delay_ps: 0
    },
    333_333,
));
const ROWS: [Row; 2] = [
    constant!(Row::new(
        &RowSetting {
            from_light: Light::BLACK,
            range: 1,
            ratio: constant!(RangeRatio::from_ratio_nearest(8, 1)),
            stretch: Stretch::One,
            edges: EDGES,
        },
        Modulation::FirstOrder
    )),
    constant!(Row::new(
        &RowSetting {
            from_light: Light::from_bits(1 << 28),
            range: 0,
            ratio: RangeRatio::ONE,
            stretch: Stretch::Four,
            edges: EdgeLoss::NONE,
        },
        Modulation::FirstOrder
    )),
];
static TABLE: Table = constant!(Table::new(&ROWS, 4));
const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
const AMBER: [u32; 5] = [
    0xFFFF_FFFF,
    0x8000_0000,
    0x0CCC_CCCD,
    0x4000_0000,
    0x2000_0000,
];
const COLD: [u32; 5] = [
    0x1000_0000,
    0xFFFF_FFFF,
    0x4000_0000,
    0xC000_0000,
    0xFFFF_FFFF,
];

fn configuration() -> Configuration<'static, 5> {
    let mut modulation = [Modulation::FirstOrder; 5];
    modulation[2] = Modulation::Dithered(constant!(DitherWidth::new(1)));
    modulation[3] = Modulation::SecondOrder;
    modulation[4] = Modulation::Timer(constant!(TimerPwm::new(8, Order::First, None)));
    let mut whole = Configuration::new(CURVE, modulation, 1);
    whole.operating[0] = &TABLE;
    whole.operating[1] = &TABLE;
    whole
}

/// FNV-1a over words.
struct Hash(u32);

impl Hash {
    const OF_NOTHING: Self = Self(2_166_136_261);

    fn take(&mut self, words: impl IntoIterator<Item = u32>) {
        for word in words {
            self.0 = (self.0 ^ word).wrapping_mul(16_777_619);
        }
    }
}

fn say(what: &str, number: u32) {
    println!("{what} {number:08x}");
}

fn target<const N: usize>(level: u16, shares: [u32; N]) -> Target<N> {
    Target {
        level: Level::from_bits(level),
        recipe: Recipe::new(shares.map(Share::from_bits)),
    }
}

/// The port's words of 64 ticks, by half words.
fn port<const N: usize>(luminaire: &mut Luminaire<'_, N>) -> Vec<u16> {
    let mut ticks = Vec::new();
    for _ in 0..2 {
        let mut block = [0; 32];
        port_words(&luminaire.next_words(), &mut block);
        ticks.extend(block);
    }
    ticks
}

fn play(luminaire: &mut Luminaire<'_, 5>, name: &str, control_steps: u32) {
    let mut hash = Hash::OF_NOTHING;
    for _ in 0..control_steps {
        luminaire.control_step();
        hash.take(
            luminaire
                .densities()
                .iter()
                .map(|density| density.to_bits()),
        );
        hash.take(luminaire.ranges().into_iter().map(u32::from));
        let words = [luminaire.next_words(), luminaire.next_words()];
        hash.take((0..5).flat_map(|channel| words.map(|words| words[channel])));
        for _ in 0..3 {
            hash.take(port(luminaire).into_iter().map(u32::from));
        }
        hash.take(port(luminaire).into_iter().map(|on| set_reset(on, 0x1F)));
    }
    say(name, hash.0);
    say("well", 1);
    say("level", luminaire.level().to_bits().into());
    say("remaining", luminaire.remaining());
}

fn five() {
    let mut luminaire = Luminaire::new(&configuration()).expect("allowed");
    println!("table_init NONE\ninit NONE\ntoo_small SIZE\nnot_aligned ALIGNMENT\nno_memory NULL");
    println!("channels CHANNELS\ndepth DEPTH\nseed SEED\ntable CORRECTION\nno_luminaire NULL");
    println!("knots KNOTS\nknots KNOTS\nno_knots NULL\nknots NONE\nchannels CHANNELS");
    say("channels", 5);
    println!("fade_to NONE");
    luminaire.fade_to(&target(65_535, AMBER), Pace::new(200));
    play(&mut luminaire, "rising", 150);
    println!("pause NONE");
    luminaire.pause();
    play(&mut luminaire, "paused", 5);
    println!("resume NONE");
    luminaire.resume();
    play(&mut luminaire, "arriving", 60);
    println!("fade_to NONE");
    luminaire.fade_to(&target(0, COLD), Pace::new(100));
    play(&mut luminaire, "falling", 110);
    let percent = Light::from_ratio_nearest(1, 100).expect("allowed");
    println!("fraction NONE");
    say("percent", percent.to_bits());
    say("its_level", CURVE.level(percent).to_bits().into());
    say("light", CURVE.light(Level::from_bits(12_345)).to_bits());
}

fn sixteen() {
    println!("init NONE\nfade_to NONE\ncontrol_step NONE\nport NONE");
    let configuration = Configuration::new(Curve::Lightness, [Modulation::FirstOrder; 16], 7);
    let mut luminaire = Luminaire::new(&configuration).expect("allowed");
    let shares = std::array::from_fn(|k| 0x0FED_CBA9_u32.wrapping_mul(k as u32 + 1));
    luminaire.fade_to(&target(30_000, shares), Pace::AT_ONCE);
    luminaire.control_step();
    let mut hash = Hash::OF_NOTHING;
    for _ in 0..2 {
        hash.take(port(&mut luminaire).into_iter().map(u32::from));
    }
    say("sixteen", hash.0);
    println!("bytes CHANNELS");
}

fn main() {
    println!("version 00000100\nsame_version 00000001");
    five();
    sixteen();
    flux::flux();
}
