//! The least firmware with a luminaire of 2 channels.
#![no_std]
#![no_main]

milliglow_firmware::minimal_luminaire!(2);
