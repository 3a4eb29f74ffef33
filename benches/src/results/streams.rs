//! Bits a second, ours and peers', with the bits that differ from stepping tick by tick.

use std::io;

use super::ours::{
    BITS, CHARGE, Ours, constant, core_constant, core_held, fade, idsp, second_order,
    second_orders, standing_speed,
};
use super::page::{Figure, Page, figures};
use super::python::{Peer, peers};

/// Powers of two, and densities spread evenly.
fn densities_tried() -> impl Iterator<Item = u32> {
    let spread = (1..=8_u32).map(|k| k.wrapping_mul(0x9E37_79B9));
    (3..32).step_by(4).map(|k| 1 << k).chain(spread)
}

/// Measures the streams, and writes their section.
pub(super) fn measure(page: &mut Page) -> io::Result<()> {
    let (versions, peers) = peers();
    let ours = [
        constant(),
        core_constant(),
        core_held(),
        fade(),
        second_orders(),
        second_order(),
    ];
    let mut rows: Vec<Figure> = Vec::new();
    for ours in &ours {
        rows.extend(beside_peers(ours, &peers));
    }
    let speeds = densities_tried().map(|density| standing_speed(density, CHARGE));
    let slowest = speeds.fold(f64::INFINITY, f64::min);
    let words = format!(
        "Gigabits a second of one core, {BITS} bits a run, the best of several; set-up counts. Density 0.0657 from an invented charge; \
         the fade goes from 94 % to 0.1 % over and over and changes every 3008 ticks. Errors are the bits that differ from stepping \
         tick by tick, of the first {BITS} (numpy's second order: 4096). The slowest of sixteen other densities, constant, takes \
         {slowest:.0} Gbit/s. Peers: {versions}, idsp {}.",
        version("idsp")
    );
    let [constant, .., fade, second_order, _] = &ours;
    page.matters(
        "streams, a core: constant density; a fade that changes every control step; second order",
        format!(
            "{:.0}; {:.1}; {:.1} Gbit/s",
            constant.speed, fade.speed, second_order.speed
        ),
    );
    page.section("Streams", &words, "", &figures(&rows));
    Ok(())
}

/// Of a crate in the workspace's lock file.
fn version(name: &str) -> String {
    let lock = include_str!("../../../Cargo.lock");
    let after = lock
        .split_once(&format!("name = \"{name}\"\nversion = \""))
        .map(|(_, after)| after);
    after
        .and_then(|after| after.split('"').next())
        .unwrap_or("?")
        .to_owned()
}

fn beside_peers(ours: &Ours, peers: &[Peer]) -> Vec<Figure> {
    let own = Figure {
        what: ours.what.to_owned(),
        ours: format!("{:.2}", ours.speed),
        aim: ours.aim.to_owned(),
        error: differing(&ours.bits, &ours.exact),
        ..Figure::default()
    };
    let mut theirs: Vec<Peer> = peers.to_vec();
    theirs.extend(idsp(ours.case));
    let theirs = theirs.iter().filter(|peer| peer.case == ours.case);
    let mut rows: Vec<_> = theirs
        .map(|peer| Figure {
            peer: peer.name.clone(),
            theirs: peer
                .speed
                .as_ref()
                .map_or("none".to_owned(), |speed| format!("{speed:.2}")),
            ratio: peer
                .speed
                .as_ref()
                .map_or(String::new(), |speed| format!("{:.1}", ours.speed / speed)),
            peer_error: match &peer.speed {
                Ok(_) => differing(&peer.bits, ours.theirs.as_ref().unwrap_or(&ours.exact)),
                Err(reason) => format!("does not run: {reason}"),
            },
            ..own.clone()
        })
        .collect();
    if rows.is_empty() {
        rows.push(own);
    }
    rows
}

/// Bits that differ over the shorter of both.
fn differing(bits: &[u8], exact: &[u8]) -> String {
    let count: u32 = bits
        .iter()
        .zip(exact)
        .map(|(one, other)| (one ^ other).count_ones())
        .sum();
    format!("{count} bits")
}
