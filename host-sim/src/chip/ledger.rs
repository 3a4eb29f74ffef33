//! The project's ledger of what the core costs on a Cortex-M0: `tests/m0/ledger.csv`, at opt-level 3.

use std::collections::HashMap;
use std::sync::LazyLock;

const LEDGER: &str = include_str!("../../../tests/m0/ledger.csv");

/// Cycles with fast multiplications and no wait state, with those of 32 cycles, with a wait state; bytes of RAM.
#[derive(Clone, Copy)]
struct Row {
    cycles: f64,
    slow_multiplier: f64,
    one_wait_state: f64,
    ram_bytes: f64,
}

static ROWS: LazyLock<HashMap<&str, Row>> = LazyLock::new(|| {
    let lines = LEDGER.lines().filter(|line| !line.starts_with('#'));
    lines.filter_map(row).collect()
});

fn row(line: &str) -> Option<(&str, Row)> {
    let cells: Vec<_> = line.split(',').collect();
    let number = |place: usize| cells.get(place).and_then(|cell| cell.parse().ok());
    let row = Row {
        cycles: number(3).unwrap_or(0.0),
        slow_multiplier: number(4).unwrap_or(0.0),
        one_wait_state: number(5).unwrap_or(0.0),
        ram_bytes: number(9).unwrap_or(0.0),
    };
    (cells.get(1) == Some(&"3")).then_some((cells[0], row))
}

/// What a chip's cycles depend on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Timing {
    /// Wait states of the flash.
    pub wait_states: u8,
    /// Cycles of a multiplication, 1 to 32.
    pub multiply_cycles: u8,
}

impl Timing {
    /// No wait states, multiplications in a cycle.
    pub const FAST: Self = Self {
        wait_states: 0,
        multiply_cycles: 1,
    };

    /// Cycles of an item; between and beyond what is in the ledger along straight lines.
    pub(super) fn cycles(self, item: &str) -> f64 {
        let row = of(item);
        let slow = (f64::from(self.multiply_cycles) - 1.0) / 31.0;
        row.cycles
            + slow * (row.slow_multiplier - row.cycles)
            + f64::from(self.wait_states) * (row.one_wait_state - row.cycles)
    }

    /// Cycles of an item that the ledger has for some numbers of channels.
    pub(super) fn cycles_of_channels(self, item: &str, channels: usize) -> f64 {
        along(&CHANNELS, channels, |count| {
            self.cycles(&format!("{item}_{count}"))
        })
    }

    /// Cycles a tick of turning channels' words into those of a port.
    pub(super) fn packing(self, channels: usize) -> f64 {
        let a_channel = |count| self.cycles(&format!("port_ticks_{count}"));
        channels as f64 * along(&PORTS, channels.max(PORTS[0]), a_channel)
    }
}

/// RAM of a luminaire in bytes.
pub(super) fn luminaire_bytes(channels: usize) -> f64 {
    along(&CHANNELS, channels, |count| {
        of(&format!("firmware_{count}")).ram_bytes
    })
}

/// Numbers of channels that are in the ledger.
const CHANNELS: [usize; 5] = [1, 2, 5, 9, 16];
const PORTS: [usize; 3] = [4, 9, 16];

/// On straight lines between the counts.
fn along(counts: &[usize], channels: usize, figure: impl Fn(usize) -> f64) -> f64 {
    let above = counts.iter().position(|&count| count >= channels);
    let above = above.unwrap_or(counts.len() - 1).max(1);
    let (low, high) = (counts[above - 1], counts[above]);
    let part = (channels as f64 - low as f64) / (high - low) as f64;
    figure(low) + part * (figure(high) - figure(low))
}

fn of(item: &str) -> Row {
    let row = ROWS.get(item).copied();
    row.unwrap_or_else(|| panic!("the ledger has no {item}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_those_of_the_ledger() {
        let line = |item: &str| {
            let head = format!("{item},3,");
            LEDGER.lines().find(|line| line.starts_with(&head)).unwrap()
        };
        let cell = |item: &str, place: usize| -> f64 {
            line(item).split(',').nth(place).unwrap().parse().unwrap()
        };
        let timing = |wait_states, multiply_cycles| Timing {
            wait_states,
            multiply_cycles,
        };
        for (timing, place) in [(timing(0, 1), 3), (timing(0, 32), 4), (timing(1, 1), 5)] {
            let figure = timing.cycles_of_channels("control", 9);
            assert!((figure - cell("control_9", place)).abs() < 1e-9);
        }
        assert_eq!(luminaire_bytes(5), cell("firmware_5", 9));
        let packing = Timing::FAST.packing(9);
        assert!((packing - 9.0 * cell("port_ticks_9", 3)).abs() < 1e-9);
        let between = Timing::FAST.cycles_of_channels("rows", 7);
        let ends = cell("rows_5", 3) + cell("rows_9", 3);
        assert!((between - ends / 2.0).abs() < 1e-9);
    }
}
