//! Late and missing control steps, time that jumps, power that comes back.

use crate::control_gear::*;
use milliglow::bus::stored::Scene;
use milliglow::bus::{ClockCounts, ControlClock, FrameQueue, Late};
use milliglow::curve::{Curve, Exponential};
use milliglow::density::Modulation;
use milliglow::fade::Pace;
use milliglow::luminaire::{Configuration, Luminaire, Target};
use milliglow::{Error, Level, Recipe, Share, constant};
use milliglow_tests::cases::cases;
use proptest::prelude::*;

const PERIOD: u32 = 1_000;
const JUMP: u16 = 500;

fn clock(late: Late) -> ControlClock {
    ControlClock::new(PERIOD, late, JUMP).expect("a good period")
}

/// A fade of 2.0 s from 100 to 254 on a timer that is late by `k` control steps at its 700th: Levels at each call, and when it arrived.
fn fade_late_by(k: u32, late: Late) -> (Vec<u16>, u32, ClockCounts) {
    let mut bus = Bus::new();
    bus.level(100);
    bus.set(SET_FADE_TIME, 4);
    bus.level(254);
    let mut clock = clock(late);
    // The first call sets the time, and is the first control step.
    let (mut now, mut levels) = (0, vec![bus.gear.level().to_bits()]);
    while bus.gear.remaining() != 0 {
        bus.run(clock.steps(now * PERIOD));
        levels.push(bus.gear.level().to_bits());
        now += if now == 700 { 1 + k } else { 1 };
    }
    (levels, now, clock.counts())
}

fn largest_jump(levels: &[u16]) -> u16 {
    let jumps = levels.windows(2).map(|pair| pair[0].abs_diff(pair[1]));
    jumps.max().expect("more than one")
}

/// Caught up, the fade arrives on time and never moves by more than the steps allowed at a time; held, it
/// arrives later by what was missed, at its own pace.
#[test]
fn late_by_k() {
    // 154 control levels of 259 Levels in 2000 control steps, rounded up.
    let step = (154 * 259_u16).div_ceil(2000);
    for k in 0..=400 {
        let (levels, arrived, counts) = fade_late_by(k, Late::CatchUp { extra: 1 });
        assert_eq!(arrived, 2000, "late by {k}");
        assert!(largest_jump(&levels) <= 2 * step, "late by {k}");
        assert!(levels.is_sorted());
        assert_eq!(
            (u32::from(counts.late), counts.dropped, counts.jumps),
            (k, 0, 0)
        );

        let (levels, arrived, counts) = fade_late_by(k, Late::Hold);
        assert_eq!(arrived, 2000 + k, "late by {k}");
        assert!(largest_jump(&levels) <= step, "late by {k}");
        assert_eq!((u32::from(counts.late), u32::from(counts.dropped)), (k, k));
    }
}

/// The level at each of 2 100 periods of a gear that is told to fade over all levels in 2 s, on a timer that is late by `k` from the 100th on.
fn told_while_late(k: u32, told_ms: u32, late: Late) -> Vec<u16> {
    let mut bus = Bus::new();
    bus.level(1);
    bus.set(SET_FADE_TIME, 4);
    let (queue, mut clock) = (FrameQueue::<4>::new(), clock(late));
    let periods = 0..2_200;
    let levels = periods.map(|now| {
        let is_late = (100..100 + k).contains(&now);
        for left in (0..if is_late {
            0
        } else {
            clock.steps(now * PERIOD)
        })
            .rev()
        {
            if let Some((frame, at_ms)) = queue.pop_due(now, clock.missing() + left) {
                bus.gear.receive(frame, at_ms);
            }
            bus.gear.control_step();
        }
        // Between two periods.
        if now == told_ms {
            queue.push(0xFEFE, now);
        }
        bus.gear.level().to_bits()
    });
    levels.collect()
}

/// A frame that comes while the timer is late sets out neither early nor, once all is caught up, late.
#[test]
fn told_while_late_it_is_where_it_would_be() {
    for told_ms in 90..150 {
        let in_time = told_while_late(0, told_ms, Late::Hold);
        for (k, extra) in (0..40).flat_map(|k| (1..4).map(move |extra| (k, extra))) {
            let levels = told_while_late(k, told_ms, Late::CatchUp { extra });
            // All is made up in as many periods, or fewer.
            let until = (100 + 2 * k).max(told_ms) as usize;
            assert!(
                levels
                    .iter()
                    .zip(&in_time)
                    .all(|(late, there)| late <= there)
            );
            let told = format!("late by {k}, told at {told_ms}, {extra} more");
            assert_eq!(levels[until..], in_time[until..], "{told}");
        }
    }
}

/// Far off is a jump of the time base, either way, near the wrap too: the light goes on by a control step.
#[test]
fn the_time_base_jumps() {
    for start in [0u32, 0x7FFF_FF00, 0xFFFF_FF00] {
        for jump in [501_001u32, 1 << 30, 1 << 31, 0u32.wrapping_sub(501_001)] {
            let mut clock = clock(Late::CatchUp { extra: 3 });
            assert_eq!(clock.steps(start), 1);
            assert_eq!(clock.steps(start.wrapping_add(PERIOD)), 1);
            let jumped = start.wrapping_add(2 * PERIOD).wrapping_add(jump);
            assert_eq!(clock.steps(jumped), 1, "{jump:#x}");
            for later in 1..100 {
                assert_eq!(
                    clock.steps(jumped.wrapping_add(later * PERIOD)),
                    1,
                    "{jump:#x}"
                );
            }
            assert_eq!(
                clock.counts(),
                ClockCounts {
                    jumps: 1,
                    ..ClockCounts::default()
                }
            );
        }
    }
}

/// What was missing before a jump is not made up after it.
#[test]
fn a_jump_forgets_what_was_missing() {
    let mut clock = clock(Late::CatchUp { extra: 1 });
    assert_eq!([0, 1_000, 6_000].map(|now| clock.steps(now)), [1, 1, 2]);
    let later = [5_000_000, 5_001_000, 5_002_000];
    assert_eq!(later.map(|now| clock.steps(now)), [1; 3]);
}

/// A timer that is 1 % fast or slow against the time base is no fault that anyone sees.
#[test]
fn a_timer_that_drifts() {
    for (timer_period, calls) in [(990, 10_100), (1_010, 9_900)] {
        let mut clock = clock(Late::CatchUp { extra: 1 });
        let steps: u32 = (0..calls)
            .map(|call| clock.steps(call * timer_period))
            .sum();
        assert!(
            steps.abs_diff(calls * timer_period / PERIOD) <= 1,
            "{steps}"
        );
        assert_eq!(clock.counts().jumps, 0);
    }
}

#[test]
fn refused_periods() {
    for (period, jump_steps) in [(0, 1), (1, 1), (2, 0), (1 << 31, 1), (1 << 20, 1 << 11)] {
        let refused = ControlClock::new(period, Late::Hold, jump_steps).err();
        assert_eq!(refused, Some(Error::ControlPeriod));
    }
    assert!(ControlClock::new((1 << 31) - 1, Late::Hold, 1).is_ok());
}

/// From the first control step the light is off or within its limits, and rises softly to the power-on level.
#[test]
fn soft_start() {
    let mut bus = Bus::new();
    let movement = bus.gear.power_on().expect("a movement");
    assert_eq!(movement.pace.steps(), CONTROL_HZ / 2);
    let mut levels = vec![bus.gear.level().to_bits()];
    for _ in 0..CONTROL_HZ / 2 {
        bus.gear.control_step();
        levels.push(bus.gear.level().to_bits());
    }
    assert_eq!(
        levels[0],
        59 * 259 + 8,
        "control level 60, the lowest light"
    );
    assert!(levels.is_sorted());
    assert!(largest_jump(&levels) <= (194 * 259_u16).div_ceil(500));
    assert_eq!(bus.gear.level(), Level::FULL);
}

/// Power fails while the light stands at a scene: its saved image brings level and colour back, softly, with a defined light from the
/// first tick; one that is torn brings the default.
#[test]
fn resumes_after_a_brown_out() {
    const CURVE: Curve = Curve::Exponential(constant!(Exponential::new(1_000, 2_048)));
    const WHITES: Configuration<2> = Configuration::new(CURVE, [Modulation::FirstOrder; 2], 1);
    let scene = |level, warm| Scene {
        target: Target {
            level: Level::from_bits(level),
            recipe: Recipe::new([Share::from_bits(warm), Share::FULL]),
        },
        tenths: 5,
    };
    let (last, default) = (scene(40_000, 1 << 30), scene(20_000, 1 << 31));
    let mut image = [0; Scene::<2>::IMAGE_BYTES];
    last.to_image(&mut image).expect("room");
    for (kept, expected) in [(image.len(), last), (image.len() - 1, default)] {
        let saved = Scene::from_image(&image[..kept]).unwrap_or(default);
        let mut luminaire = constant!(Luminaire::new(&WHITES));
        assert_eq!(
            luminaire.next_words(),
            [0; 2],
            "dark before the first control step"
        );
        let steps = u32::from(saved.tenths) * CONTROL_HZ / 10;
        luminaire.fade_to(&saved.target, Pace::new(steps));
        let mut lights = vec![0];
        for _ in 0..steps {
            luminaire.control_step();
            lights.push(luminaire.level().to_bits());
        }
        assert!(
            lights.is_sorted()
                && largest_jump(&lights) <= expected.target.level.to_bits().div_ceil(500)
        );
        assert_eq!(
            (luminaire.level(), luminaire.remaining()),
            (expected.target.level, 0)
        );
        assert_eq!(&luminaire.shares(), expected.target.recipe.shares());
    }
}

proptest! {
    #![proptest_config(cases())]

    /// Whatever the delays: never more than is allowed at a time, and in the end as many as time has passed.
    #[test]
    fn any_delays(delays in prop::collection::vec(prop_oneof![4 => Just(0u32), 1 => 0u32..20_000], 1..300), extra in 1u8..4) {
        let mut clock = clock(Late::CatchUp { extra });
        let (mut now, mut done) = (0u32, 0);
        for delay in delays.iter().chain(&[0; 8_000]) {
            let steps = clock.steps(now);
            prop_assert!(steps <= 1 + u32::from(extra));
            done += steps;
            now += PERIOD + delay;
        }
        prop_assert!(done.abs_diff(now / PERIOD) <= 1, "{done}, not {}", now / PERIOD);
        prop_assert_eq!(clock.counts().dropped, 0);
    }
}
