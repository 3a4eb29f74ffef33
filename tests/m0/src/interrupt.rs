//! A call that an interrupt breaks into, at a chosen instruction.

use crate::machine::{PC, RETURN, SP};
use crate::{Fault, Machine};

/// Bytes that the processor puts on the stack at an interrupt: R0 to R3, R12, LR, PC and the flags.
const FRAME_BYTES: u32 = 32;

/// What a call and the handler that broke into it gave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interrupted {
    /// R0 of the call.
    pub call: u32,
    /// R0 of the handler.
    pub handler: u32,
}

impl Machine {
    /// Calls a function, and after `after` of its instructions a handler, as an interrupt would; while the function masks
    /// interrupts, the handler waits. None if the function has returned before.
    ///
    /// To see that no half-made state is seen, try every `after` from 0 until there is none. The state that the handler
    /// leaves in memory stays; registers and flags are given back.
    ///
    /// # Errors
    /// [`Fault`], also for a name that the file does not have.
    pub fn call_interrupted(
        &mut self,
        (function, arguments): (&str, &[u32]),
        (handler, handler_arguments): (&str, &[u32]),
        after: u64,
    ) -> Result<Option<Interrupted>, Fault> {
        let (function, handler) = (self.entry(function)?, self.entry(handler)?);
        self.begin(function, arguments);
        let due = self.counts().0 + after;
        while self.counts().0 < due || self.primask {
            if self.registers[PC] == RETURN {
                return Ok(None);
            }
            self.step()?;
        }
        if self.registers[PC] == RETURN {
            return Ok(None);
        }
        let handler = self.interrupt(handler, handler_arguments)?;
        let call = self.run_to_return()?.results[0];
        Ok(Some(Interrupted { call, handler }))
    }

    fn interrupt(&mut self, handler: u32, arguments: &[u32]) -> Result<u32, Fault> {
        let (registers, flags) = (self.registers, self.flags);
        self.registers[SP] = (registers[SP] - FRAME_BYTES) & !7;
        self.enter(handler, arguments);
        let result = self.run_to_return()?.results[0];
        self.flags = flags;
        self.branch(registers[PC]);
        self.registers = registers;
        Ok(result)
    }
}
