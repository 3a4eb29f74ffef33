//! What was heard on a bus, for verdicts and the report.

use data_encoding::HEXUPPER;

/// What was heard on a bus.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BusSeen {
    /// Every frame that came.
    pub frames: Vec<FrameSeen>,
    /// Seconds between packets, as the core measured it at the end; none for a gear.
    pub interval_s: Option<f64>,
    /// What the core counted: the counter's name and its value.
    pub counts: Vec<(&'static str, u32)>,
    /// FNV-1a over the words of every channel in each control step, channel after channel: the streams, to compare with a
    /// firmware's.
    pub stream_hash: u32,
}

/// A frame that came.
#[derive(Clone, Debug, PartialEq)]
pub struct FrameSeen {
    /// When, in seconds.
    pub at_s: f64,
    /// Its first bytes in hexadecimal, or `down`.
    pub text: String,
    /// What came of it.
    pub heard: Heard,
    /// The Level that it asks for, 0 to 65 535, if it asks for one.
    pub level: Option<u16>,
    /// Control step, from 0, in which the light sets out for it; none where it asks for nothing new.
    pub carried_out: Option<u32>,
    /// Seconds from the frame to the first light that it brings: that control step, or from the dark the first lit tick.
    pub dead_time_s: Option<f64>,
}

/// What came of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heard {
    /// It moved the light.
    Moved,
    /// It was taken and moved nothing.
    Taken,
    /// It was for others, or unknown, or refused.
    Passed,
    /// The bus lost its power, or its data stayed away.
    Lost,
}

impl BusSeen {
    /// The longest dead time of all frames.
    #[must_use]
    pub fn longest_dead_time(&self) -> Option<&FrameSeen> {
        let timed = self
            .frames
            .iter()
            .filter(|frame| frame.dead_time_s.is_some());
        timed.max_by(|one, other| {
            let time = |frame: &FrameSeen| frame.dead_time_s.unwrap_or_default();
            time(one).total_cmp(&time(other))
        })
    }
}

/// The first bytes of a frame.
pub(super) fn shown(bytes: &[u8]) -> String {
    const MOST: usize = 8;
    if bytes.is_empty() {
        return "down".to_owned();
    }
    let mut text = HEXUPPER.encode(&bytes[..bytes.len().min(MOST)]);
    if bytes.len() > MOST {
        text.push('…');
    }
    text
}
