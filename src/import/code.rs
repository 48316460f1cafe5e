//! Codes in a picture: QR (ISO/IEC 18004) and Data Matrix (ISO/IEC 16022), read by the library `rxing`.

use image::{DynamicImage, imageops::FilterType};
use rxing::{
    BinaryBitmap, DecodeHints, Luma8LuminanceSource, Reader, common::HybridBinarizer,
    datamatrix::DataMatrixReader, qrcode::QRCodeReader,
};

use super::{Unfit, attachment::format_of, photo};

/// The longer side of the picture that is looked at first, in pixels: a label fills much of what a camera sees.
const FIRST_SIDE: u32 = 1000;
/// The longer side of the one that is looked at where nothing was found.
const SECOND_SIDE: u32 = 2400;

/// What the code in a picture says, its separators as GS (U+001D); none where no code is found.
///
/// # Errors
/// Why the picture is not read.
pub fn code_in(bytes: &[u8]) -> Result<Option<String>, Unfit> {
    let picture = photo::read(bytes, format_of(bytes)?)?;
    let sides = [FIRST_SIDE, SECOND_SIDE];
    let is_larger = picture.width().max(picture.height()) > FIRST_SIDE;
    let looks = if is_larger { &sides[..] } else { &sides[..1] };
    Ok(looks.iter().find_map(|side| read(&picture, *side)))
}

fn read(picture: &DynamicImage, side: u32) -> Option<String> {
    let is_larger = picture.width().max(picture.height()) > side;
    let grey = if is_larger {
        picture.resize(side, side, FilterType::Triangle).to_luma8()
    } else {
        picture.to_luma8()
    };
    let (width, height) = grey.dimensions();
    let source = Luma8LuminanceSource::new(grey.into_raw(), width, height).ok()?;
    let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
    let hints = DecodeHints {
        TryHarder: Some(true),
        ..DecodeHints::default()
    };
    let found = QRCodeReader::new().decode_with_hints(&mut bitmap, &hints);
    let found = found.or_else(|_| DataMatrixReader.decode_with_hints(&mut bitmap, &hints));
    found.ok().map(|found| found.getText().to_owned())
}
