//! Pictures of light: what must be seen in them is counted in their pixels.

use milliglow::density::Density;
use milliglow_sim::colour::Xy;
use milliglow_sim::metrics::camera::Camera;
use milliglow_sim::optics::SteadyChannel;
use milliglow_sim::pictures::{Lit, Picture, lit_wall, swept_point, waved_rod};

const TICK_HZ: f64 = 3e6;
const WHITE: Xy = Xy {
    x: 0.3127,
    y: 0.3290,
};

fn channel(pulse_hz: f64, phase: u32) -> SteadyChannel {
    SteadyChannel::new(
        Density::from_bits((pulse_hz / TICK_HZ * 4_294_967_296.0) as u32),
        phase,
        100.0,
    )
}

/// Red of the pixels along a line.
fn reds(picture: &Picture, along: impl Iterator<Item = (u32, u32)>) -> Vec<u8> {
    along
        .map(|(x, y)| picture.rgb[3 * (y * picture.width + x) as usize])
        .collect()
}

/// How often values rise through the middle between their extremes.
fn bright_bands(values: &[u8]) -> usize {
    let middle = values.iter().max().unwrap() / 2;
    values
        .windows(2)
        .filter(|pair| pair[0] <= middle && pair[1] > middle)
        .count()
}

/// One white channel.
fn white(pulse_hz: f64, draw: impl Fn(&[Lit]) -> Picture) -> Picture {
    let light = channel(pulse_hz, 0);
    let until = |s: f64| light.light_until(s * TICK_HZ);
    draw(&[Lit {
        colour: WHITE,
        until_s: &until,
    }])
}

const CAMERA: Camera = Camera {
    frame_hz: 30.0,
    rows: 720,
    line_s: 30e-6,
    exposure_s: 1.0 / 2_000.0,
};

#[test]
fn a_wall_has_a_band_a_pulse() {
    let picture = white(1_000.0, |light| lit_wall(light, &CAMERA, 0.5));
    assert_eq!((picture.width, picture.height), (960, 720));
    let down = reds(&picture, (0..720).map(|y| (7, y)));
    // 720 rows of 30 us are 21.6 ms.
    assert!(
        (21..=22).contains(&bright_bands(&down)),
        "{}",
        bright_bands(&down)
    );
    let across = reds(&picture, (0..960).map(|x| (x, 100)));
    assert!(across.iter().all(|red| *red == across[0]));
    assert!(
        picture.caption.contains("Contrast of the rows 100.00 %"),
        "{}",
        picture.caption
    );
    let even = white(300_000.0, |light| lit_wall(light, &CAMERA, 0.5));
    let down = reds(&even, (0..720).map(|y| (7, y)));
    // Half of full in linear light; a band is less than one step of 8 bits.
    assert!(down.iter().all(|red| (187..=189).contains(red)), "{down:?}");
}

#[test]
fn a_waved_rod_multiplies_as_the_light_pulses() {
    let picture = white(200.0, |light| waved_rod(light, 0.0));
    let across = reds(
        &picture,
        (0..picture.width).map(|x| (x, picture.height / 2)),
    );
    // 0.1 s of 200 Hz; the last pulse may fall just outside.
    assert!((19..=20).contains(&bright_bands(&across)));
    assert!(
        reds(&picture, (0..picture.width).map(|x| (x, 5)))
            .iter()
            .all(|red| *red == 0)
    );
    let even = white(600_000.0, |light| waved_rod(light, 0.0));
    let across = reds(&even, (0..even.width).map(|x| (x, even.height / 2)));
    assert_eq!(bright_bands(&across[..400]), 1);
    assert!(across[25..795].iter().all(|red| *red >= 254), "{across:?}");
}

#[test]
fn a_swept_point_breaks_up_into_dots() {
    let picture = white(2_000.0, |light| swept_point(light, 0.0));
    let across = reds(&picture, (0..picture.width).map(|x| (x, 40)));
    // 30 ms of 2 kHz.
    assert!(
        (59..=61).contains(&bright_bands(&across)),
        "{}",
        bright_bands(&across)
    );
}

#[test]
fn colours_break_up_where_channels_pulse_in_turn() {
    let lights = [channel(2_000.0, 0), channel(2_000.0, 1 << 31)];
    let until = lights.map(|light| move |s: f64| light.light_until(s * TICK_HZ));
    let colours = [Xy { x: 0.64, y: 0.33 }, Xy { x: 0.15, y: 0.06 }];
    let lit: Vec<_> = (0..2)
        .map(|k| Lit {
            colour: colours[k],
            until_s: &until[k],
        })
        .collect();
    let picture = swept_point(&lit, 0.0);
    let line = 40 * picture.width as usize;
    let pixels = &picture.rgb.as_chunks::<3>().0[line..line + picture.width as usize];
    let red = pixels
        .iter()
        .filter(|[red, _, blue]| *red > 100 && *blue < 20)
        .count();
    let blue = pixels
        .iter()
        .filter(|[red, _, blue]| *red < 20 && *blue > 100)
        .count();
    assert!(red > 100 && blue > 100, "{red} {blue}");
    assert_eq!(picture.height, 12 + 72 + 2 * 36);
}
