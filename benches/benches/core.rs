//! Times of the core on the host, each beside a peer's where a general-purpose crate does the same.
//!
//! `cargo bench -p milliglow-benches` runs all and ends with a table; `-- word` runs what has `word` in its name.

use std::hint::black_box;
use std::path::Path;
use std::time::Duration;

use criterion::Criterion;
use idsp::Dsm;
use milliglow::curve::{ControlCurve, ControlLevel, Curve, Exponential};
use milliglow::density::{
    Density, DitherWidth, FirstOrder, Held, Lfsr32, Modulation, Modulator, Stretch,
};
use milliglow::fade::{Fade, Pace};
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::operating::{EdgeLoss, RangeRatio, Row, RowSetting, Table};
use milliglow::{Level, Light, Recipe, Share, constant};
use milliglow_benches::rows::{ROWS, WORDS_A_CONTROL_STEP};
use milliglow_benches::table::Results;
use milliglow_benches::{errors, peers};

const DENSITY: Density = Density::from_bits(u32::MAX / 1_000);
/// Three rows of invented edges: an eighth of the current below 5 %, long decisions above 30 %.
static TABLE: Table = constant!(Table::new(
    &[
        row(0, 8, Stretch::One),
        row(5, 1, Stretch::Two),
        row(30, 1, Stretch::Eight)
    ],
    4
));

const fn row(percent: u32, ratio: u32, stretch: Stretch) -> Row {
    let made = match (
        Light::from_ratio_nearest(percent, 100),
        RangeRatio::from_ratio_nearest(ratio, 1),
        EdgeLoss::from_ratio(3, 10),
    ) {
        (Ok(from_light), Ok(ratio), Ok(edges)) => Row::new(
            &RowSetting {
                from_light,
                range: 0,
                ratio,
                stretch,
                edges,
            },
            Modulation::FirstOrder,
        ),
        _ => panic!("a refused value"),
    };
    match made {
        Ok(row) => row,
        Err(error) => panic!("{}", error.message()),
    }
}

const WITH_TAIL: Exponential = constant!(Exponential::new(1_000, 2_048));

/// Times a function of a Level that changes from call to call and comes up everywhere.
fn bench_levels<T>(c: &mut Criterion, name: &str, function: impl Fn(u16) -> T) {
    let mut level = 0_u16;
    c.bench_function(name, |b| {
        b.iter(|| {
            level = level.wrapping_add(40_503);
            function(black_box(level))
        });
    });
}

fn curves(c: &mut Criterion) {
    let light = |curve: Curve| move |level| curve.light(Level::from_bits(level));
    let on_the_bus = |level: u16| ControlLevel::new((level % 254 + 1) as u8).expect("1 to 254");
    bench_levels(c, "curve/exponential", |level| {
        errors::CURVE.light(Level::from_bits(level))
    });
    bench_levels(c, "curve/libm_exp2f", |level| {
        peers::to_bits(peers::libm_curve(level))
    });
    bench_levels(c, "curve/micromath_exp", |level| {
        peers::to_bits(peers::micromath_curve(level))
    });
    bench_levels(c, "curve/tail", |level| {
        WITH_TAIL.light(Level::from_bits(level % 2_048))
    });
    bench_levels(c, "curve/lightness", light(Curve::Lightness));
    bench_levels(c, "curve/linear", light(Curve::Linear));
    bench_levels(c, "curve/control_level", |level| {
        ControlCurve::Logarithmic.light(on_the_bus(level))
    });
    bench_levels(c, "curve/inverse", |level| {
        Curve::Lightness.level(Light::from_bits(u32::from(level) << 16))
    });
}

fn words(c: &mut Criterion) {
    let mut modulator = FirstOrder::new(0);
    c.bench_function("word/first_order", |b| {
        b.iter(|| modulator.next_word(black_box(DENSITY)));
    });
    let mut peer = Dsm::<1>::default();
    c.bench_function("word/idsp", |b| {
        b.iter(|| peers::idsp_word(&mut peer, black_box(DENSITY.to_bits())));
    });
    let modulations = [
        ("word/fill_first_order", Modulation::FirstOrder),
        (
            "word/fill_dithered",
            Modulation::Dithered(DitherWidth::ONE_STEP),
        ),
        ("word/fill_second_order", Modulation::SecondOrder),
    ];
    for (name, modulation) in modulations {
        let (mut modulator, mut noise) = (Modulator::new(modulation, 0), constant!(Lfsr32::new(1)));
        let mut buffer = [0; 128];
        c.bench_function(name, |b| {
            b.iter(|| {
                modulator.fill(black_box(DENSITY), &mut buffer, &mut noise);
                black_box(&buffer);
            });
        });
    }
}

/// The fast profile in a double buffer of two halves of 64 words, at a density that stands.
fn held_words(c: &mut Criterion) {
    let (mut modulator, mut held) = (FirstOrder::new(0), Held::new());
    let mut halves = [[0; 64]; 2];
    c.bench_function("word/fill_held", |b| {
        b.iter(|| {
            let [first, second] = &mut halves;
            held.fill(&mut modulator, black_box(DENSITY), second, first);
            held.fill(&mut modulator, black_box(DENSITY), first, second);
            black_box(&halves);
        });
    });
}

fn fades(c: &mut Criterion) {
    for (name, steps) in [("fade/short_6", 60_000), ("fade/long_6", 600_000)] {
        let (ends, pace) = (
            [[0; 6], [u32::MAX, 7, 70_000, 1 << 30, 3 << 30, 0]],
            Pace::new(steps),
        );
        let mut fade = Fade::at(ends[0]);
        let mut turn = 0;
        c.bench_function(name, |b| {
            b.iter(|| {
                if fade.remaining() == 0 {
                    turn ^= 1;
                    fade.start(&ends[turn], pace);
                }
                fade.step();
                fade.values()
            });
        });
    }
}

fn products(c: &mut Criterion) {
    bench_levels(c, "product/share", |x| {
        Share::from_bits(u32::from(x) * 65_537).of(Light::from_bits(u32::from(x) * 257))
    });
    bench_levels(c, "product/fixed", |x| {
        peers::fixed_product(u32::from(x) * 65_537, u32::from(x) * 257)
    });
}

/// A luminaire that never arrives while it is timed.
fn running<const N: usize>(table: &'static Table) -> Luminaire<'static, N> {
    let curve = Curve::Exponential(WITH_TAIL);
    let configuration = Configuration {
        operating: [table; N],
        ..Configuration::new(curve, [Modulation::FirstOrder; N], 1)
    };
    let mut luminaire = Luminaire::new(&configuration).expect("a seed");
    let target = |level, share| Target {
        level,
        recipe: Recipe::new([share; N]),
    };
    luminaire.fade_to(
        &target(Level::from_bits(30_000), Share::from_bits(1 << 31)),
        Pace::AT_ONCE,
    );
    luminaire.control_step();
    luminaire.fade_to(
        &target(Level::FULL, Share::from_bits(3 << 30)),
        Pace::new(u32::MAX),
    );
    luminaire
}

fn luminaires<const N: usize>(c: &mut Criterion) {
    let mut tabled = running::<N>(&TABLE);
    c.bench_function(&format!("luminaire/control_table_{N}"), |b| {
        b.iter(|| {
            tabled.control_step();
            black_box(tabled.densities());
        });
    });
    let mut luminaire = running::<N>(&Table::PLAIN);
    c.bench_function(&format!("luminaire/control_{N}"), |b| {
        b.iter(|| {
            luminaire.control_step();
            black_box(luminaire.densities());
        });
    });
    let mut buffers = [[0_u32; WORDS_A_CONTROL_STEP]; N];
    c.bench_function(&format!("luminaire/tick_{N}"), |b| {
        b.iter(|| {
            luminaire.control_step();
            luminaire.fill(
                buffers
                    .each_mut()
                    .map(<[u32; WORDS_A_CONTROL_STEP]>::as_mut_slice),
            );
            black_box(&buffers);
        });
    });
}

fn main() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("criterion");
    let results = Results::from_now(&folder);
    let mut c = Criterion::default()
        .output_directory(&folder)
        .sample_size(50)
        .warm_up_time(Duration::from_millis(300))
        .measurement_time(Duration::from_secs(1))
        .configure_from_args();
    curves(&mut c);
    words(&mut c);
    held_words(&mut c);
    fades(&mut c);
    products(&mut c);
    luminaires::<1>(&mut c);
    luminaires::<5>(&mut c);
    luminaires::<9>(&mut c);
    c.final_summary();
    results.print(&ROWS);
}
