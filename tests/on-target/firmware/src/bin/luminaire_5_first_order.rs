//! The least firmware with a luminaire of 5 channels that hold any operating tables, but first order alone.
#![no_std]
#![no_main]

milliglow_firmware::minimal_luminaire!(5, first_order);
