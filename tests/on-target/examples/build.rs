//! On a microcontroller, links with the layout of `cortex-m-rt` and with `memory.x`.

fn main() {
    println!("cargo:rerun-if-changed=memory.x");
    if std::env::var("CARGO_CFG_TARGET_OS").as_deref() == Ok("none") {
        println!("cargo:rustc-link-search={}", env!("CARGO_MANIFEST_DIR"));
        println!("cargo:rustc-link-arg-bins=-Tlink.x");
    }
}
