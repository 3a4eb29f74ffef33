//! Which library this is.
#![expect(unsafe_code, reason = "a symbol is exported")]

/// The header's version: 65 536 x major + 256 x minor + patch.
pub const MILLIGLOW_VERSION: u32 = 0x0000_0100;

/// The library's version, to be compared with the header's MILLIGLOW_VERSION. For any context.
#[unsafe(no_mangle)]
pub extern "C" fn milliglow_version() -> u32 {
    MILLIGLOW_VERSION
}

/// The package's version is that of the header.
const _: () = {
    let written = env!("CARGO_PKG_VERSION").as_bytes();
    let [major, b'.', minor, b'.', patch] = written else {
        panic!("a version has three numbers of one digit");
    };
    let digits = [*major as u32 - 48, *minor as u32 - 48, *patch as u32 - 48];
    assert!(MILLIGLOW_VERSION == digits[0] << 16 | digits[1] << 8 | digits[2]);
};
