//! What all images have: two letters, version, kind, length, content, checksum.

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

/// Of the form of images; others are refused.
pub const VERSION: u8 = 1;

const LETTERS: [u8; 2] = *b"mg";
const HEADER: usize = 6;
pub(crate) const FRAME: usize = HEADER + 4;

/// Why an image was refused or not written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ImageError {
    /// Fewer bytes than an image has, or than its length says.
    TooShort,
    /// Not an image, or one of something else.
    Foreign,
    /// Of another version: this one.
    Version(u8),
    /// Damaged.
    Checksum,
    /// Whole, but for a luminaire of other channels, or with more than there is room for or what no table could hold.
    Content,
    /// The buffer is too short to write it.
    NoRoom,
}

/// What an image holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Book = 1,
    Settings = 2,
    Scene = 3,
}

/// CRC-32 of ISO-HDLC: a division by a polynomial of degree 32, so no damage within 32 bits in a row goes unseen.
fn checksum(bytes: &[u8]) -> u32 {
    Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC).checksum(bytes)
}

/// The content of an image at the start of `bytes`; what follows it, an erased page perhaps, does not matter.
pub(crate) fn open(kind: Kind, bytes: &[u8]) -> Result<Reader<'_>, ImageError> {
    let mut header = Reader(bytes);
    let letters = [header.u8()?, header.u8()?];
    let (version, found) = (header.u8()?, header.u8()?);
    let length = usize::from(header.u16()?);
    if letters != LETTERS {
        return Err(ImageError::Foreign);
    }
    if version != VERSION {
        return Err(ImageError::Version(version));
    }
    let (content, mut rest) = header.split(length)?;
    let summed = bytes.get(..HEADER + length).ok_or(ImageError::TooShort)?;
    if rest.u32()? != checksum(summed) {
        return Err(ImageError::Checksum);
    }
    if found != kind as u8 {
        return Err(ImageError::Foreign);
    }
    Ok(content)
}

/// Writes an image, its content by `write`, to the start of `bytes`; how long it is.
pub(crate) fn seal(
    kind: Kind,
    bytes: &mut [u8],
    write: impl FnOnce(&mut Writer<'_>) -> Result<(), ImageError>,
) -> Result<usize, ImageError> {
    let body = bytes.get_mut(HEADER..).ok_or(ImageError::NoRoom)?;
    let mut content = Writer { bytes: body, at: 0 };
    write(&mut content)?;
    let length = content.at;
    let short = u16::try_from(length).map_err(|_| ImageError::NoRoom)?;
    let mut header = Writer { bytes, at: 0 };
    let [first, second] = LETTERS;
    for byte in [first, second, VERSION, kind as u8] {
        header.u8(byte)?;
    }
    header.u16(short)?;
    let summed = header.bytes.get(..HEADER + length);
    let sum = checksum(summed.ok_or(ImageError::NoRoom)?);
    header.at = HEADER + length;
    header.u32(sum)?;
    Ok(header.at)
}

/// Little-endian.
pub(crate) struct Reader<'a>(&'a [u8]);

impl<'a> Reader<'a> {
    fn split(&self, length: usize) -> Result<(Reader<'a>, Reader<'a>), ImageError> {
        let (first, rest) = self
            .0
            .split_at_checked(length)
            .ok_or(ImageError::TooShort)?;
        Ok((Reader(first), Reader(rest)))
    }

    fn take<const K: usize>(&mut self) -> Result<[u8; K], ImageError> {
        let (first, rest) = self.0.split_first_chunk().ok_or(ImageError::TooShort)?;
        self.0 = rest;
        Ok(*first)
    }

    pub(crate) fn u8(&mut self) -> Result<u8, ImageError> {
        self.take().map(|[byte]| byte)
    }

    pub(crate) fn u16(&mut self) -> Result<u16, ImageError> {
        self.take().map(u16::from_le_bytes)
    }

    pub(crate) fn u32(&mut self) -> Result<u32, ImageError> {
        self.take().map(u32::from_le_bytes)
    }

    /// Everything was read.
    pub(crate) const fn end(&self) -> Result<(), ImageError> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(ImageError::Content)
        }
    }
}

/// Little-endian.
pub(crate) struct Writer<'a> {
    bytes: &'a mut [u8],
    at: usize,
}

impl Writer<'_> {
    fn put(&mut self, bytes: &[u8]) -> Result<(), ImageError> {
        let room = self
            .bytes
            .get_mut(self.at..)
            .and_then(|room| room.get_mut(..bytes.len()));
        room.ok_or(ImageError::NoRoom)?.copy_from_slice(bytes);
        self.at += bytes.len();
        Ok(())
    }

    pub(crate) fn u8(&mut self, value: u8) -> Result<(), ImageError> {
        self.put(&[value])
    }

    pub(crate) fn u16(&mut self, value: u16) -> Result<(), ImageError> {
        self.put(&value.to_le_bytes())
    }

    pub(crate) fn u32(&mut self, value: u32) -> Result<(), ImageError> {
        self.put(&value.to_le_bytes())
    }
}
