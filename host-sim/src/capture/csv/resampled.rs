//! Samples at even times, on straight lines between the stamps.

use std::collections::VecDeque;

use super::rows::{Row, Rows};
use super::timing::Timing;
use crate::capture::pieces::BLOCK;
use crate::capture::{Piece, Refusal};

/// A stamp this near a sample's time, in intervals, is that sample's: rounding of numbers puts it there.
const NEAR: f64 = 1e-6;

/// Even samples of rows; a gap begins anew.
pub(super) struct Resampled {
    rows: Rows,
    timing: Timing,
    before: Option<Row>,
    /// Time of the first sample after the last gap, and samples since.
    start_s: f64,
    count: u64,
    block: Vec<f64>,
    ready: VecDeque<Piece>,
    ended: bool,
}

impl Resampled {
    pub(super) fn new(rows: Rows, timing: Timing) -> Self {
        Self {
            rows,
            timing,
            before: None,
            start_s: 0.0,
            count: 0,
            block: Vec::new(),
            ready: VecDeque::new(),
            ended: false,
        }
    }

    fn due_s(&self) -> f64 {
        self.start_s + self.count as f64 / self.timing.rate_hz
    }

    fn take(&mut self, row: Row) {
        match self.before.take() {
            Some(before) if row.time_s - before.time_s <= self.timing.gap_over_s => {
                self.fill(&before, &row);
            }
            Some(_) => {
                let seconds = (row.time_s - self.due_s()).max(0.0);
                self.hand_on();
                self.ready.push_back(Piece::Gap { seconds });
                self.begin(&row);
            }
            None => self.begin(&row),
        }
        self.before = Some(row);
        if self.block.len() >= BLOCK {
            self.hand_on();
        }
    }

    fn begin(&mut self, row: &Row) {
        self.start_s = row.time_s;
        self.count = 1;
        self.block.push(row.value);
    }

    fn fill(&mut self, before: &Row, row: &Row) {
        let near = NEAR / self.timing.rate_hz;
        while self.due_s() <= row.time_s + near {
            let part = (self.due_s() - before.time_s) / (row.time_s - before.time_s);
            let part = part.clamp(0.0, 1.0);
            self.block
                .push(before.value + part * (row.value - before.value));
            self.count += 1;
        }
    }

    fn hand_on(&mut self) {
        if !self.block.is_empty() {
            self.ready
                .push_back(Piece::Light(std::mem::take(&mut self.block)));
        }
    }
}

impl Iterator for Resampled {
    type Item = Result<Piece, Refusal>;

    fn next(&mut self) -> Option<Self::Item> {
        while self.ready.is_empty() && !self.ended {
            match self.rows.next() {
                Some(Ok(row)) => self.take(row),
                Some(Err(refusal)) => {
                    self.ended = true;
                    return Some(Err(refusal));
                }
                None => {
                    self.ended = true;
                    self.hand_on();
                }
            }
        }
        self.ready.pop_front().map(Ok)
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;
    use std::io::{self, Read};
    use std::path::Path;
    use std::rc::Rc;

    use super::*;
    use crate::capture::csv::layout::{Layout, TimeUnit};
    use crate::capture::csv::parsing::UNDERWAY;
    use crate::capture::csv::rows::BLOCK_BYTES;

    const ROW_BYTES: usize = "000000000000,1.25\n".len();

    /// A row a microsecond, for ever; tells how much of it was taken.
    struct Endless {
        row: u64,
        taken: Rc<Cell<usize>>,
    }

    impl Read for Endless {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let rows = buffer.chunks_exact_mut(ROW_BYTES);
            let count = rows.len() * ROW_BYTES;
            for row in rows {
                row.copy_from_slice(format!("{:012},1.25\n", self.row).as_bytes());
                self.row += 1;
            }
            self.taken.set(self.taken.get() + count);
            Ok(count)
        }
    }

    #[test]
    fn of_an_endless_file_a_few_blocks_are_held() {
        let taken = Rc::new(Cell::new(0));
        let endless = Endless {
            row: 0,
            taken: taken.clone(),
        };
        let layout = Layout {
            delimiter: ',',
            has_header: false,
            has_times: true,
            unit: TimeUnit::Microseconds,
        };
        let timing = Timing {
            rate_hz: 1e6,
            longest_s: 1e-6,
            shortest_s: 1e-6,
            gap_over_s: 2.5e-6,
        };
        let pieces = Resampled::new(
            Rows::of(Path::new("endless.csv"), Box::new(endless), layout),
            timing,
        );
        let mut given = 0;
        for piece in pieces.take(500) {
            let Ok(Piece::Light(values)) = piece else {
                panic!("light alone")
            };
            assert!(values.len() <= BLOCK && values.iter().all(|&value| value == 1.25));
            given += values.len();
            let held = taken.get() - given * ROW_BYTES;
            assert!(
                held <= (UNDERWAY + 2) * BLOCK_BYTES,
                "{held} bytes after {given} rows"
            );
        }
        assert_eq!(given, 500 * BLOCK);
    }
}
