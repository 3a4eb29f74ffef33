//! A channel with its share and its density, side by side: a control step passes over them once.

use super::operate::Operate;
use crate::Light;
use crate::density::Density;
use crate::fade::Line;
use crate::fraction::Factor;

#[derive(Clone, Debug)]
#[repr(C)]
pub(super) struct Lamp<C> {
    pub(super) density: Density,
    pub(super) share: Line,
    pub(super) channel: C,
}

impl<C> Lamp<C> {
    /// Dark, without a share.
    pub(super) const fn new(channel: C) -> Self {
        Self {
            share: Line::at(0),
            density: Density::NONE,
            channel,
        }
    }

    /// The channel's light, after one control step of its share if that moves.
    #[inline(always)]
    fn light(&mut self, moved: Option<u32>, light: Factor) -> Light {
        let share = match moved {
            Some(bias) => self.share.step(bias),
            None => self.share.value(),
        };
        Light::from_bits(light.of(share))
    }
}

/// One control step, each channel in the row of its own light; shares move with this bias.
#[inline(always)]
pub(super) fn in_own_rows<'t, C: Operate<'t>>(
    lamps: &mut [Lamp<C>],
    moved: Option<u32>,
    light: Factor,
) {
    for lamp in lamps {
        let light = lamp.light(moved, light);
        lamp.density = lamp.channel.enter_own(light);
    }
}

/// The same, all channels in the highest row that any needs.
#[inline(never)]
pub(super) fn in_common_row<'t, C: Operate<'t>>(
    lamps: &mut [Lamp<C>],
    moved: Option<u32>,
    light: Factor,
) {
    let mut highest = 0;
    for lamp in &mut *lamps {
        let light = lamp.light(moved, light);
        highest = lamp.channel.row_for(light).max(highest);
        // In the place of its density, until the row is known.
        lamp.density = Density::from_light(light);
    }
    for lamp in lamps {
        let light = Light::from_bits(lamp.density.to_bits());
        lamp.density = lamp.channel.enter(highest, light);
    }
}
