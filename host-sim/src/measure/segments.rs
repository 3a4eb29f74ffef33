//! Cuts a record into segments and has them judged, a few at a time.

use rayon::prelude::*;

use super::flickermeters::{Flickermeters, Reading};
use super::survey::Stretch;
use super::{Figures, Options, Shown, Survey};
use crate::capture::{Capture, Piece, Refusal};
use crate::metrics::flicker::{Samples, pst_lm::Severity};
use crate::optics::Thinned;

/// A stretch up to this long is one segment.
const WHOLE_SECONDS: f64 = 10.0;
/// Segments of longer ones, and from the begin of one to the begin of the next.
const SECONDS: f64 = 3.0;
const HOP_SECONDS: f64 = 1.5;
/// What is sampled at twice this rate or more is thinned to it or a little more, which leaves 20 kHz.
const LINES_HZ: f64 = 50_000.0;
/// Segments that are judged at once.
const BATCH: usize = 4;

/// One judged segment.
pub(super) struct Segment {
    pub(super) begin_s: f64,
    pub(super) end_s: f64,
    /// `None` if it is dark.
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

/// Thins what is sampled faster than the lines need.
pub(super) fn for_lines(rate_hz: f64) -> Thinned {
    Thinned::new((rate_hz / LINES_HZ).floor() as usize)
}

/// Judges every segment of a record.
pub(super) fn judge(
    capture: &Capture,
    survey: &Survey,
    options: &Options,
) -> Result<Judged, Refusal> {
    let factor = for_lines(capture.rate_hz()).factor();
    let rate_hz = capture.rate_hz() / factor as f64;
    let mut cutter = Cutter {
        rate_hz,
        luminance_cd_m2: options.luminance_cd_m2,
        waiting: Vec::new(),
        judged: Judged {
            rate_hz,
            band_hz: if factor > 1 {
                0.4 * rate_hz
            } else {
                capture.band_hz()
            },
            segments: Vec::new(),
            readings: Vec::new(),
            shown: None,
        },
    };
    let mut stretches = survey.stretches.iter();
    let mut open = stretches
        .next()
        .map(|stretch| Open::new(stretch, capture.rate_hz()));
    for piece in capture.pieces()? {
        match (piece?, &mut open) {
            (Piece::Light(mut values), Some(open)) => {
                values
                    .iter_mut()
                    .for_each(|value| *value -= options.dark_level());
                open.take(&values, &mut cutter);
            }
            (Piece::Gap { .. }, ended) => {
                let next = stretches
                    .next()
                    .map(|stretch| Open::new(stretch, capture.rate_hz()));
                if let Some(ended) = std::mem::replace(ended, next) {
                    ended.end(&mut cutter);
                }
            }
            (Piece::Light(_), None) => {}
        }
    }
    if let Some(ended) = open {
        ended.end(&mut cutter);
    }
    cutter.judge_waiting();
    Ok(cutter.judged)
}

/// The stretch that is being read.
struct Open {
    begin_s: f64,
    thinned: Thinned,
    rate_hz: f64,
    whole: bool,
    values: Vec<f64>,
    /// Samples before `values`, and whether all of them but the last hop are new.
    dropped: u64,
    meters: Option<Flickermeters>,
}

impl Open {
    fn new(stretch: &Stretch, rate_hz: f64) -> Self {
        let thinned = for_lines(rate_hz);
        Self {
            begin_s: stretch.begin_s + thinned.delay() as f64 / rate_hz,
            whole: stretch.samples as f64 <= WHOLE_SECONDS * rate_hz,
            rate_hz: rate_hz / thinned.factor() as f64,
            thinned,
            values: Vec::new(),
            dropped: 0,
            meters: Flickermeters::new(stretch.begin_s, rate_hz),
        }
    }

    fn samples(&self, seconds: f64) -> usize {
        (seconds * self.rate_hz).round() as usize
    }

    fn take(&mut self, values: &[f64], cutter: &mut Cutter) {
        if let Some(meters) = &mut self.meters {
            meters.feed(values);
        }
        let thinned = values.iter().filter_map(|&value| self.thinned.push(value));
        self.values.extend(thinned);
        let (segment, hop) = (self.samples(SECONDS), self.samples(HOP_SECONDS));
        while !self.whole && self.values.len() >= segment {
            cutter.cut(self.time_s(), &self.values[..segment]);
            self.values.drain(..hop);
            self.dropped += hop as u64;
        }
    }

    fn time_s(&self) -> f64 {
        self.begin_s + self.dropped as f64 / self.rate_hz
    }

    /// What is left is a shorter segment, unless all of it was in the one before.
    fn end(self, cutter: &mut Cutter) {
        let seen = if self.dropped == 0 {
            0
        } else {
            self.samples(SECONDS) - self.samples(HOP_SECONDS)
        };
        if self.values.len() > seen {
            cutter.cut(self.time_s(), &self.values);
        }
        if let Some(meters) = self.meters {
            cutter.judged.readings.extend(meters.finished());
        }
    }
}

/// Segments on their way to be judged.
struct Cutter {
    rate_hz: f64,
    luminance_cd_m2: Option<f64>,
    waiting: Vec<(f64, Vec<f64>)>,
    judged: Judged,
}

impl Cutter {
    fn cut(&mut self, begin_s: f64, values: &[f64]) {
        self.waiting.push((begin_s, values.to_vec()));
        if self.waiting.len() == BATCH {
            self.judge_waiting();
        }
    }

    fn judge_waiting(&mut self) {
        let (rate_hz, luminance) = (self.rate_hz, self.luminance_cd_m2);
        let waiting = std::mem::take(&mut self.waiting);
        let judged: Vec<_> = waiting
            .into_par_iter()
            .map(|(begin_s, values)| {
                let samples = Samples {
                    rate_hz,
                    values: &values,
                };
                let figures = Figures::of(samples, luminance);
                let end_s = begin_s + samples.seconds();
                (
                    Segment {
                        begin_s,
                        end_s,
                        figures,
                    },
                    values,
                )
            })
            .collect();
        for (mut segment, values) in judged {
            let lines = segment
                .figures
                .as_mut()
                .and_then(|figures| figures.lines.take());
            self.show_if_worst(&segment, values, lines.as_deref());
            if let (Some(figures), Some(lines)) = (&mut segment.figures, &lines) {
                // The strongest is all that is asked for later; thousands a segment would add up.
                figures.lines = Some(
                    crate::metrics::flicker::spectrum::dominant(lines)
                        .into_iter()
                        .collect(),
                );
            }
            self.judged.segments.push(segment);
        }
    }

    fn show_if_worst(
        &mut self,
        segment: &Segment,
        values: Vec<f64>,
        lines: Option<&[crate::metrics::flicker::Line]>,
    ) {
        let margin = |segment: &Segment| {
            let worst = segment
                .figures
                .as_ref()
                .and_then(|figures| figures.no_effect);
            worst.map_or(0.0, |worst| worst.margin())
        };
        let most = self.judged.segments.iter().map(margin).fold(0.0, f64::max);
        if self.judged.shown.is_none() || margin(segment) > most {
            self.judged.shown = Some(Shown {
                begin_s: segment.begin_s,
                values,
                lines: lines.unwrap_or_default().to_vec(),
            });
        }
    }
}
