//! From pointers of the caller's to references.
#![expect(unsafe_code, reason = "pointers come from C")]

use core::ptr;

use milliglow::{Recipe, Share};

use crate::configuration::MILLIGLOW_CHANNELS;
use crate::error::{MILLIGLOW_ERROR_ALIGNMENT, MILLIGLOW_ERROR_NULL, MILLIGLOW_ERROR_SIZE};

/// A place for a value in memory of the caller's, if it is large and aligned enough.
///
/// # Safety
/// `memory` is NULL or valid for writes of `bytes` bytes.
pub(crate) unsafe fn place<T>(memory: *mut u8, bytes: usize) -> Result<*mut T, i32> {
    let place = memory.cast::<T>();
    if memory.is_null() {
        Err(MILLIGLOW_ERROR_NULL)
    } else if bytes < size_of::<T>() {
        Err(MILLIGLOW_ERROR_SIZE)
    } else if !place.is_aligned() {
        Err(MILLIGLOW_ERROR_ALIGNMENT)
    } else {
        Ok(place)
    }
}

/// Puts a value there and its handle where the caller wants it.
///
/// # Safety
/// `place` came from [`place`]; `handle` is valid for a write.
pub(crate) unsafe fn put<T>(place: *mut T, value: T, handle: *mut *mut T) {
    // SAFETY: the caller's promise; what was in the memory before has no destructor.
    unsafe {
        ptr::write(place, value);
        ptr::write(handle, place);
    }
}

/// # Safety
/// `pointer` is NULL or valid for reads, and stays so, unwritten by others, for `'a`.
pub(crate) unsafe fn shared<'a, T>(pointer: *const T) -> Result<&'a T, i32> {
    // SAFETY: the caller's promise.
    unsafe { pointer.as_ref() }.ok_or(MILLIGLOW_ERROR_NULL)
}

/// # Safety
/// `pointer` is NULL or valid for reads and writes, and nobody else's for `'a`.
pub(crate) unsafe fn exclusive<'a, T>(pointer: *mut T) -> Result<&'a mut T, i32> {
    // SAFETY: the caller's promise.
    unsafe { pointer.as_mut() }.ok_or(MILLIGLOW_ERROR_NULL)
}

/// # Safety
/// As [`shared`], for `length` values.
pub(crate) unsafe fn slice<'a, T>(pointer: *const T, length: usize) -> Result<&'a [T], i32> {
    if pointer.is_null() {
        return Err(MILLIGLOW_ERROR_NULL);
    }
    // SAFETY: the caller's promise.
    Ok(unsafe { core::slice::from_raw_parts(pointer, length) })
}

/// # Safety
/// As [`exclusive`], for `length` values.
pub(crate) unsafe fn slice_mut<'a, T>(pointer: *mut T, length: usize) -> Result<&'a mut [T], i32> {
    if pointer.is_null() {
        return Err(MILLIGLOW_ERROR_NULL);
    }
    // SAFETY: the caller's promise.
    Ok(unsafe { core::slice::from_raw_parts_mut(pointer, length) })
}

/// Of one share a channel, in units of 2^-32; further channels stay dark.
pub(crate) fn recipe(given: &[u32]) -> Recipe<MILLIGLOW_CHANNELS> {
    let mut shares = [Share::NONE; MILLIGLOW_CHANNELS];
    for (share, &bits) in shares.iter_mut().zip(given) {
        *share = Share::from_bits(bits);
    }
    Recipe::new(shares)
}

/// The first of these values, as many as there are places.
pub(crate) fn write<T>(places: &mut [T], values: impl IntoIterator<Item = T>) {
    for (place, value) in places.iter_mut().zip(values) {
        *place = value;
    }
}
