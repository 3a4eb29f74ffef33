//! The least firmware with a luminaire of 16 channels.
#![no_std]
#![no_main]

milliglow_firmware::minimal_luminaire!(16);
