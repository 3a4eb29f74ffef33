//! How the shares of channels move through one fade of the script.

use milliglow::{Level, Share};

use crate::description::{Description, Fade, Recipe};
use crate::run::{core_shares, core_shares_at, level};

/// The share of one channel.
pub(super) struct ShareMove {
    /// Where it begins, or the last leg of a way through recipes does, in units of 2^-32.
    begin: u32,
    /// Where it should arrive.
    pub(super) target: u32,
    /// 1 up, -1 down, 0 where it stands; none where it turns round on the way.
    pub(super) way: Option<f64>,
    /// Whether it follows the Level instead of a line of its own.
    follows: bool,
}

impl ShareMove {
    /// What arrives by itself: a share that follows the Level only has to be right at the end.
    pub(super) fn begin_and_target(&self) -> (u32, u32) {
        let begin = if self.follows {
            self.target
        } else {
            self.begin
        };
        (begin, self.target)
    }
}

/// Where a luminaire is before a fade.
pub(super) struct Place<'a> {
    pub(super) level: Level,
    pub(super) shares: &'a [Share],
    /// The recipe that it arrived at.
    pub(super) recipe: Option<usize>,
}

/// Of every channel. In the dark the colour is there at once, and a recipe that stands is followed on the way.
pub(super) fn share_moves(description: &Description, fade: &Fade, from: &Place) -> Vec<ShareMove> {
    if !fade.through.is_empty() {
        return moves_through(description, fade, from);
    }
    let recipe = &description.recipes[fade.recipe];
    let arrival = level(description, fade.level);
    let goals = core_shares_at(recipe, arrival);
    let is_there = from.level == Level::OFF || from.recipe == Some(fade.recipe);
    let follows = is_there && recipe.follows_level();
    let begins = if from.level == Level::OFF || follows {
        core_shares_at(recipe, from.level)
    } else {
        from.shares.to_vec()
    };
    let channels = begins.iter().zip(&goals).enumerate();
    channels
        .map(|(channel, (begin, target))| ShareMove {
            begin: begin.to_bits(),
            target: target.to_bits(),
            way: if follows {
                way_along(recipe, channel, [from.level, arrival])
            } else {
                Some(sign(
                    f64::from(begin.to_bits()),
                    f64::from(target.to_bits()),
                ))
            },
            follows,
        })
        .collect()
}

/// Through recipes: a share arrives on the way from the last but one.
fn moves_through(description: &Description, fade: &Fade, from: &Place) -> Vec<ShareMove> {
    let through = fade.through.iter();
    let mut passed: Vec<Vec<Share>> = through.map(|shares| core_shares(shares)).collect();
    if from.level != Level::OFF {
        passed.insert(0, from.shares.to_vec());
    }
    let last_leg = passed.len() - 1;
    passed.push(core_shares(&description.recipes[fade.recipe].shares));
    let channels = 0..from.shares.len();
    channels
        .map(|channel| {
            let bits: Vec<u32> = passed
                .iter()
                .map(|shares| shares[channel].to_bits())
                .collect();
            ShareMove {
                begin: bits[last_leg],
                target: bits[last_leg + 1],
                way: one_way(&bits.iter().copied().map(f64::from).collect::<Vec<_>>()),
                follows: false,
            }
        })
        .collect()
}

/// Along the knots between two Levels.
fn way_along(recipe: &Recipe, channel: usize, [from, to]: [Level; 2]) -> Option<f64> {
    let (low, high) = (from.min(to).to_bits(), from.max(to).to_bits());
    let share = |position: u16| recipe.shares_at(f64::from(position))[channel];
    let between = recipe.knots.iter().map(|knot| knot.level);
    let between = between.filter(|level| (low..high).contains(level));
    let places: Vec<f64> = [low]
        .into_iter()
        .chain(between)
        .chain([high])
        .map(share)
        .collect();
    one_way(&places).map(|upwards| if to < from { -upwards } else { upwards })
}

/// 1 up, -1 down, 0 where places are all the same; none where they turn round.
fn one_way(places: &[f64]) -> Option<f64> {
    let signs = || places.windows(2).map(|pair| sign(pair[0], pair[1]));
    let way = signs().fold(0.0, |way, sign| if way == 0.0 { sign } else { way });
    let turns = signs().any(|sign| sign * way < 0.0);
    (!turns).then_some(way)
}

/// 1 up, -1 down, 0 for the same.
pub(super) fn sign(from: f64, to: f64) -> f64 {
    if from == to {
        0.0
    } else {
        (to - from).signum()
    }
}
