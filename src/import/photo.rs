//! Photos that come in: read within limits, turned upright, written anew. What is written holds the picture and nothing
//! else: where and when it was taken, with what and by whom, was never copied.

use std::io::Cursor;

use image::{
    DynamicImage, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits, RgbImage,
    codecs::jpeg::JpegEncoder, error::ImageFormatHint, imageops::FilterType,
};

use super::Unfit;
use crate::domain::Pixels;

/// The most pixels of a photo that is read. The dimensions stand at the beginning of a file, so one that would fill the
/// memory is refused before it does.
pub const MOST_PIXELS: u64 = 50_000_000;
/// The most bytes of a picture that is read, and of what reading it takes besides.
const MOST_ALLOCATED: u64 = 256 * 1024 * 1024;
/// The longer side of a photo as it is kept, in pixels; a smaller one stays as it is.
const LONGEST_SIDE: u32 = 2048;
/// The longer side of its small one.
const SMALL_SIDE: u32 = 480;
/// How well the one and the other are kept, of 100.
const QUALITY: (u8, u8) = (85, 78);

/// A picture as it will be kept.
pub(super) struct Picture {
    pub bytes: Vec<u8>,
    pub pixels: Pixels,
}

/// The photo and its small one.
pub(super) fn rewritten(bytes: &[u8], format: ImageFormat) -> Result<[Picture; 2], Unfit> {
    let upright = read(bytes, format)?;
    let photo = at_most(upright, LONGEST_SIDE);
    let small = at_most(DynamicImage::ImageRgb8(photo.clone()), SMALL_SIDE);
    Ok([written(&photo, QUALITY.0)?, written(&small, QUALITY.1)?])
}

pub(super) fn read(bytes: &[u8], format: ImageFormat) -> Result<DynamicImage, Unfit> {
    // What reads a JPEG fills up what is missing with grey.
    if format == ImageFormat::Jpeg && !reaches_its_end(bytes) {
        return Err(Unfit::CutOff);
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_ALLOCATED);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unfit)?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(Unfit::TooManyPixels { width, height });
    }
    if decoder.total_bytes() > MOST_ALLOCATED {
        return Err(Unfit::TooMuchMemory);
    }
    // A photo that does not say how it was held is upright.
    let orientation = decoder.orientation().ok();
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unfit)?;
    if let Some(orientation) = orientation {
        picture.apply_orientation(orientation);
    }
    Ok(picture)
}

/// Whether a JPEG goes on to its mark of the end, EOI. Its segments say how long they are, so that the end of a small
/// picture within one does not count; in the data of a scan no mark stands but those of a restart, and a byte that only
/// looks like the beginning of one is followed by zero (ITU-T T.81, B.1.1; from memory).
fn reaches_its_end(bytes: &[u8]) -> bool {
    const SOS: u8 = 0xda;
    const EOI: u8 = 0xd9;
    let mut at = 2;
    loop {
        let Some(mark) = next_mark(bytes, &mut at) else {
            return false;
        };
        match mark {
            EOI => return true,
            // Marks without a length: restarts, and the one for programs of one's own.
            0xd0..=0xd8 | 0x01 => {}
            _ => {
                let Some(&[high, low]) = bytes.get(at..at + 2) else {
                    return false;
                };
                at += usize::from(u16::from_be_bytes([high, low])).max(2);
                if mark == SOS {
                    skip_data(bytes, &mut at);
                }
            }
        }
    }
}

/// Goes on behind the next mark and gives it; none where there is no further one.
fn next_mark(bytes: &[u8], at: &mut usize) -> Option<u8> {
    let rest = bytes.get(*at..)?;
    let begin = rest.iter().position(|byte| *byte == 0xff)?;
    // Any number of them may stand before the mark itself.
    let fill = rest[begin..].iter().take_while(|byte| **byte == 0xff);
    let place = begin + fill.count();
    *at += place + 1;
    rest.get(place).copied()
}

/// Goes on to the first mark in the data of a scan that is none of a restart.
fn skip_data(bytes: &[u8], at: &mut usize) {
    while let Some(&[first, second]) = bytes.get(*at..*at + 2) {
        if first == 0xff && !matches!(second, 0 | 0xd0..=0xd7 | 0xff) {
            return;
        }
        *at += 1;
    }
}

fn unfit(error: ImageError) -> Unfit {
    match error {
        ImageError::Limits(_) => Unfit::TooMuchMemory,
        ImageError::Unsupported(what) if what.format_hint() == ImageFormatHint::Unknown => {
            Unfit::Unknown
        }
        other => Unfit::Damaged(other.to_string()),
    }
}

/// The picture in red, green and blue, on white, its longer side no longer than `side`.
fn at_most(picture: DynamicImage, side: u32) -> RgbImage {
    let picture = if picture.width().max(picture.height()) > side {
        picture.resize(side, side, FilterType::Triangle)
    } else {
        picture
    };
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let picture = picture.into_rgba8();
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [red, green, blue, alpha] = picture.get_pixel(x, y).0;
        let on_white = |part: u8| {
            let (part, alpha) = (u32::from(part), u32::from(alpha));
            u8::try_from((part * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)
        };
        image::Rgb([red, green, blue].map(on_white))
    })
}

fn written(picture: &RgbImage, quality: u8) -> Result<Picture, Unfit> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, quality)
        .encode_image(picture)
        .map_err(unfit)?;
    Ok(Picture {
        bytes,
        pixels: Pixels {
            width: picture.width(),
            height: picture.height(),
        },
    })
}
