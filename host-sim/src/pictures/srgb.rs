//! From X, Y, Z to the pixels of a picture: sRGB (IEC 61966-2-1; matrix and curve from memory).

use super::Xyz;

/// Linear red, green and blue of the sRGB primaries, 0 to 1 where the screen can show them.
pub(super) fn linear([x, y, z]: Xyz) -> [f64; 3] {
    [
        3.2406 * x - 1.5372 * y - 0.4986 * z,
        -0.9689 * x + 1.8758 * y + 0.0415 * z,
        0.0557 * x - 0.2040 * y + 1.0570 * z,
    ]
}

/// Whether a pixel lies outside what the screen can show, by more than half of its finest step.
pub(super) fn is_clipped(linear: [f64; 3]) -> bool {
    linear.iter().any(|part| !(-1.5e-4..=1.002).contains(part))
}

/// The bytes of a pixel, clipped to 0 and 1.
pub(super) fn encoded(linear: [f64; 3]) -> [u8; 3] {
    linear.map(|part| {
        let part = part.clamp(0.0, 1.0);
        let curved = if part <= 0.003_130_8 {
            12.92 * part
        } else {
            1.055 * part.powf(1.0 / 2.4) - 0.055
        };
        (255.0 * curved).round() as u8
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_is_white_and_a_fifth_is_mid_grey() {
        let d65 = [0.9505, 1.0, 1.0890];
        assert_eq!(encoded(linear(d65)), [255; 3]);
        assert!(!is_clipped(linear(d65)));
        assert_eq!(encoded(linear(d65.map(|part| 0.2159 * part))), [128; 3]);
        assert_eq!(encoded(linear([0.0; 3])), [0; 3]);
    }

    #[test]
    fn colours_beyond_the_screen_are_clipped() {
        // A green of 520 nm: less than no red.
        let green = linear([0.1, 1.0, 0.1]);
        assert!(is_clipped(green));
        assert_eq!(encoded(green)[0], 0);
    }
}
