//! From a frame to who deals with it.

use super::instruction::Instruction;
use super::query::DEVICE_TYPE;
use super::{Frame, Gear, MASK};
use crate::bus::Movement;

/// A command that must come twice is taken if the second comes within this time. *Source*: IEC 62386-101 (from memory).
const TWICE_MS: u32 = 100;

/// What came of a frame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Response {
    /// The backward frame to send; 255 means yes, none means no.
    pub answer: Option<u8>,
    /// What to do with the light.
    pub movement: Option<Movement>,
}

impl From<Option<Movement>> for Response {
    fn from(movement: Option<Movement>) -> Self {
        Self {
            answer: None,
            movement,
        }
    }
}

impl From<Option<u8>> for Response {
    fn from(answer: Option<u8>) -> Self {
        Self {
            answer,
            movement: None,
        }
    }
}

impl Gear {
    /// A frame from the bus, taken whole at `at_ms`. What is not for this gear changes nothing.
    pub fn receive(&mut self, frame: u16, at_ms: u32) -> Response {
        let decoded = Frame::decode(frame);
        self.counts.see(decoded, |to| self.settings.is_for(to));
        match decoded {
            Frame::Level { to, number } if self.settings.is_for(to) => {
                self.forget();
                self.direct(number, at_ms).into()
            }
            Frame::Command { to, code } if self.settings.is_for(to) => {
                self.command(code, (frame, at_ms))
            }
            Frame::Special { code, data } => {
                self.special(code, data);
                Response::default()
            }
            _ => Response::default(),
        }
    }

    fn command(&mut self, code: u8, (frame, at_ms): (u16, u32)) -> Response {
        let device_type = self.device_type;
        let repeated = matches!(self.pending, Some((pending, since))
            if pending == frame && at_ms.wrapping_sub(since) <= TWICE_MS);
        if repeated {
            self.pending = None;
        }
        self.forget();
        match Instruction::decode(code) {
            Some(Instruction::Move(movement)) => self.carry_out(movement, at_ms).into(),
            Some(Instruction::Configure(configure)) if repeated => self.configure(configure).into(),
            Some(Instruction::Configure(_)) => {
                self.pending = Some((frame, at_ms));
                Response::default()
            }
            Some(Instruction::Query(query)) => self.answer(query).into(),
            Some(Instruction::Extended(code)) if device_type == DEVICE_TYPE => {
                self.colour_command(code)
            }
            _ => {
                self.counts.see_unknown();
                Response::default()
            }
        }
    }

    /// Data registers, and the device type of the next command.
    fn special(&mut self, code: u8, data: u8) {
        let [register_0, register_1, register_2] = &mut self.registers;
        let place = match code {
            0xA3 => register_0,
            0xC3 => register_1,
            0xC5 => register_2,
            0xC1 => &mut self.device_type,
            _ => return,
        };
        *place = data;
        self.wait_no_longer();
    }

    /// Any frame that this gear takes ends a wait for a repetition and the choice of a device type.
    const fn forget(&mut self) {
        self.wait_no_longer();
        self.device_type = MASK;
    }

    const fn wait_no_longer(&mut self) {
        if self.pending.take().is_some() {
            self.counts.see_single();
        }
    }
}
