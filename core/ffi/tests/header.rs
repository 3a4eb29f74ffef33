//! The committed header is what cbindgen makes of the sources.

use std::fs;
use std::path::Path;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

fn made() -> String {
    let root = Path::new(ROOT);
    let configuration =
        cbindgen::Config::from_file(root.join("cbindgen.toml")).expect("a configuration");
    let bindings = cbindgen::Builder::new()
        .with_config(configuration)
        .with_crate(root)
        .generate()
        .expect("bindings");
    let mut header = Vec::new();
    bindings.write(&mut header);
    String::from_utf8(header).expect("text")
}

#[test]
fn the_header_is_that_of_the_sources() {
    let path = Path::new(ROOT).join("include/milliglow.h");
    let made = made();
    if std::env::var_os("MILLIGLOW_WRITE_HEADER").is_some() {
        fs::write(&path, &made).expect("a file");
    }
    let committed = fs::read_to_string(&path).expect("a header");
    assert!(
        committed == made,
        "{} differs; write it with MILLIGLOW_WRITE_HEADER=1 cargo test -p milliglow-ffi",
        path.display()
    );
}

/// Every error of the header has a name, which is the macro's.
#[test]
fn errors_have_the_names_of_the_header() {
    let header = fs::read_to_string(Path::new(ROOT).join("include/milliglow.h")).expect("text");
    let defined = header.lines().filter_map(|line| {
        let (name, value) = line
            .strip_prefix("#define MILLIGLOW_ERROR_")?
            .split_once(' ')?;
        Some((name, value.parse::<i32>().expect("a number")))
    });
    let defined: Vec<_> = defined.collect();
    assert!(defined.len() > 20);
    for (name, value) in defined {
        assert!(value < 0);
        assert_eq!(said(value), name);
    }
    assert_eq!(
        (said(0), said(1), said(-1_000)),
        ("NONE", "UNKNOWN", "UNKNOWN")
    );
}

#[expect(unsafe_code, reason = "a string of C is read")]
fn said(error: i32) -> &'static str {
    let name = milliglow_ffi::error::milliglow_error_name(error);
    // SAFETY: the function promises a string that lasts.
    unsafe { std::ffi::CStr::from_ptr(name) }
        .to_str()
        .expect("ASCII")
}
