//! Photos and documents that come in: told by their bytes, not by their names, and refused with what is wrong.

use bytes::Bytes;
use image::ImageFormat;

use super::photo::{MOST_PIXELS, Picture, rewritten};
use crate::domain::{
    AttachmentKind, FileHash, KeptFile, LARGEST_UPLOAD, MediaType, Received, size_words,
};

/// A file that came in and holds, with the bytes to keep.
#[derive(Clone, Debug)]
pub struct Incoming {
    /// What will be recorded.
    pub received: Received,
    /// The files to keep, each under its hash.
    pub files: Vec<(FileHash, Bytes)>,
}

/// Why a file is not taken; a sentence without its name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unfit {
    /// Nothing is in it.
    #[error("The file is empty.")]
    Empty,
    /// It has too many bytes.
    #[error(
        "A file may have at most {}; this one has {}.",
        size_words(LARGEST_UPLOAD), size_words(*bytes)
    )]
    TooLarge {
        /// How many it has.
        bytes: usize,
    },
    /// A picture as many phones save it, which no browser shows.
    #[error(
        "A HEIC photo is not read here. Send it as JPEG: phones offer that in the settings of the camera, or when a \
         photo is shared."
    )]
    Heic,
    /// It is something else.
    #[error("This is no photo as JPEG, PNG or WebP, and no document as PDF.")]
    Unknown,
    /// It has too many pixels.
    #[error(
        "A photo may have at most {} million pixels; this one has {width} x {height}, which is {} million. Make it \
         smaller first.",
        MOST_PIXELS / 1_000_000, u64::from(*width) * u64::from(*height) / 1_000_000
    )]
    TooManyPixels {
        /// From left to right.
        width: u32,
        /// From top to bottom.
        height: u32,
    },
    /// Reading it would take too much memory.
    #[error("The photo is packed so that reading it would fill the memory. Save it anew as JPEG.")]
    TooMuchMemory,
    /// It cannot be read to its end.
    #[error("The photo is damaged or did not arrive whole: {0}.")]
    Damaged(String),
    /// A photo whose data ends before the picture does.
    #[error(
        "The photo is cut off: its data ends before the picture does, so a part of it would be missing. Send it again."
    )]
    CutOff,
    /// A document that begins as PDF and does not end as one.
    #[error("The document begins as PDF, but its end (%%EOF) is missing: it did not arrive whole.")]
    CutShort,
}

/// How far from the end of a PDF its mark of the end may stand, in bytes: programs write blanks or a form feed behind it.
const TAIL: usize = 1024;

/// Reads a file that came in.
///
/// # Errors
/// Why it is not taken.
pub fn incoming(bytes: Bytes) -> Result<Incoming, Unfit> {
    if bytes.is_empty() {
        return Err(Unfit::Empty);
    }
    if bytes.len() > LARGEST_UPLOAD {
        return Err(Unfit::TooLarge { bytes: bytes.len() });
    }
    if bytes.starts_with(b"%PDF-") {
        return document(bytes);
    }
    let [photo, small] = rewritten(&bytes, format_of(&bytes)?)?;
    let (photo, photo_bytes) = kept(photo);
    let (small, small_bytes) = kept(small);
    let files = vec![
        (photo.sha256.clone(), photo_bytes),
        (small.sha256.clone(), small_bytes),
    ];
    let received = Received {
        kind: AttachmentKind::Photo,
        file: photo,
        thumbnail: Some(small),
    };
    Ok(Incoming { received, files })
}

/// What a photo is written as, told by its bytes.
pub(super) fn format_of(bytes: &[u8]) -> Result<ImageFormat, Unfit> {
    if is_heic(bytes) {
        return Err(Unfit::Heic);
    }
    let format = image::guess_format(bytes).ok();
    let read = [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP];
    let format = format.filter(|format| read.contains(format));
    format.ok_or(Unfit::Unknown)
}

fn kept(picture: Picture) -> (KeptFile, Bytes) {
    let file = KeptFile {
        sha256: FileHash::of(&picture.bytes),
        media_type: MediaType::Jpeg,
        bytes: picture.bytes.len(),
        pixels: Some(picture.pixels),
    };
    (file, picture.bytes.into())
}

/// A document is kept as it came: its bytes may be signed.
fn document(bytes: Bytes) -> Result<Incoming, Unfit> {
    let tail = &bytes[bytes.len().saturating_sub(TAIL)..];
    if !tail.windows(5).any(|five| five == b"%%EOF") {
        return Err(Unfit::CutShort);
    }
    let file = KeptFile {
        sha256: FileHash::of(&bytes),
        media_type: MediaType::Pdf,
        bytes: bytes.len(),
        pixels: None,
    };
    let files = vec![(file.sha256.clone(), bytes)];
    let received = Received {
        kind: AttachmentKind::Document,
        file,
        thumbnail: None,
    };
    Ok(Incoming { received, files })
}

/// Whether it is a still picture in the container of ISO/IEC 23008-12 (from memory): a box `ftyp` with one of its brands.
fn is_heic(bytes: &[u8]) -> bool {
    let brands: [&[u8]; 7] = [
        b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1",
    ];
    bytes.get(4..8) == Some(b"ftyp")
        && bytes
            .get(8..12)
            .is_some_and(|brand| brands.contains(&brand))
}
