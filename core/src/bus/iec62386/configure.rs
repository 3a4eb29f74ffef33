//! Commands that change settings.

use super::instruction::Configure;
use super::settings::Scene;
use super::{ExtendedFadeTime, FadeRate, FadeTime, Gear, Settings};
use crate::Level;
use crate::bus::Movement;
use crate::curve::ControlLevel;

impl Gear {
    /// Takes its value from data register 0; moves the light only where new limits demand it.
    pub(super) fn configure(&mut self, command: Configure) -> Option<Movement> {
        let [value, ..] = self.registers;
        match command {
            Configure::Reset => return self.reset(),
            Configure::StoreActual => self.registers = self.registers_with_actual(),
            Configure::Maximum => self.settings.limits.set_maximum(value),
            Configure::Minimum => self.settings.limits.set_minimum(value),
            Configure::SystemFailure => self.settings.system_failure = value,
            Configure::PowerOn => self.settings.power_on = value,
            Configure::FadeTime => {
                self.settings.fade_time = FadeTime::from_code_saturating(value);
            }
            Configure::FadeRate => {
                self.settings.fade_rate = FadeRate::from_code_saturating(value);
            }
            Configure::ExtendedFadeTime => {
                self.settings.extended = ExtendedFadeTime::from_byte(value);
            }
            Configure::Scene(index) => self.store_scene(index, value),
            Configure::RemoveScene(index) => self.settings.set_scene(index, Scene::NONE),
            Configure::AddGroup(group) => self.settings.groups |= 1 << (group & 15),
            Configure::RemoveGroup(group) => self.settings.groups &= !(1 << (group & 15)),
            Configure::ShortAddress => self.settings.set_short_address(value),
        }
        self.within_limits()
    }

    /// All but the short address; the light goes to its maximum at once.
    fn reset(&mut self) -> Option<Movement> {
        let Settings {
            limits,
            short_address,
            ..
        } = self.settings;
        self.settings = Settings::new(limits.physical_minimum, short_address);
        self.fade_to(254, 0)
    }

    fn registers_with_actual(&self) -> [u8; 3] {
        let [_, middle, high] = self.registers;
        [self.actual(), middle, high]
    }

    fn store_scene(&mut self, index: u8, level: u8) {
        let colour = self.temporary.take();
        self.settings.set_scene(index, Scene { level, colour });
    }

    /// Where new limits leave the light outside, it moves to the nearer one at once; off, if it was on its way there.
    /// A fade that was to end outside ends at the limit, in a fade time from now.
    fn within_limits(&mut self) -> Option<Movement> {
        let ends = [self.settings.limits.minimum, self.settings.limits.maximum];
        let [lowest, highest] = ends.map(|number| self.place(number));
        let is_outside = |level| level != Level::OFF && (level < lowest || level > highest);
        if is_outside(self.level()) {
            self.fade_to(self.unless_off(self.actual()), 0)
        } else if is_outside(self.goal) {
            let goal = self.configuration.curve.nearest(self.goal);
            let number = goal.map_or(0, ControlLevel::number);
            self.fade_to(self.unless_off(number), self.settings.tenths())
        } else {
            None
        }
    }

    const fn unless_off(&self, number: u8) -> u8 {
        if self.off_at_arrival { 0 } else { number }
    }
}
