//! How many cycles an instruction takes.

/// The two multipliers with which a Cortex-M0 is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Multiplier {
    /// One cycle.
    Fast,
    /// 32 cycles.
    Slow,
}

/// The processor and its flash.
///
/// *Cycles*: table 3-1 of the Cortex-M0 Technical Reference Manual (ARM DDI 0432), zero wait states: ALU 1, load and
/// store 2, several registers 1 + N, taken branch 3, untaken 1, BL 4, BX and BLX 3, any write to the PC 3,
/// multiply 1 or 32. From memory: POP with the PC 4 + N with the PC counted among the N; MRS, MSR and barriers 4.
///
/// *Wait states* are a model of ours, of a flash without prefetch or cache: each aligned 32-bit word of code that is fetched
/// costs `wait_states` more, once while execution goes straight through it, again after each taken branch, also
/// into the same word; a load from flash (literal or table) costs `wait_states` more a register. Fetches that a branch throws away are
/// not counted. A chip with a prefetch buffer does better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timing {
    /// Cycles of MULS.
    pub multiplier: Multiplier,
    /// Wait states of the flash.
    pub wait_states: u32,
    /// Fetches and literals as if all code had been copied to RAM; tables stay in flash.
    pub code_in_ram: bool,
}

impl Timing {
    /// Fast multiplier, no wait state.
    pub const FAST: Self = Self {
        multiplier: Multiplier::Fast,
        wait_states: 0,
        code_in_ram: false,
    };

    pub(crate) const fn multiply(self) -> u32 {
        match self.multiplier {
            Multiplier::Fast => 1,
            Multiplier::Slow => 32,
        }
    }

    pub(crate) const fn fetch(self) -> u32 {
        if self.code_in_ram {
            0
        } else {
            self.wait_states
        }
    }
}
