//! Estimates how warm the junctions are, and corrects recipes for it.

use super::shares;
use super::{Configuration, Temperature};
use crate::{Light, Recipe, fraction};

/// How warm the junctions are.
///
/// *Error*: flux of the corrected recipe against the nominal one, channel over channel, within 4e-4 where table, board and
/// heating are right: the temperature's rounding of 1/32 K on a flux that falls by 0.01 a degree. At a given temperature within 2^-16
/// of a knot's difference, plus 2e-8.
/// *Cost*: [`Self::step`] two products a channel, [`Self::correct`] about thirty, none of it on the control step; no division.
/// *State*: 4 bytes a channel and 8, and a reference. *Interrupts*: one context at a time.
#[derive(Clone, Debug)]
pub struct Estimator<'c, const N: usize> {
    configuration: &'c Configuration<N>,
    /// The steady light that would warm each junction as far.
    warmth: [u32; N],
    board: Temperature,
    lost: u16,
    /// A temperature was lost, and the board's has not met a measured one since.
    is_drifting: bool,
}

/// How far a board's temperature drifts in a step where none is measured, and back: a quarter of a degree, some 0.1 % of a red LED's flux.
const DRIFT: i16 = 16;

impl<'c, const N: usize> Estimator<'c, N> {
    /// After a long dark, the board as warm as the fallback says.
    pub const fn new(configuration: &'c Configuration<N>) -> Self {
        Self {
            configuration,
            warmth: [0; N],
            board: configuration.fallback,
            lost: 0,
            is_drifting: false,
        }
    }

    /// One period on: the board's temperature, none if the sensor gave none, and the light of each channel since the step before.
    ///
    /// A temperature that is lost or absurd (below -40 or above 150 degrees Celsius) counts, and the board's drifts to the fallback by a
    /// quarter of a degree a step, as it does back to what is measured then: a loose sensor makes no flicker.
    pub fn step(&mut self, board: Option<Temperature>, lights: &[Light; N]) {
        self.see_board(board);
        let ways = self.warmth.iter_mut().zip(lights);
        for ((warmth, light), &rate) in ways.zip(&self.configuration.rates) {
            let light = light.to_bits();
            *warmth = if light >= *warmth {
                warmth.wrapping_add(fraction::product(light - *warmth, rate))
            } else {
                warmth.wrapping_sub(fraction::product(*warmth - light, rate))
            };
        }
    }

    /// All junctions as warm as these lights make them when they last: for a start where the light was on before.
    pub fn settle(&mut self, board: Option<Temperature>, lights: &[Light; N]) {
        self.see_board(board);
        self.warmth = lights.map(Light::to_bits);
    }

    /// The recipe whose channels give, as warm as they are, what the recipe asks of nominal ones; all alike lower where a share
    /// would be above full or the power at full light above its cap, so that the colour stays.
    #[must_use]
    pub fn correct(&self, recipe: &Recipe<N>) -> Recipe<N> {
        let mut fluxes = [0; N];
        let junctions = self.junctions();
        let channels = self.configuration.channels.iter().zip(junctions);
        for (flux, (channel, junction)) in fluxes.iter_mut().zip(channels) {
            *flux = channel.flux(junction);
        }
        shares::corrected(self.configuration, recipe, fluxes)
    }

    /// The temperature of each junction.
    #[must_use]
    pub fn junctions(&self) -> [Temperature; N] {
        let mut junctions = [self.board; N];
        let channels = self.configuration.channels.iter().zip(&self.warmth);
        for (junction, (channel, &warmth)) in junctions.iter_mut().zip(channels) {
            *junction = channel.junction(self.board, Light::from_bits(warmth));
        }
        junctions
    }

    /// The board's temperature that is in use.
    #[must_use]
    pub const fn board(&self) -> Temperature {
        self.board
    }

    /// How many steps had no sensible temperature; stays at 65 535.
    #[must_use]
    pub const fn lost_inputs(&self) -> u16 {
        self.lost
    }

    fn see_board(&mut self, board: Option<Temperature>) {
        let measured = board.filter(|board| board.is_of_board());
        if measured.is_none() {
            self.lost = self.lost.saturating_add(1);
            self.is_drifting = true;
        }
        let aim = measured.unwrap_or(self.configuration.fallback);
        self.board = if self.is_drifting {
            self.board.towards(aim, DRIFT)
        } else {
            aim
        };
        self.is_drifting &= measured != Some(self.board);
    }
}
