//! By semihosting, which an emulator and most debuggers know.

pub(super) use semihosting::sys::arm_compat::sys_writec as put;

/// The end of the run.
pub fn done() -> ! {
    semihosting::process::exit(0)
}
