//! The segments of a record, judged a few at a time beside the reading.

use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::{self, ScopedJoinHandle};

use rayon::prelude::*;

use super::flickermeters::Reading;
use super::{Figures, Shown};
use crate::metrics::flicker::{Line, Samples, pst_lm::Severity, spectrum};

/// Segments that are judged at once; three times as many are held at most.
const BATCH: usize = 4;

/// One judged segment.
pub(super) struct Segment {
    pub(super) begin_s: f64,
    pub(super) end_s: f64,
    /// `None` if it is dark. Of its lines the strongest alone: thousands a segment would add up.
    pub(super) figures: Option<Figures>,
}

/// A record, segment by segment.
pub(super) struct Judged {
    /// Of what the metrics saw.
    pub(super) rate_hz: f64,
    pub(super) band_hz: f64,
    pub(super) segments: Vec<Segment>,
    pub(super) readings: Vec<Reading>,
    pub(super) shown: Option<Shown>,
}

impl Judged {
    /// The worst reading of the flickermeter.
    pub(super) fn worst_severity(&self) -> Option<(f64, Severity)> {
        let read = |reading: &Reading| Some((reading.begin_s, reading.severity.clone()?));
        let worse = |one: &(f64, Severity), other: &(f64, Severity)| {
            one.1.pst_lm.total_cmp(&other.1.pst_lm)
        };
        self.readings.iter().filter_map(read).max_by(worse)
    }
}

/// When a segment begins, in s, and its samples.
pub(super) type Waiting = (f64, Vec<f64>);

/// Hands segments to the thread that judges them.
pub(super) struct Cutter<'scope> {
    pub(super) waiting: Vec<Waiting>,
    batches: SyncSender<Vec<Waiting>>,
    judge: ScopedJoinHandle<'scope, Judge>,
}

impl<'scope> Cutter<'scope> {
    pub(super) fn new<'env>(
        scope: &'scope thread::Scope<'scope, 'env>,
        rate_hz: f64,
        luminance_cd_m2: Option<f64>,
    ) -> Self {
        let (batches, received) = sync_channel(1);
        let judge = Judge {
            rate_hz,
            luminance_cd_m2,
            segments: Vec::new(),
            shown: None,
        };
        Self {
            waiting: Vec::new(),
            batches,
            judge: scope.spawn(|| judge.all(received)),
        }
    }

    pub(super) fn cut(&mut self, begin_s: f64, values: &[f64]) {
        self.waiting.push((begin_s, values.to_vec()));
        if self.waiting.len() == BATCH {
            self.hand_on();
        }
    }

    fn hand_on(&mut self) {
        let batch = std::mem::take(&mut self.waiting);
        self.batches.send(batch).expect("a thread that judges");
    }

    /// All segments, and the one that is shown.
    pub(super) fn finished(mut self) -> (Vec<Segment>, Option<Shown>) {
        self.hand_on();
        drop(self.batches);
        let judge = self.judge.join().expect("a thread that judges");
        (judge.segments, judge.shown)
    }
}

struct Judge {
    rate_hz: f64,
    luminance_cd_m2: Option<f64>,
    segments: Vec<Segment>,
    shown: Option<Shown>,
}

impl Judge {
    fn all(mut self, batches: Receiver<Vec<Waiting>>) -> Self {
        for batch in batches {
            let judged: Vec<_> = batch
                .into_par_iter()
                .map(|(begin_s, values)| (self.judged(begin_s, &values), values))
                .collect();
            for (segment, values) in judged {
                self.keep(segment, values);
            }
        }
        self
    }

    fn judged(&self, begin_s: f64, values: &[f64]) -> Segment {
        let samples = Samples {
            rate_hz: self.rate_hz,
            values,
        };
        Segment {
            begin_s,
            end_s: begin_s + samples.seconds(),
            figures: Figures::of(samples, self.luminance_cd_m2),
        }
    }

    fn keep(&mut self, mut segment: Segment, values: Vec<f64>) {
        let figures = segment.figures.as_mut();
        let lines = figures.and_then(|figures| figures.lines.take());
        if let (Some(figures), Some(lines)) = (&mut segment.figures, &lines) {
            figures.lines = Some(spectrum::dominant(lines).into_iter().collect());
        }
        self.show_if_worst(&segment, values, lines.unwrap_or_default());
        self.segments.push(segment);
    }

    fn show_if_worst(&mut self, segment: &Segment, values: Vec<f64>, lines: Vec<Line>) {
        let margin = |segment: &Segment| {
            let figures = segment.figures.as_ref();
            let worst = figures.and_then(|figures| figures.no_effect);
            worst.map_or(0.0, |worst| worst.margin())
        };
        let most = self.segments.iter().map(margin).fold(0.0, f64::max);
        if self.shown.is_none() || margin(segment) > most {
            self.shown = Some(Shown {
                begin_s: segment.begin_s,
                values,
                lines,
            });
        }
    }
}
