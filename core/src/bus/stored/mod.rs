//! Scenes and scripts, and images of them that firmware can keep in flash.
//!
//! An image carries a version and a checksum. One that is damaged, of another version or for another luminaire is refused with the
//! reason, and the defaults hold. Nothing here writes to flash: bytes in, bytes out.

mod book;
mod book_image;
pub(crate) mod image;
mod playback;

pub use book::{Book, BookError, Scene, Step};
pub use image::{ImageError, VERSION};
pub use playback::Playback;
