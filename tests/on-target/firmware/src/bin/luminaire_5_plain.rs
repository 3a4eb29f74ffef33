//! The least firmware with a luminaire of 5 channels that hold first order alone and without operating tables.
#![no_std]
#![no_main]

milliglow_firmware::minimal_luminaire!(5, plain);
