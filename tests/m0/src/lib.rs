//! A counting interpreter of the Cortex-M0: it calls a function of an ELF file and says what the call cost.
//!
//! It knows the whole of ARMv6-M but what needs an operating system or an interrupt (SVC, WFI, WFE and BKPT); what it does
//! not know is a [`Fault`], never skipped. Cycles come from the published table alone, see [`Timing`]: nothing here
//! was measured on silicon.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod bits;
mod call;
mod execute;
mod fault;
mod image;
mod interrupt;
pub mod ledger;
mod machine;
mod memory;
mod timing;
mod touched;

pub use call::Cost;
pub use fault::Fault;
pub use image::{Image, ImageError, Symbol};
pub use interrupt::Interrupted;
pub use machine::{Flags, Machine};
pub use timing::{Multiplier, Timing};
