//! See `milliglow_example_firmware::corrected_light`: on a microcontroller or on a host.
#![cfg_attr(target_os = "none", no_std, no_main)]

#[cfg_attr(target_os = "none", cortex_m_rt::entry)]
fn start() -> ! {
    milliglow_example_firmware::corrected_light::run();
    #[cfg(target_os = "none")]
    semihosting::process::exit(0);
    #[cfg(not(target_os = "none"))]
    std::process::exit(0)
}

#[cfg(not(target_os = "none"))]
fn main() {
    start()
}
