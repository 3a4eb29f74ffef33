//! milliglow core.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
