//! The fast profile: means over standing densities, the costliest calls, and buffers of a port.

use milliglow_m0::{Cost, Fault, Machine};

use crate::bench::{Item, worst};

/// Words of a buffer.
const BUFFERS: [u32; 3] = [32, 64, 128];
/// Up to 2^-12, and as close to full.
const DARK: [u32; 4] = [0, 1 << 16, 1 << 20, (1_u32 << 20).wrapping_neg()];
/// The others of nineteen: 0.001, 2^-8, 2^-6, 0.03, 0.0625, 0.1, 0.25, 0.333, 0.414, 0.5, 0.618, 0.75, 0.97, 1 - 2^-8, full.
const OTHERS: [u32; 15] = [
    4_294_967,
    1 << 24,
    1 << 26,
    128_849_019,
    1 << 28,
    429_496_730,
    1 << 30,
    1_430_224_109,
    1_778_116_460,
    1 << 31,
    2_654_435_769,
    3 << 30,
    4_166_118_277,
    (1_u32 << 24).wrapping_neg(),
    u32::MAX,
];

/// The item's name, the function that it calls, what its figures are divided by, and how.
pub(crate) type Measured = (String, String, u32, Box<Item<'static>>);

/// Calls of a double buffer from a change to this density on: the first two, and those after them.
fn calls(machine: &mut Machine, words: u32, density: u32) -> Result<(Vec<Cost>, Vec<Cost>), Fault> {
    let bytes = machine.call("size_of_channel", &[])?.results[0];
    let channel = machine.allocate(bytes)?;
    let halves = [machine.allocate(4 * 128)?, machine.allocate(4 * 128)?];
    machine.call("channel_new", &[channel, density, 0x9E37_79B9])?;
    let function = format!("held_fill_{words}");
    let mut costs = Vec::new();
    for turn in 0..2 + 1_536 / words as usize {
        let (previous, words) = (halves[(turn + 1) % 2], halves[turn % 2]);
        costs.push(machine.call(&function, &[channel, previous, words])?);
    }
    let steady = costs.split_off(2);
    Ok((costs, steady))
}

/// The dearest of these densities, each in a machine as it was.
fn dearest(
    machine: &mut Machine,
    densities: &[u32],
    cost: impl Fn(&mut Machine, u32) -> Result<Cost, Fault>,
) -> Result<Cost, Fault> {
    let costs: Vec<_> = densities
        .iter()
        .map(|&density| cost(machine, density))
        .collect();
    worst(costs)
}

fn mean(costs: &[Cost]) -> Cost {
    let calls = costs.len() as u64;
    Cost {
        instructions: costs.iter().map(|cost| cost.instructions).sum::<u64>() / calls,
        cycles: costs.iter().map(|cost| cost.cycles).sum::<u64>() / calls,
        stack_bytes: costs.iter().map(|cost| cost.stack_bytes).max().unwrap_or(0),
        ..Cost::default()
    }
}

/// Words from a change to this density on, after which the fast profile has taken less than the small one would have, in place of cycles.
fn pays(machine: &mut Machine, words: u32, density: u32) -> Result<Cost, Fault> {
    let (first, steady) = calls(machine, words, density)?;
    let plain = plain(machine, density)?;
    if density == 0 || density == u32::MAX {
        return Ok(Cost::default()); // both profiles do the same
    }
    let (mut fast, mut small, mut paid) = (0, 0, 0);
    for (call, cost) in (1_u32..).zip(first.iter().chain(&steady)) {
        fast += cost.cycles;
        small += u64::from(words / 32) * plain;
        if fast > small {
            paid = call;
        }
    }
    let paid = u64::from(words * (paid + 1));
    Ok(Cost {
        instructions: paid,
        cycles: paid,
        stack_bytes: steady.first().map_or(0, |cost| cost.stack_bytes),
        ..Cost::default()
    })
}

/// Cycles of 32 words by the small profile.
fn plain(machine: &mut Machine, density: u32) -> Result<u64, Fault> {
    let (channel, buffer) = (machine.allocate(64)?, machine.allocate(128)?);
    machine.call("channel_new", &[channel, density, 0x9E37_79B9])?;
    Ok(machine.call("plain_fill_32", &[channel, buffer])?.cycles)
}

fn held(words: u32) -> Vec<Measured> {
    let function = format!("held_fill_{words}");
    let item = |name: &str, parts: u32, run: Box<Item<'static>>| {
        (format!("held_{words}{name}"), function.clone(), parts, run)
    };
    let all = || [&DARK[..], &OTHERS[..]].concat();
    vec![
        item(
            "_dark",
            32 * words,
            Box::new(move |machine| {
                dearest(machine, &DARK, |machine, density| {
                    Ok(mean(&calls(machine, words, density)?.1))
                })
            }),
        ),
        item(
            "",
            32 * words,
            Box::new(move |machine| {
                dearest(machine, &all(), |machine, density| {
                    Ok(mean(&calls(machine, words, density)?.1))
                })
            }),
        ),
        item(
            "_pays",
            1,
            Box::new(move |machine| {
                dearest(machine, &all(), |machine, density| {
                    pays(machine, words, density)
                })
            }),
        ),
        item(
            "_call",
            1,
            Box::new(move |machine| {
                dearest(machine, &all(), |machine, density| {
                    worst(calls(machine, words, density)?.1.into_iter().map(Ok))
                })
            }),
        ),
        item(
            "_change",
            1,
            Box::new(move |machine| {
                dearest(machine, &all(), |machine, density| {
                    worst(calls(machine, words, density)?.0.into_iter().map(Ok))
                })
            }),
        ),
    ]
}

/// 1024 ticks of a port, a tick and channel: channel k stands at 1 in `rarity` x (1 + 0.13 k).
fn port(channels: u32, name: &str, rarity: u32) -> Measured {
    let function = format!("fill_port_{channels}");
    let run = move |machine: &mut Machine| {
        let named = |what: &str| format!("{what}_{channels}");
        let bytes = machine.call(&named("size_of_port"), &[])?.results[0];
        let (on_port, buffer, densities) = (
            machine.allocate(bytes)?,
            machine.allocate(2_048)?,
            machine.allocate(64)?,
        );
        machine.call(&named("port_new"), &[on_port, 1])?;
        let density =
            |k: u32| (u64::from(u32::MAX) * 100 / u64::from(rarity * (100 + 13 * k))) as u32;
        machine.write_words(densities, &(0..channels).map(density).collect::<Vec<_>>())?;
        machine.call(&named("port_set"), &[on_port, densities])?;
        machine.call(&named("fill_port"), &[on_port, buffer])?;
        let costs: Result<Vec<_>, Fault> = (0..16)
            .map(|_| machine.call(&named("fill_port"), &[on_port, buffer]))
            .collect();
        Ok(mean(&costs?))
    };
    (
        format!("port_{channels}_{name}"),
        function,
        1_024 * channels,
        Box::new(run),
    )
}

/// 32 words a channel turned into 1024 ticks of a port, a tick and channel.
fn turn(channels: u32) -> Measured {
    let function = format!("port_ticks_{channels}");
    let name = function.clone();
    let run = move |machine: &mut Machine| {
        let (words, ticks) = (machine.allocate(128 * channels)?, machine.allocate(2_048)?);
        machine.call(&name, &[words, ticks])
    };
    (function.clone(), function, 1_024 * channels, Box::new(run))
}

/// Words of a control step at 3 MHz and 1 kHz.
const WORDS: u32 = 94;

/// The fills of a fade from full to 0.1 % that changes the density in each of 800 control steps, as one of 8000 does: the mean of a tick.
fn fade(name: &str, is_held: bool) -> Measured {
    let function = if is_held {
        "fading_fill_held"
    } else {
        "fading_fill"
    };
    let run = move |machine: &mut Machine| {
        let bytes = machine.call("size_of_fading", &[])?.results[0];
        let fading = machine.allocate(bytes)?;
        let halves = [machine.allocate(4 * WORDS)?, machine.allocate(4 * WORDS)?];
        machine.call("fading_new", &[fading, 1])?;
        machine.call("fading_to", &[fading, 65_535, 0])?;
        machine.call("fading_step", &[fading])?;
        machine.call("fading_to", &[fading, 1, 800])?;
        let mut costs = Vec::new();
        for turn in 0..800 {
            machine.call("fading_step", &[fading])?;
            let (previous, words) = (halves[(turn + 1) % 2], halves[turn % 2]);
            let arguments = if is_held {
                vec![fading, previous, words]
            } else {
                vec![fading, words]
            };
            costs.push(machine.call(function, &arguments)?);
        }
        Ok(mean(&costs))
    };
    (
        name.to_owned(),
        function.to_owned(),
        32 * WORDS,
        Box::new(run),
    )
}

/// All of them.
pub(crate) fn measured() -> Vec<Measured> {
    let ports = [4, 9, 16].into_iter().flat_map(|channels| {
        [
            port(channels, "sparse", 256),
            port(channels, "middle", 3),
            turn(channels),
        ]
    });
    let fades = [fade("fade_tick", false), fade("fade_tick_held", true)];
    let held = BUFFERS.into_iter().flat_map(held);
    held.chain(ports).chain(fades).collect()
}
