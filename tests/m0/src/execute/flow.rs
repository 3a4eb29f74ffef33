//! Branches.

use super::BRANCH;
use crate::bits::{field, signed};
use crate::machine::{LR, PC};
use crate::{Fault, Machine};

/// Cycles of a conditional branch that is not taken.
const UNTAKEN: u32 = 1;
/// Cycles of BL.
const BRANCH_WITH_LINK: u32 = 4;

impl Machine {
    /// B with a condition.
    pub(super) fn branch_if(&mut self, first: u16) -> Result<u32, Fault> {
        let Some(taken) = self.condition(field(first, 8, 4)) else {
            return Err(self.unknown(first, 0)); // UDF and SVC
        };
        if !taken {
            return Ok(UNTAKEN);
        }
        self.branch_by(signed(field(first, 0, 8), 8) << 1);
        Ok(BRANCH)
    }

    /// B.
    pub(super) const fn branch_always(&mut self, first: u16) -> u32 {
        self.branch_by(signed(field(first, 0, 11), 11) << 1);
        BRANCH
    }

    const fn branch_by(&mut self, offset: u32) {
        self.branch(self.read(PC).wrapping_add(offset));
    }

    const fn condition(&self, condition: u32) -> Option<bool> {
        let flags = self.flags;
        let holds = match condition >> 1 {
            0 => flags.z,
            1 => flags.c,
            2 => flags.n,
            3 => flags.v,
            4 => flags.c && !flags.z,
            5 => flags.n == flags.v,
            6 => flags.n == flags.v && !flags.z,
            _ => return None,
        };
        Some(holds != (condition & 1 == 1))
    }

    /// BX and BLX.
    pub(super) fn branch_register(&mut self, first: u16, to: u32) -> Result<u32, Fault> {
        if field(first, 7, 1) == 1 {
            self.registers[LR] = self.here.wrapping_add(2) | 1;
        }
        self.branch_exchange(to)?;
        Ok(BRANCH)
    }

    pub(super) const fn branch_with_link(&mut self, first: u16, second: u16) -> u32 {
        let sign = field(first, 10, 1);
        let flips = [field(second, 13, 1), field(second, 11, 1)];
        let high = [1 ^ flips[0] ^ sign, 1 ^ flips[1] ^ sign];
        let offset = sign << 24
            | high[0] << 23
            | high[1] << 22
            | field(first, 0, 10) << 12
            | field(second, 0, 11) << 1;
        self.registers[LR] = self.here.wrapping_add(4) | 1;
        self.branch_by(signed(offset, 25));
        BRANCH_WITH_LINK
    }
}
