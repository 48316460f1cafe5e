//! Codes read out of photos: what our own labels say comes back, and leads where it would if it had been typed.

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use image::{DynamicImage, GrayImage, ImageFormat, imageops::FilterType};
use ropeloft::{
    domain::SymbolKind,
    export::paper::symbol::Symbol,
    import::{Unfit, codes_in},
};

use crate::{
    attachment_given,
    client::{Answer, Client},
    item_given::one_rope,
    paper_label,
};

/// A photo of a code: smaller or larger, a little turned to the side, as JPEG.
fn photo(kind: SymbolKind, text: &str, side: u32) -> Vec<u8> {
    let page = paper_label::picture(&Symbol::new(kind, text).unwrap());
    let size = (
        u32::try_from(page.width).unwrap(),
        u32::try_from(page.height).unwrap(),
    );
    let grey = GrayImage::from_raw(size.0, size.1, page.grey).unwrap();
    let picture = DynamicImage::ImageLuma8(grey).resize(side, side, FilterType::Triangle);
    let mut around = DynamicImage::ImageLuma8(GrayImage::from_pixel(
        side + 300,
        side + 120,
        image::Luma([228]),
    ));
    image::imageops::overlay(&mut around, &picture, 190, 40);
    attachment_given::file(&around, ImageFormat::Jpeg)
}

/// The same photo as a program sends it.
async fn sent_to_program(client: &Client, bytes: &[u8]) -> Answer {
    let request = Request::builder()
        .method(Method::POST)
        .uri("/api/v1/scan/photo")
        .header(header::HOST, "gear.test")
        .body(Body::from(bytes.to_vec()));
    client.send(request.unwrap()).await
}

#[test]
fn what_a_label_says_is_read_out_of_a_photo() {
    let texts = [
        "7KM-3TX-9AF",
        "https://gear.example.org/t/7KM3TX9AF",
        "0109521234543213\u{1d}10L7",
    ];
    for kind in SymbolKind::ALL {
        for text in texts {
            for side in [220, 900, 1800] {
                let read = codes_in(&photo(kind, text, side));
                assert_eq!(read, Ok(vec![text.to_owned()]), "{kind:?} {side}");
            }
        }
    }
}

/// A sheet of labels in one photo: each code once, whatever its kind and however often it is there.
fn sheet(texts: &[(SymbolKind, &str)]) -> Vec<u8> {
    let mut sheet = GrayImage::from_pixel(900, 300 * 2, image::Luma([240]));
    for (at, (kind, text)) in texts.iter().enumerate() {
        let page = paper_label::picture(&Symbol::new(*kind, text).unwrap());
        let size = [page.width, page.height].map(|side| u32::try_from(side).unwrap());
        let grey = GrayImage::from_raw(size[0], size[1], page.grey).unwrap();
        let one = DynamicImage::ImageLuma8(grey).resize(220, 220, FilterType::Triangle);
        let (across, down) = (
            i64::try_from(at % 3).unwrap(),
            i64::try_from(at / 3).unwrap(),
        );
        image::imageops::overlay(
            &mut sheet,
            &one.to_luma8(),
            40 + across * 290,
            40 + down * 290,
        );
    }
    attachment_given::file(&DynamicImage::ImageLuma8(sheet), ImageFormat::Jpeg)
}

#[test]
fn several_codes_in_one_photo_are_told_apart() {
    let [qr, other] = [SymbolKind::ALL[0], SymbolKind::ALL[1]];
    let texts = [
        (qr, "7KM-3TX-9AF"),
        (other, "7KM-3TX-9AG"),
        (qr, "7KM-3TX-9AH"),
        (qr, "7KM-3TX-9AF"),
    ];
    let mut read = codes_in(&sheet(&texts)).unwrap();
    read.sort();
    assert_eq!(read, ["7KM-3TX-9AF", "7KM-3TX-9AG", "7KM-3TX-9AH"]);
}

#[test]
fn what_shows_no_code_is_told_from_what_is_no_photo() {
    let plain = attachment_given::photo(90);
    assert_eq!(codes_in(&plain), Ok(Vec::new()));
    assert_eq!(codes_in(b"a,b,c"), Err(Unfit::Unknown));
    assert_eq!(codes_in(&plain[..plain.len() - 40]), Err(Unfit::CutOff));
}

on_both_databases! {
    async fn a_photo_of_a_code_leads_to_its_item(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let bytes = photo(SymbolKind::Qr, "RL-0042", 400);
        let sent = crew.upload("/scan/photo", &[("photo", Some("code.jpg"), &bytes)]).await;
        assert_eq!((sent.status, sent.location()), (StatusCode::SEE_OTHER, "/scan?code=RL-0042"), "{}", sent.text);
        let led = crew.get("/scan?code=RL-0042").await;
        assert_eq!(led.location(), format!("/items/{}", given.item));
        let told = sent_to_program(&crew, &bytes).await;
        assert_eq!(told.json()["code"], "RL-0042", "{}", told.text);
    }

    async fn a_photo_of_several_codes_opens_none_of_them(world) {
        let given = one_rope(&world).await;
        let bytes = sheet(&[(SymbolKind::Qr, "RL-0042"), (SymbolKind::Qr, "RL-0043")]);
        let page = given.officer.upload("/scan/photo", &[("photo", Some("code.jpg"), &bytes)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
        assert!(page.text.contains("2 codes are in this photo, and nothing was opened."), "{}", page.text);
        let told = sent_to_program(&given.officer, &bytes).await.json();
        assert_eq!((told["code"].is_null(), told["codes"].as_u64()), (true, Some(2)), "{told}");
    }

    async fn a_photo_that_says_nothing_is_told_of_at_its_field(world) {
        let crew = world.visitor(&world.crew).await;
        let plain = attachment_given::photo(90);
        for (bytes, words) in [
            (plain.clone(), "No code was found in the photo."),
            (b"no picture".to_vec(), "This is no photo"),
        ] {
            let page = crew.upload("/scan/photo", &[("photo", Some("code.jpg"), &bytes)]).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", page.text);
            assert!(page.text.contains(words), "{}", page.text);
        }
        let none = crew.upload("/scan/photo", &[]).await;
        assert!(none.text.contains("Take a photo of the code, or choose one."), "{}", none.text);
        let told = sent_to_program(&crew, &plain).await;
        assert_eq!((told.status, told.json()["code"].is_null()), (StatusCode::OK, true), "{}", told.text);
        let told = sent_to_program(&crew, b"no picture").await;
        assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", told.text);
        // An auditor changes nothing, and sends nothing.
        let auditor = world.visitor(&world.auditor).await;
        let told = auditor.upload("/scan/photo", &[("photo", Some("code.jpg"), &plain)]).await;
        assert_eq!(told.status, StatusCode::FORBIDDEN);
        assert!(!auditor.get("/scan").await.text.contains("Read the code from a photo"));
    }
}
