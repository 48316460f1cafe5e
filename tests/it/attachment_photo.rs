//! What is kept of a photo that comes in, and what is not taken: told by the bytes alone.

use image::{DynamicImage, GenericImageView, ImageFormat, Rgba, RgbaImage, load_from_memory};
use ropeloft::{
    domain::{AttachmentKind, FileHash, LARGEST_UPLOAD, MediaType},
    import::{Incoming, MOST_PIXELS, incoming},
};

use crate::attachment_given::{
    CAMERA, document, file, photo, picture, png_that_says, telling_photo,
};

fn read(bytes: &[u8]) -> Incoming {
    incoming(bytes.to_vec().into()).unwrap()
}

fn refused(bytes: &[u8]) -> String {
    incoming(bytes.to_vec().into()).unwrap_err().to_string()
}

fn holds(bytes: &[u8], text: &[u8]) -> bool {
    bytes.windows(text.len()).any(|window| window == text)
}

#[test]
fn where_and_with_what_a_photo_was_taken_is_not_kept() {
    let sent = telling_photo();
    let told: [&[u8]; 6] = [
        b"Exif",
        CAMERA.as_bytes(),
        b"old shaft",
        b"A. Brook",
        b"II*\0",
        &59u32.to_le_bytes(),
    ];
    for text in told {
        assert!(holds(&sent, text), "the photo of the test tells it");
    }
    let incoming = read(&sent);
    assert_eq!(incoming.files.len(), 2);
    for (hash, kept) in &incoming.files {
        assert_eq!(*hash, FileHash::of(kept));
        for text in &told[..5] {
            assert!(!holds(kept, text), "{}", String::from_utf8_lossy(text));
        }
        // The markers of a JPEG (ITU-T T.81, table B.1): neither a comment nor an application's segment but JFIF.
        assert!(!holds(kept, &[0xff, 0xfe]) && !holds(kept, &[0xff, 0xe1]));
    }
}

#[test]
fn a_photo_that_was_held_sideways_stands_upright() {
    // Orientation 6 of Exif: the first column of what is stored is the top of what is seen.
    let incoming = read(&telling_photo());
    let kept = load_from_memory(&incoming.files[0].1).unwrap();
    assert_eq!(kept.dimensions(), (48, 64));
    let (top, foot) = (kept.get_pixel(24, 5).0, kept.get_pixel(24, 58).0);
    assert!(top[0] > 180 && top[2] < 80, "red on top: {top:?}");
    assert!(foot[2] > 180 && foot[0] < 80, "blue at the foot: {foot:?}");
}

#[test]
fn every_kind_becomes_a_jpeg_with_a_small_one() {
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let incoming = read(&file(&picture(3000, 1500, 90), format));
        let received = incoming.received;
        assert_eq!(received.kind, AttachmentKind::Photo);
        let small = received.thumbnail.unwrap();
        for (kept, sides) in [(received.file, (2048, 1024)), (small, (480, 240))] {
            let (_, bytes) = incoming
                .files
                .iter()
                .find(|(hash, _)| *hash == kept.sha256)
                .unwrap();
            assert_eq!(image::guess_format(bytes).unwrap(), ImageFormat::Jpeg);
            assert_eq!(load_from_memory(bytes).unwrap().dimensions(), sides);
            let pixels = kept.pixels.unwrap();
            assert_eq!((pixels.width, pixels.height), sides, "{format:?}");
            assert_eq!(
                (kept.bytes, kept.media_type),
                (bytes.len(), MediaType::Jpeg)
            );
        }
    }
}

#[test]
fn the_same_photo_is_kept_under_the_same_hash() {
    let once = read(&photo(7)).received;
    assert_eq!(once, read(&photo(7)).received);
    assert_ne!(once, read(&photo(8)).received);
}

#[test]
fn what_can_be_seen_through_stands_on_white() {
    let clear = RgbaImage::from_pixel(16, 16, Rgba([0, 0, 0, 0]));
    let incoming = read(&file(&DynamicImage::ImageRgba8(clear), ImageFormat::Png));
    let kept = load_from_memory(&incoming.files[0].1).unwrap();
    assert!(kept.get_pixel(8, 8).0[..3].iter().all(|part| *part > 250));
}

#[test]
fn a_photo_that_would_fill_the_memory_is_refused_before_it_does() {
    let bomb = png_that_says(30_000, 30_000);
    assert!(bomb.len() < 100);
    let words = refused(&bomb);
    assert_eq!(
        words,
        "A photo may have at most 50 million pixels; this one has 30000 x 30000, which is 900 million. Make it smaller \
         first."
    );
    assert_eq!(MOST_PIXELS, 50_000_000);
}

#[test]
fn what_is_not_taken_is_told_why() {
    let mut large = document();
    large.splice(20..20, std::iter::repeat_n(b' ', LARGEST_UPLOAD));
    let cut = document();
    let cases: [(Vec<u8>, &str); 8] = [
        (Vec::new(), "The file is empty."),
        (
            large,
            "A file may have at most 20 MiB; this one has 20 MiB.",
        ),
        (
            b"\0\0\0\x18ftypheic\0\0\0\0mif1".to_vec(),
            "A HEIC photo is not read here. Send it as JPEG",
        ),
        (
            b"<script>alert(1)</script>".to_vec(),
            "This is no photo as JPEG, PNG or WebP",
        ),
        (
            b"GIF89a\x01\0\x01\0\0\0\0;".to_vec(),
            "This is no photo as JPEG, PNG or WebP",
        ),
        (
            photo(1)[..400].to_vec(),
            "The photo is cut off: its data ends before the picture does",
        ),
        (
            png_that_says(20, 20),
            "The photo is damaged or did not arrive whole",
        ),
        (
            cut[..cut.len() - 10].to_vec(),
            "The document begins as PDF, but its end (%%EOF) is missing",
        ),
    ];
    for (bytes, words) in cases {
        let said = refused(&bytes);
        assert!(said.starts_with(words), "{said}");
    }
}

#[test]
fn a_document_is_kept_byte_for_byte() {
    let incoming = read(&document());
    assert_eq!(incoming.received.kind, AttachmentKind::Document);
    assert_eq!(incoming.received.thumbnail, None);
    let [(hash, kept)] = incoming.files.as_slice() else {
        panic!("{incoming:?}")
    };
    assert_eq!(kept.as_ref(), document());
    assert_eq!(*hash, FileHash::of(&document()));
}

#[test]
fn a_hash_is_sixty_four_digits_and_nothing_else() {
    // FIPS 180-4, the hash of no bytes.
    let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    assert_eq!(FileHash::of(b"").as_str(), empty);
    assert!(empty.parse::<FileHash>().is_ok());
    for wrong in ["", "../../etc/passwd", &empty[1..], &empty.to_uppercase()] {
        assert!(wrong.parse::<FileHash>().is_err(), "{wrong}");
        let text = serde_json::json!(wrong);
        assert!(serde_json::from_value::<FileHash>(text).is_err());
    }
}

#[test]
fn a_jpeg_that_is_cut_off_anywhere_is_refused() {
    let whole = file(&picture(640, 480, 90), ImageFormat::Jpeg);
    for parts in 1..20 {
        let cut = &whole[..whole.len() * parts / 20];
        let told = refused(cut);
        assert!(told.contains("cut off"), "{parts}/20: {told}");
    }
    // Without the last two bytes alone, the mark of the end, no line of the picture may be missing; it is not taken on trust.
    assert!(refused(&whole[..whole.len() - 2]).contains("cut off"));
    // What a phone writes behind the end is none of the picture.
    let mut longer = whole.clone();
    longer.extend_from_slice(b"what a phone adds");
    assert_eq!(read(&longer).received, read(&whole).received);
}

#[test]
fn the_end_of_a_small_picture_within_a_jpeg_is_not_its_own() {
    // Exif holds a small JPEG with an end of its own (ITU-T T.81, table B.1: EOI is FF D9).
    let small = photo(3);
    let whole = file(&picture(640, 480, 90), ImageFormat::Jpeg);
    let held = [b"Exif\0\0".as_slice(), &small].concat();
    let mut telling = whole[..2].to_vec();
    telling.extend_from_slice(&[0xff, 0xe1]);
    telling.extend_from_slice(&u16::try_from(held.len() + 2).unwrap().to_be_bytes());
    telling.extend_from_slice(&held);
    telling.extend_from_slice(&whole[2..]);
    assert_eq!(read(&telling).received, read(&whole).received);
    let cut = &telling[..telling.len() - whole.len() / 2];
    assert!(holds(cut, &[0xff, 0xd9]) && refused(cut).contains("cut off"));
}

#[test]
fn other_photos_that_are_cut_off_are_refused_too() {
    for format in [ImageFormat::Png, ImageFormat::WebP] {
        let whole = file(&picture(640, 480, 90), format);
        let told = refused(&whole[..whole.len() / 2]);
        assert!(told.contains("did not arrive whole"), "{format:?}: {told}");
    }
}
