//! The suite on this machine, a line a hash.

fn main() {
    milliglow_suite::run(&mut |name, hash| println!("{name} {hash:08x}"));
}
