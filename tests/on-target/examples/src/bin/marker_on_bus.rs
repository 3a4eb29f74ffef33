//! See `milliglow_example_firmware::marker_on_bus`: on a microcontroller or on a host.
#![cfg_attr(target_os = "none", no_std, no_main)]

use milliglow_example_firmware::marker_on_bus::{Control, frame_came, run};

#[cfg(target_os = "none")]
mod interrupts {
    use super::{Control, frame_came};
    use cortex_m::asm::isb;
    use cortex_m::peripheral::SCB;
    use cortex_m_rt::exception;

    /// In place of the bus receiver's.
    #[exception]
    fn SysTick() {
        frame_came();
    }

    /// In place of the timer's.
    #[exception]
    fn PendSV() {
        static mut CONTROL: Control = Control::new();
        CONTROL.step_is_due();
    }

    pub fn raise_frame() {
        SCB::set_pendst();
        isb();
    }

    pub fn raise_step() {
        SCB::set_pendsv();
        isb();
    }
}

#[cfg(target_os = "none")]
#[cortex_m_rt::entry]
fn start() -> ! {
    run(interrupts::raise_frame, interrupts::raise_step);
    semihosting::process::exit(0)
}

#[cfg(not(target_os = "none"))]
fn main() {
    let mut control = Control::new();
    run(frame_came, || control.step_is_due());
}
