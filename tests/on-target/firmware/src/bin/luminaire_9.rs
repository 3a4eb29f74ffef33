//! The least firmware with a luminaire of 9 channels.
#![no_std]
#![no_main]

milliglow_firmware::minimal_luminaire!(9);
