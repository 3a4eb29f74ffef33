//! The least firmware with a luminaire of 1 channels.
#![no_std]
#![no_main]

milliglow_firmware::minimal_luminaire!(1);
