//! What a reader gives: samples at one rate, and gaps between them.

use super::Refusal;

/// Samples that are gathered before they are handed on.
pub(super) const BLOCK: usize = 8192;

/// The next piece of a waveform.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Samples that follow the ones before without a break; finite, in the unit of the file.
    Light(Vec<f64>),
    /// Nothing is known for so many seconds.
    Gap {
        /// Time from where the next sample was due to where it is.
        seconds: f64,
    },
}

/// A waveform, piece by piece.
pub type Pieces = Box<dyn Iterator<Item = Result<Piece, Refusal>>>;

/// Turns a source of samples into blocks: `fill` pushes samples and says whether there is more.
pub(super) fn blocks(
    mut fill: impl FnMut(&mut Vec<f64>) -> Result<bool, Refusal> + 'static,
) -> Pieces {
    let mut more = true;
    Box::new(std::iter::from_fn(move || {
        let mut block = Vec::with_capacity(BLOCK);
        while more && block.len() < BLOCK {
            match fill(&mut block) {
                Ok(left) => more = left,
                Err(refusal) => {
                    more = false;
                    return Some(Err(refusal));
                }
            }
        }
        (!block.is_empty()).then_some(Ok(Piece::Light(block)))
    }))
}
