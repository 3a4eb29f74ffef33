//! Keeps the README's table true of what each way out costs.
//!
//! To write it anew: `MILLIGLOW_WRITE_README=1 cargo test -p milliglow-tests --test chip_table`.

use milliglow_sim::chip::Budget;
use milliglow_sim::description::{BUILT_IN, Description, Modulation, Output, parse};
use milliglow_tests::readme::keep;

#[test]
fn the_readme_tells_what_ways_out_cost() {
    keep("chip", &table());
}

fn table() -> String {
    let cove = parse(BUILT_IN, "built in").unwrap();
    let pwm = Modulation::Timer {
        bits: 8,
        order: 1,
        width_shift: None,
    };
    let rows = [
        line(
            "a DMA that writes a port",
            "port",
            &cove,
            Output::Port,
            None,
        ),
        line(
            "a shift output (SPI) a channel, with DMA",
            "shift",
            &cove,
            Output::Shift,
            None,
        ),
        line(
            "a timer's compare output a channel, with DMA, run by run",
            "timer",
            &cove,
            Output::Timer,
            None,
        ),
        line(
            "a timer's PWM of 8 bits a channel, with DMA",
            "timer",
            &cove,
            Output::Timer,
            Some(pwm),
        ),
    ];
    let head = "| your chip has | `output` | RAM of buffers, bytes | cycles a tick | bus share | CPU share |\n\
                |---|---|---:|---:|---:|---:|\n";
    head.to_owned() + &rows.concat()
}

fn line(
    has: &str,
    key: &str,
    cove: &Description,
    output: Output,
    modulation: Option<Modulation>,
) -> String {
    let mut cove = cove.clone();
    for channel in &mut cove.channels {
        channel.modulation = modulation.unwrap_or(channel.modulation);
    }
    let mut chip = cove.chip.unwrap();
    chip.output = output;
    let budget = Budget::of(&cove, &chip);
    let needs = budget.needs;
    format!(
        "| {has} | `{key}` | {} | {:.1} | {:.1} % | {:.0} % |\n",
        needs.buffer_bytes,
        needs.streams_a_tick + needs.packing_a_tick,
        100.0 * budget.transfers_share,
        100.0 * budget.cpu_share()
    )
}
