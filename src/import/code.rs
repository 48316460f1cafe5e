//! Codes in a picture: QR (ISO/IEC 18004) and Data Matrix (ISO/IEC 16022), read by the library `rxing`.

use image::{DynamicImage, GrayImage, Luma, imageops::FilterType};
use rxing::{
    BinaryBitmap, DecodeHints, Luma8LuminanceSource, Point, RXingResult, Reader,
    common::HybridBinarizer, datamatrix::DataMatrixReader, qrcode::QRCodeReader,
};

use super::{Unfit, attachment::format_of, photo};

/// The longer side of the picture that is looked at first, in pixels: a label fills much of what a camera sees.
const FIRST_SIDE: u32 = 1000;
/// The longer side of the one that is looked at where nothing was found.
const SECOND_SIDE: u32 = 2400;

/// As many codes are told apart in one picture; where there are as many, there may be more.
pub const MOST_CODES: usize = 9;

/// What the codes in a picture say, each once, their separators as GS (U+001D); at most [`MOST_CODES`], empty where none
/// is found.
///
/// # Errors
/// Why the picture is not read.
pub fn codes_in(bytes: &[u8]) -> Result<Vec<String>, Unfit> {
    let picture = photo::read(bytes, format_of(bytes)?)?;
    let sides = [FIRST_SIDE, SECOND_SIDE];
    let is_larger = picture.width().max(picture.height()) > FIRST_SIDE;
    let looks = if is_larger { &sides[..] } else { &sides[..1] };
    let mut found = looks.iter().map(|side| read(&picture, *side));
    Ok(found.find(|codes| !codes.is_empty()).unwrap_or_default())
}

/// The codes of a picture at this size. What was read is painted over, and the rest is looked at again.
fn read(picture: &DynamicImage, side: u32) -> Vec<String> {
    let is_larger = picture.width().max(picture.height()) > side;
    let mut grey = if is_larger {
        picture.resize(side, side, FilterType::Triangle).to_luma8()
    } else {
        picture.to_luma8()
    };
    let mut codes = Vec::new();
    while codes.len() < MOST_CODES {
        let Some(found) = first(&grey) else { break };
        let text = found.getText().to_owned();
        let is_left = paint_over(&mut grey, found.getPoints());
        if !codes.contains(&text) {
            codes.push(text);
        } else if !is_left {
            break;
        }
    }
    codes
}

fn first(grey: &GrayImage) -> Option<RXingResult> {
    let (width, height) = grey.dimensions();
    let source = Luma8LuminanceSource::new(grey.as_raw().clone(), width, height).ok()?;
    let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
    let hints = DecodeHints {
        TryHarder: Some(true),
        ..DecodeHints::default()
    };
    let found = QRCodeReader::new().decode_with_hints(&mut bitmap, &hints);
    let found = found.or_else(|_| DataMatrixReader.decode_with_hints(&mut bitmap, &hints));
    found.ok()
}

/// Paints over what lies between the points of a code and around them; whether there was anything dark to paint over.
fn paint_over(grey: &mut GrayImage, points: &[Point]) -> bool {
    let ends = |of: fn(&Point) -> f32| {
        let least = points.iter().map(of).fold(f32::MAX, f32::min);
        let most = points.iter().map(of).fold(f32::MIN, f32::max);
        // The points of a QR code lie in the middle of its corners.
        let around = (most - least).mul_add(0.3, 4.0);
        f64::from(least - around)..f64::from(most + around)
    };
    let (across, down) = (ends(|point| point.x), ends(|point| point.y));
    let mut is_dark = false;
    for (x, y, pixel) in grey.enumerate_pixels_mut() {
        if across.contains(&f64::from(x)) && down.contains(&f64::from(y)) {
            is_dark |= pixel.0[0] < 128;
            *pixel = Luma([u8::MAX]);
        }
    }
    is_dark
}
