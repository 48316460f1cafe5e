//! Photos and documents made by code: one that says where it was taken, one that would fill the memory.

use std::io::Cursor;

use axum::{
    body::Body,
    http::{Method, Request, header},
};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use uuid::Uuid;

use crate::client::{Answer, Client};

/// The maker of the camera, as the photo tells it.
pub const CAMERA: &str = "Tarn & Fell Lookabout";

/// A picture whose left half is red and whose right half is blue; `shade` makes it another one.
pub fn picture(width: u32, height: u32, shade: u8) -> DynamicImage {
    DynamicImage::ImageRgb8(RgbImage::from_fn(width, height, |x, _| {
        if x < width / 2 {
            Rgb([220, shade, 20])
        } else {
            Rgb([20, shade, 220])
        }
    }))
}

/// The picture as a file.
pub fn file(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// A plain photo; `shade` makes it another one.
pub fn photo(shade: u8) -> Vec<u8> {
    file(&picture(64, 48, shade), ImageFormat::Jpeg)
}

/// A photo that was taken with the camera turned to its side, and says so; it also says where, when and with what. The
/// fields are those of Exif in a TIFF of two directories.
pub fn telling_photo() -> Vec<u8> {
    let mut tiff = Vec::new();
    tiff.extend_from_slice(b"II*\0\x08\0\0\0");
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        let mut bytes = Vec::new();
        bytes.extend_from_slice(&tag.to_le_bytes());
        bytes.extend_from_slice(&kind.to_le_bytes());
        bytes.extend_from_slice(&count.to_le_bytes());
        bytes.extend_from_slice(&value);
        bytes
    };
    let made = u32::try_from(CAMERA.len() + 1).unwrap();
    // Behind the first directory of three entries: the maker's name, then the directory of the place.
    let name_at = 8 + 2 + 3 * 12 + 4;
    let place_at = name_at + made;
    tiff.extend_from_slice(&3u16.to_le_bytes());
    tiff.extend(entry(0x010f, 2, made, name_at.to_le_bytes()));
    tiff.extend(entry(0x0112, 3, 1, [6, 0, 0, 0]));
    tiff.extend(entry(0x8825, 4, 1, place_at.to_le_bytes()));
    tiff.extend_from_slice(&[0; 4]);
    tiff.extend_from_slice(CAMERA.as_bytes());
    tiff.push(0);
    let degrees_at = place_at + 2 + 2 * 12 + 4;
    tiff.extend_from_slice(&2u16.to_le_bytes());
    tiff.extend(entry(0x0001, 2, 2, *b"N\0\0\0"));
    tiff.extend(entry(0x0002, 5, 3, degrees_at.to_le_bytes()));
    tiff.extend_from_slice(&[0; 4]);
    for number in [59u32, 1, 54, 1, 45, 1] {
        tiff.extend_from_slice(&number.to_le_bytes());
    }
    let plain = file(&picture(64, 48, 0), ImageFormat::Jpeg);
    let mut bytes = plain[..2].to_vec();
    let segment = |marker: u8, body: &[u8]| {
        let length = u16::try_from(body.len() + 2).unwrap();
        let mut bytes = vec![0xff, marker];
        bytes.extend_from_slice(&length.to_be_bytes());
        bytes.extend_from_slice(body);
        bytes
    };
    bytes.extend(segment(0xe1, &[b"Exif\0\0".as_slice(), &tiff].concat()));
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta><creator>A. Brook</creator></x:xmpmeta>";
    bytes.extend(segment(0xe1, xmp));
    bytes.extend(segment(0xfe, b"taken at the old shaft"));
    bytes.extend_from_slice(&plain[2..]);
    bytes
}

/// A PNG of a few bytes that says it has this many pixels.
pub fn png_that_says(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut chunk = |kind: &[u8], body: &[u8]| {
        let length = u32::try_from(body.len()).unwrap();
        bytes.extend_from_slice(&length.to_be_bytes());
        let whole = [kind, body].concat();
        bytes.extend_from_slice(&whole);
        bytes.extend_from_slice(&crc(&whole).to_be_bytes());
    };
    let size = [width.to_be_bytes(), height.to_be_bytes()].concat();
    chunk(b"IHDR", &[size.as_slice(), &[8, 2, 0, 0, 0]].concat());
    chunk(b"IDAT", &[0x78, 0x9c, 0x03, 0x00, 0x00, 0x00, 0x00, 0x01]);
    chunk(b"IEND", &[]);
    bytes
}

/// The check sum of PNG (ISO/IEC 15948, annex D).
fn crc(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            (crc >> 1) ^ (0xedb8_8320 * (crc & 1))
        })
    };
    !bytes.iter().fold(!0, step)
}

/// A document of one empty page, as small as one may be.
pub fn document() -> Vec<u8> {
    b"%PDF-1.7\n1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n2 0 obj\n<< /Type /Pages /Kids [] /Count 0 >>\n\
      endobj\ntrailer\n<< /Root 1 0 R >>\n%%EOF\n"
        .to_vec()
}

impl Client {
    /// Puts a file on a record through the page.
    pub async fn put_on(&self, record: &str, caption: &str, name: &str, bytes: &[u8]) -> Answer {
        let path = format!("/attachments?{record}&id={}", Uuid::now_v7());
        let fields = [
            ("caption", None, caption.as_bytes()),
            ("camera", Some(""), b"".as_slice()),
            ("files", Some(name), bytes),
        ];
        self.upload(&path, &fields).await
    }

    /// Puts a file on a record through the API.
    pub async fn put_file(&self, path: &str, kind: &str, bytes: &[u8]) -> Answer {
        let request = Request::builder()
            .method(Method::PUT)
            .uri(path)
            .header(header::HOST, "gear.test")
            .header(header::CONTENT_TYPE, kind)
            .body(Body::from(bytes.to_vec()))
            .unwrap();
        self.send(request).await
    }

    /// What is on a record.
    pub async fn on_record(&self, record: &str) -> Vec<serde_json::Value> {
        let answer = self.get(&format!("/api/v1/attachments?{record}")).await;
        answer.json()["attachments"].as_array().unwrap().clone()
    }
}
