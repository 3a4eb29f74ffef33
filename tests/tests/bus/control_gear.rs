//! A gear with ways to talk to it.

use milliglow::bus::Movement;
use milliglow::bus::iec62386::{Configuration, Gear, Response};
use milliglow::curve::ControlCurve;
use milliglow::{Light, constant};

pub(crate) const CONTROL_HZ: u32 = 1_000;

/// Invented: lowest light 0.5 %, so a physical minimum level of 60 on the logarithmic curve and 2 on the linear one.
pub(crate) const CONFIGURATION: Configuration = Configuration {
    curve: ControlCurve::Logarithmic,
    lowest: constant!(Light::from_ratio_nearest(1, 200)),
    control_hz: CONTROL_HZ as u16,
    soft_start_tenths: 5,
    mirek: [153, 370],
};

pub(crate) const OFF: u8 = 0x00;
pub(crate) const UP: u8 = 0x01;
pub(crate) const DOWN: u8 = 0x02;
pub(crate) const STEP_UP: u8 = 0x03;
pub(crate) const STEP_DOWN: u8 = 0x04;
pub(crate) const MAXIMUM: u8 = 0x05;
pub(crate) const MINIMUM: u8 = 0x06;
pub(crate) const STEP_DOWN_AND_OFF: u8 = 0x07;
pub(crate) const ON_AND_STEP_UP: u8 = 0x08;
pub(crate) const LAST_ACTIVE: u8 = 0x0A;
pub(crate) const SET_MAXIMUM: u8 = 0x2A;
pub(crate) const SET_MINIMUM: u8 = 0x2B;
pub(crate) const SET_SYSTEM_FAILURE: u8 = 0x2C;
pub(crate) const SET_POWER_ON: u8 = 0x2D;
pub(crate) const SET_FADE_TIME: u8 = 0x2E;
pub(crate) const SET_FADE_RATE: u8 = 0x2F;
pub(crate) const SET_EXTENDED: u8 = 0x30;
pub(crate) const SHORT_ADDRESS: u8 = 0x80;
pub(crate) const STATUS: u8 = 0x90;
pub(crate) const LIMITED: u8 = 0x94;
pub(crate) const ACTUAL: u8 = 0xA0;

/// A gear and the time on its bus.
#[derive(Clone, Debug)]
pub(crate) struct Bus {
    pub(crate) gear: Gear,
    pub(crate) curve: ControlCurve,
    pub(crate) now_ms: u32,
}

impl Bus {
    pub(crate) fn new() -> Self {
        Self::with(&CONFIGURATION)
    }

    pub(crate) fn with(configuration: &Configuration) -> Self {
        Self {
            gear: Gear::new(configuration).expect("a good configuration"),
            curve: configuration.curve,
            now_ms: 0,
        }
    }

    pub(crate) fn frame(&mut self, frame: u16) -> Response {
        self.now_ms += 20;
        self.gear.receive(frame, self.now_ms)
    }

    /// Broadcast.
    pub(crate) fn level(&mut self, number: u8) -> Option<Movement> {
        self.frame(0xFE00 | u16::from(number)).movement
    }

    /// Broadcast.
    pub(crate) fn command(&mut self, code: u8) -> Option<Movement> {
        self.frame(0xFF00 | u16::from(code)).movement
    }

    pub(crate) fn query(&mut self, code: u8) -> Option<u8> {
        self.frame(0xFF00 | u16::from(code)).answer
    }

    pub(crate) fn register(&mut self, index: usize, value: u8) {
        self.frame([0xA300, 0xC300, 0xC500][index] | u16::from(value));
    }

    /// The value into register 0, then the command twice.
    pub(crate) fn set(&mut self, code: u8, value: u8) -> Option<Movement> {
        self.register(0, value);
        assert_eq!(self.command(code), None);
        self.command(code)
    }

    pub(crate) fn run(&mut self, steps: u32) {
        for _ in 0..steps {
            self.gear.control_step();
        }
    }

    /// Control steps until nothing moves any more.
    pub(crate) fn settle(&mut self) -> u32 {
        let mut steps = 0;
        while self.gear.remaining() != 0 {
            self.gear.control_step();
            steps += 1;
        }
        steps
    }
}
