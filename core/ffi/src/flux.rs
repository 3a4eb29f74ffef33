//! Flux correction: bins and junction temperatures given back in the shares, off the control step.
#![expect(unsafe_code, reason = "pointers come from C")]

use core::ptr;

use milliglow::flux_correction::{
    Channel, Configuration as Constants, Estimator, Factor, FluxTable, Heating, Temperature,
};
use milliglow::{Light, Share};

use crate::configuration::MILLIGLOW_CHANNELS;
use crate::error::{MILLIGLOW_ERROR_CHANNELS, MILLIGLOW_ERROR_FLUX_TABLE, code, status};
use crate::memory;

/// What the sensor of a board's temperature says when it says nothing.
pub const MILLIGLOW_NO_TEMPERATURE: i32 = i32::MIN;

/// A flux at a temperature of the junction.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct FluxKnot {
    /// Thousandths of a degree Celsius, -60 000 to 350 000, at least 500 above the knot before.
    pub millicelsius: i32,
    /// Flux over the nominal one in millionths, 100 000 to 3 000 000.
    pub flux_ppm: u32,
}

/// What a correction knows of a channel; all zeros is nominal flux at any temperature.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct FluxChannel {
    /// Flux over junction temperature, the lowest temperature first, straight lines between; they are copied.
    pub knots: *const FluxKnot,
    /// 1 to 8; 0 for nominal flux at any temperature.
    pub knot_count: u32,
    /// This unit's flux over the nominal one in millionths, 100 000 to 3 000 000; 0 stands for 1 000 000.
    pub bin_ppm: u32,
    /// Electrical power at full drive, 0 to 10 000 000.
    pub milliwatts: u32,
    /// Thermal resistance from board to junction, 0 to 1 000 000: with the power at most 200 K.
    pub millikelvin_per_watt: u32,
    /// Time constant of the junction, 10 to 10 000 000 ms; ignored without power.
    pub time_constant_ms: u32,
}

/// What a flux correction is made of.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct FluxSetting {
    /// One a channel; they are copied.
    pub channels: *const FluxChannel,
    /// Channels of the luminaire, 1 to 16.
    pub channel_count: u32,
    /// From milliglow_flux_step to milliglow_flux_step in ms, 100 to 10 000.
    pub period_ms: u32,
    /// The board's temperature where the sensor says nothing sensible, in thousandths of a degree Celsius, -40 000 to 150 000.
    pub fallback_millicelsius: i32,
    /// A cap on the electrical power at full light, a hundredth of that of all channels or more; 0 for none.
    pub cap_milliwatts: u32,
}

/// A running flux correction.
pub struct Flux {
    estimator: Estimator<'static, MILLIGLOW_CHANNELS>,
    channels: u8,
}

/// What lies in the caller's memory. The handle is to `flux` alone, which refers to the other.
struct Block {
    configuration: Constants<MILLIGLOW_CHANNELS>,
    flux: Flux,
}

/// As many bytes as the header says.
const _: () = {
    let pointer = size_of::<*const FluxKnot>();
    assert!(size_of::<Block>() <= 2072 + 2 * pointer && align_of::<Block>() <= pointer);
};

impl FluxChannel {
    /// # Safety
    /// `knots` is NULL or valid for so many knots.
    unsafe fn made(&self) -> Result<Channel, i32> {
        let bin = match self.bin_ppm {
            0 => Factor::ONE,
            ppm => factor(ppm)?,
        };
        let heating = Heating {
            milliwatts: self.milliwatts,
            millikelvin_per_watt: self.millikelvin_per_watt,
            time_constant_ms: match self.milliwatts {
                0 => 10_000,
                _ => self.time_constant_ms,
            },
        };
        // SAFETY: the caller's promise.
        Channel::new(unsafe { self.table() }?, bin, heating).map_err(code)
    }

    /// # Safety
    /// As [`Self::made`].
    unsafe fn table(&self) -> Result<FluxTable, i32> {
        let count = self.knot_count as usize;
        if count == 0 {
            return Ok(FluxTable::STEADY);
        }
        let mut knots = [(Temperature::from_bits(0), Factor::ONE); FluxTable::MOST_KNOTS];
        let used = knots.get_mut(..count).ok_or(MILLIGLOW_ERROR_FLUX_TABLE)?;
        // SAFETY: the caller's promise.
        for (knot, given) in used
            .iter_mut()
            .zip(unsafe { memory::slice(self.knots, count) }?)
        {
            let at = Temperature::from_millicelsius_nearest(given.millicelsius);
            *knot = (at.map_err(code)?, factor(given.flux_ppm)?);
        }
        FluxTable::new(used).map_err(code)
    }
}

fn factor(ppm: u32) -> Result<Factor, i32> {
    Factor::from_ratio_nearest(ppm, 1_000_000).map_err(code)
}

impl FluxSetting {
    /// # Safety
    /// Pointers are NULL or valid for what the setting says.
    unsafe fn made(&self) -> Result<Constants<MILLIGLOW_CHANNELS>, i32> {
        let count = self.channel_count as usize;
        if count == 0 || count > MILLIGLOW_CHANNELS {
            return Err(MILLIGLOW_ERROR_CHANNELS);
        }
        let mut channels = [Channel::PLAIN; MILLIGLOW_CHANNELS];
        // SAFETY: the caller's promise, here and for the knots.
        let given = unsafe { memory::slice(self.channels, count) }?;
        for (channel, given) in channels.iter_mut().zip(given) {
            *channel = unsafe { given.made() }?;
        }
        let fallback =
            Temperature::from_millicelsius_nearest(self.fallback_millicelsius).map_err(code)?;
        let made = Constants::new(channels, self.period_ms, fallback).map_err(code)?;
        match self.cap_milliwatts {
            0 => Ok(made),
            cap => made.with_power_cap(cap).map_err(code),
        }
    }
}

/// Makes a flux correction in memory of at least MILLIGLOW_FLUX_BYTES, aligned to MILLIGLOW_ALIGNMENT; its handle goes to `flux`. Junctions
/// begin as after a long dark. It divides: for set-up, and takes 6.2 KB of stack. For any context.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_flux_init(
    memory: *mut u8,
    bytes: usize,
    setting: *const FluxSetting,
    flux: *mut *mut Flux,
) -> i32 {
    // SAFETY: valid by the header.
    status(unsafe { init(memory, bytes, setting, flux) })
}

unsafe fn init(
    memory: *mut u8,
    bytes: usize,
    setting: *const FluxSetting,
    flux: *mut *mut Flux,
) -> Result<(), i32> {
    // SAFETY: valid by the header, or NULL; the configuration is written before anything refers to it, and never again.
    unsafe {
        let place: *mut Block = memory::place(memory, bytes)?;
        let (setting, handle) = (memory::shared(setting)?, memory::exclusive(flux)?);
        let made = setting.made()?;
        let configuration = &raw mut (*place).configuration;
        ptr::write(configuration, made);
        let running = Flux {
            estimator: Estimator::new(memory::shared(configuration)?),
            channels: setting.channel_count as u8,
        };
        memory::put(&raw mut (*place).flux, running, handle);
    }
    Ok(())
}

/// One period on: the board's temperature in thousandths of a degree Celsius and the light of each channel since the step before, as
/// milliglow_lights writes it. MILLIGLOW_NO_TEMPERATURE, and what no board has, counts as lost: the temperature in use then drifts to
/// the fallback by a quarter of a degree a step, and back likewise. No division but that of the temperature; not for the tick interrupt.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_flux_step(
    flux: *mut Flux,
    board_millicelsius: i32,
    lights: *const u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { with_lights(flux, lights) }.map(|(flux, lights)| {
        flux.estimator
            .step(temperature(board_millicelsius), &lights);
    }))
}

/// All junctions as warm as these lights make them when they last: for a start where the light was on before. Else as milliglow_flux_step.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_flux_settle(
    flux: *mut Flux,
    board_millicelsius: i32,
    lights: *const u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL.
    status(unsafe { with_lights(flux, lights) }.map(|(flux, lights)| {
        flux.estimator
            .settle(temperature(board_millicelsius), &lights);
    }))
}

/// Writes the shares whose channels give, as warm as they are, what these shares ask of nominal ones; all alike lower where one would be
/// above full or the power above its cap, so that the colour stays. They go to milliglow_fade_to. Both may be the same memory. No division.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_flux_correct(
    flux: *const Flux,
    shares: *const u32,
    corrected: *mut u32,
) -> i32 {
    // SAFETY: valid by the header, or NULL; there is a share a channel, and the first ones are copied before the others are written.
    status(unsafe { memory::shared(flux) }.and_then(|flux| {
        let recipe = memory::recipe(unsafe { memory::slice(shares, flux.channels.into()) }?);
        let made = flux.estimator.correct(&recipe);
        let places = unsafe { memory::slice_mut(corrected, flux.channels.into()) }?;
        memory::write(places, made.shares().map(Share::to_bits));
        Ok(())
    }))
}

/// Writes the temperature of each junction in thousandths of a degree Celsius, a 64th of a degree apart, rounded towards 0.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_flux_junctions(
    flux: *const Flux,
    millicelsius: *mut i32,
) -> i32 {
    // SAFETY: valid by the header, or NULL; there is a place a channel.
    status(unsafe { memory::shared(flux) }.and_then(|flux| {
        let places = unsafe { memory::slice_mut(millicelsius, flux.channels.into()) }?;
        let junctions = flux.estimator.junctions();
        memory::write(
            places,
            junctions.map(|at| i32::from(at.to_bits()) * 125 / 8),
        );
        Ok(())
    }))
}

/// How many steps had no sensible temperature, at most 65 535; 0 for NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn milliglow_flux_lost_inputs(flux: *const Flux) -> u16 {
    // SAFETY: valid by the header, or NULL.
    unsafe { memory::shared(flux) }.map_or(0, |flux| flux.estimator.lost_inputs())
}

fn temperature(millicelsius: i32) -> Option<Temperature> {
    Temperature::from_millicelsius_nearest(millicelsius).ok()
}

/// # Safety
/// Pointers are NULL or valid, `lights` for one a channel; `flux` is the caller's own.
unsafe fn with_lights<'a>(
    flux: *mut Flux,
    lights: *const u32,
) -> Result<(&'a mut Flux, [Light; MILLIGLOW_CHANNELS]), i32> {
    // SAFETY: the caller's promise.
    let flux = unsafe { memory::exclusive(flux) }?;
    let given = unsafe { memory::slice(lights, flux.channels.into()) }?;
    let mut all = [Light::BLACK; MILLIGLOW_CHANNELS];
    for (light, &bits) in all.iter_mut().zip(given) {
        *light = Light::from_bits(bits);
    }
    Ok((flux, all))
}
