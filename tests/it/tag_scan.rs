//! What a scanner gives, read: against published examples, and what must be refused.

use proptest::prelude::*;
use ropeloft::domain::{
    ItemId, Made, TagId,
    tag::{Fault, LETTERS, LONGEST_SCAN, OwnCode, Scan, TagDraft, TagKind},
};
use time::{Date, Month, macros::date};

const TODAY: Date = date!(2026 - 11 - 26);

fn read(text: &str) -> Scan {
    Scan::read(text).unwrap_or_else(|fault| panic!("{text:?}: {fault}"))
}

/// Element strings as they are printed in the standards of GS1 (from memory). Keys with check digits check themselves.
const PRINTED: [(&str, &str); 9] = [
    // General Specifications, "Check digit calculations": 629104150021 and 3; 37610425002123456 and 9.
    ("General Specifications, GTIN-13", "(01)06291041500213"),
    ("General Specifications, SSCC", "(00)376104250021234569"),
    // EPC Tag Data Standard, section "EPC URI": each key beside its URI of the company 0614141 or 4012345.
    ("Tag Data Standard, SGTIN", "(01)10614141123459(21)400"),
    ("Tag Data Standard, SSCC", "(00)106141412345678908"),
    ("Tag Data Standard, GRAI", "(8003)00614141123452400"),
    ("Tag Data Standard, GIAI", "(8004)061414112345400"),
    ("Tag Data Standard, GSRN", "(8018)061414112345678902"),
    (
        "Tag Data Standard, CPI",
        "(8010)0614141123ABC(8011)123456789",
    ),
    ("Tag Data Standard, ITIP", "(8006)040123451234560102(21)987"),
];

/// The same as a scanner sends it: a separator behind every value that could have been longer.
fn sent(printed: &str) -> String {
    let mut text = "]d2".to_owned();
    for part in printed.split('(').skip(1) {
        let (number, value) = part.split_once(')').unwrap();
        text.push_str(number);
        text.push_str(value);
        text.push('\u{1d}');
    }
    text
}

#[test]
fn printed_examples_are_read_and_written_alike() {
    for (source, printed) in PRINTED {
        let scan = read(printed);
        assert_eq!(scan.kind, TagKind::Gs1, "{source}");
        assert_eq!(scan.words(), printed, "{source}");
        assert_eq!(read(&sent(printed)).elements, scan.elements, "{source}");
        assert_eq!(read(&sent(printed)).key, scan.key, "{source}");
    }
}

#[test]
fn every_wrong_digit_of_a_checked_number_is_found() {
    for printed in [
        "(01)06291041500213",
        "(00)376104250021234569",
        "(01)10614141123459",
    ] {
        for (at, c) in printed.char_indices().skip(4) {
            for other in ('0'..='9').filter(|other| *other != c) {
                let mut wrong = printed.to_owned();
                wrong.replace_range(at..=at, &other.to_string());
                let fault = Scan::read(&wrong).unwrap_err();
                assert!(
                    matches!(fault, Fault::CheckDigit { .. }),
                    "{wrong}: {fault}"
                );
            }
        }
    }
    let fault = Scan::read("(01)06291041500214").unwrap_err().to_string();
    assert!(fault.contains("06291041500214 should end in 3"), "{fault}");
}

/// GS1 Digital Link Standard, URI Syntax (from memory): the same item as an address and as an element string.
#[test]
fn an_address_is_the_same_code_as_its_element_string() {
    let same = [
        ("https://id.gs1.org/01/09520123456788", "(01)09520123456788"),
        ("https://example.com/01/9520123456788", "(01)09520123456788"),
        (
            "https://id.gs1.org/01/09520123456788/10/ABC1/21/12345?17=261231",
            "(01)09520123456788(10)ABC1(21)12345(17)261231",
        ),
        (
            "https://example.com/some/path/01/09520123456788/21/1%2F2%25?linkType=all&11=260300",
            "(01)09520123456788(21)1/2%(11)260300",
        ),
        (
            "HTTP://example.com:8080/8004/9520614141234567#top",
            "(8004)9520614141234567",
        ),
        (
            "https://example.com/8003/09520123456788A7/",
            "(8003)09520123456788A7",
        ),
    ];
    for (address, printed) in same {
        let scan = read(address);
        assert_eq!(scan.words(), printed, "{address}");
        assert_eq!(scan.key, read(printed).key, "{address}");
        assert_eq!(scan.text, address);
    }
    let no_link = [
        "https://example.com/",
        "https://example.com/01/",
        "https://example.com/01/ABC",
        "https://example.com/01/09520123456788/99/x",
        "https://example.com/2026/01/31",
        "mailto:a@b",
    ];
    for address in no_link {
        assert_eq!(read(address).kind, TagKind::Text, "{address}");
    }
    let wrong = [
        "https://example.com/01/09520123456789",
        "https://example.com/01/09520123456788/21/a%2",
        "https://example.com/01/09520123456788/21/a%zz",
        "https://example.com/01/09520123456788?17=261331",
    ];
    for address in wrong {
        assert!(Scan::read(address).is_err(), "{address}");
    }
}

#[test]
fn one_item_has_one_key_however_its_code_is_written() {
    let key = read("(01)10614141123459(21)400").key;
    for other in [
        "011061414112345921400",
        "]d2011061414112345921400",
        "]C1011061414112345921400\u{1d}10LOT7",
        "]Q311260301011061414112345910LOT7\u{1d}21400",
        "^011061414112345921400^10LOT7",
        "011061414112345921400{GS}10LOT7",
        "\u{1d}011061414112345921400",
        "(21)400(01)10614141123459",
        " (01) 10614141123459 (21) 400\r\n",
        "https://example.com/01/10614141123459/21/400",
    ] {
        assert_eq!(read(other).key, key, "{other:?}");
    }
    for different in [
        "(01)10614141123459(21)401",
        "(8003)10614141123459400",
        "400",
    ] {
        let different = Scan::read(different).map(|scan| scan.key);
        assert_ne!(different.as_ref(), Ok(&key));
    }
}

#[test]
fn what_the_tag_says_is_taken_apart() {
    let scan = read("]d201095212345432131126032410L-7/B\u{1d}1727123121SN(9)8\u{1d}240ROPE");
    assert_eq!(scan.product(), Some("09521234543213"));
    assert_eq!(scan.serial(), Some("SN(9)8"));
    assert_eq!(scan.lot(), Some("L-7/B"));
    assert_eq!(scan.made(TODAY), Some(Made::Day(date!(2026 - 03 - 24))));
    assert_eq!(scan.elements.get("17"), Some("271231"));
    assert_eq!(scan.elements.get("240"), Some("ROPE"));
    assert_eq!(scan.shared, None);
    assert_eq!(
        read("(8004)061414112345400").serial(),
        Some("061414112345400")
    );
}

/// General Specifications, "Determination of century in dates" (from memory): 51 to 99 ahead is the century before,
/// 50 to 99 behind is the next. A day of 00 is a month of which the day is not said.
#[test]
fn two_digits_of_a_year_mean_the_nearest() {
    for (digits, day) in [
        ("260301", Made::Day(date!(2026 - 03 - 01))),
        ("180200", Made::Month(2018, Month::February)),
        ("760101", Made::Day(date!(2076 - 01 - 01))),
        ("770101", Made::Day(date!(1977 - 01 - 01))),
        ("000229", Made::Day(date!(2000 - 02 - 29))),
        ("240229", Made::Day(date!(2024 - 02 - 29))),
    ] {
        let scan = read(&format!("(01)09521234543213(21)1(11){digits}"));
        assert_eq!(scan.made(TODAY), Some(day), "{digits}");
    }
    let late = date!(2076 - 01 - 01);
    let of = |digits: &str| read(&format!("(01)09521234543213(11){digits}")).made(late);
    assert_eq!(of("260301"), Some(Made::Day(date!(2126 - 03 - 01))));
    assert_eq!(of("270301"), Some(Made::Day(date!(2027 - 03 - 01))));
}

#[test]
fn a_code_that_many_have_goes_on_no_item() {
    for shared in [
        "(01)09521234543213",
        "(01)09521234543213(10)L7",
        "]E09521234543213",
        "]E012345670",
        "(10)L7",
        "(8003)09520123456788",
        "(00)376104250021234569",
        // As scanners send them with nothing in front: EAN-13, GTIN-14, UPC-A and EAN-8, the last with the example of the
        // General Specifications (from memory).
        "9521234543213",
        "09521234543213",
        "012345678905",
        "96385074",
    ] {
        let Ok(scan) = Scan::read(shared) else {
            continue;
        };
        assert!(scan.shared.is_some(), "{shared}");
        let draft = TagDraft {
            text: shared.to_owned(),
        };
        let wrong = draft.check(TagId::new(), ItemId::new()).unwrap_err();
        assert_eq!(wrong.0[0].field, "text");
        assert_eq!(wrong.0[0].code, "shared");
    }
    // General Specifications, GTIN-8 example 9638507 and 4 (from memory).
    assert_eq!(read("]E496385074").product(), Some("00000096385074"));
    assert!(Scan::read("]E496385073").is_err());
}

#[test]
fn any_other_text_is_taken_as_it_is() {
    for text in [
        "MRN-0042",
        // Digits with another last one than a check digit are nobody's article.
        "9521234543214",
        "96385073",
        "1234567",
        "21 4711",
        "0109521234543214X",
        "8004123",
        "01",
        "]x",
        "Größe 3/7",
        "9521234543213",
    ] {
        let scan = read(text);
        assert_eq!((scan.kind, scan.words().as_str()), (TagKind::Text, text));
        assert_eq!(scan.key, format!("text:{text}"));
    }
    // A scanner may say which code it read, and may not: that makes no other tag.
    assert_eq!(read("]C0MRN-0042").key, read("MRN-0042").key);
}

#[test]
fn what_cannot_be_read_is_refused_in_a_sentence() {
    let long = "7".repeat(LONGEST_SCAN + 1);
    for (text, part) in [
        ("", "nothing in this code"),
        (" \r\n", "nothing in this code"),
        ("]d2", "nothing in this code"),
        ("]d20109521234543213XY", "no application identifier"),
        ("]d2010952123454321", "14 characters, not 13"),
        ("(21)", "from 1 to 20 characters, not 0"),
        ("]d221123456789012345678901", "separator may be missing"),
        (
            "(01)09521234543213(21)a b",
            "must not hold the character \" \"",
        ),
        ("(11)261301", "is no day: 261301"),
        ("(11)240230", "is no day: 240230"),
        ("(17)250229", "is no day: 250229"),
        ("(17)250431", "is no day: 250431"),
        ("(11)26O301", "must not hold the character \"O\""),
        ("(21)1(21)2", "stands in this code twice"),
        ("(9)x", "no application identifier"),
        ("a\u{0}b", "control character"),
        ("a\nb", "control character"),
        (&long, "at most 500 characters; 501 were given"),
    ] {
        let fault = Scan::read(text)
            .map(|scan| scan.words())
            .unwrap_err()
            .to_string();
        assert!(fault.contains(part), "{text:?}: {fault}");
    }
    assert_eq!(read(&"7".repeat(LONGEST_SCAN)).kind, TagKind::Text);
}

#[test]
fn our_own_code_is_read_however_it_is_typed() {
    let code = OwnCode::from_random(123_456_789_012);
    let plain = code.plain();
    let shown = code.to_string();
    assert_eq!((plain.len(), shown.len()), (9, 11));
    for typed in [
        plain.clone(),
        plain.to_lowercase(),
        shown.clone(),
        shown.replace('-', " "),
    ] {
        assert_eq!(OwnCode::read(&typed), Some(code), "{typed}");
    }
    let key = format!("own:{plain}");
    for scanned in [
        shown.clone(),
        shown.to_lowercase(),
        format!("https://gear.example.org/t/{plain}"),
        format!("http://localhost:8080/t/{}/", plain.to_lowercase()),
    ] {
        let scan = read(&scanned);
        assert_eq!((scan.kind, &scan.key), (TagKind::Own, &key), "{scanned}");
    }
    // Nine characters alone may be somebody's serial; both are looked for.
    assert_eq!(read(&plain).keys()[..2], [format!("text:{plain}"), key]);
    assert_eq!(
        read("https://gear.example.org/t/AAAAAAAAC").kind,
        TagKind::Text
    );
}

#[test]
fn a_wrong_or_swapped_character_of_our_own_code_is_found() {
    for random in [0, 1, 22, 23, 987_654_321, u64::MAX, 0x0123_4567_89AB_CDEF] {
        let plain: Vec<char> = OwnCode::from_random(random).plain().chars().collect();
        for at in 0..plain.len() {
            for letter in LETTERS.into_iter().filter(|letter| *letter != plain[at]) {
                let mut wrong = plain.clone();
                wrong[at] = letter;
                assert_eq!(OwnCode::read(&String::from_iter(wrong)), None);
            }
            for other in (0..plain.len()).filter(|other| plain[*other] != plain[at]) {
                let mut swapped = plain.clone();
                swapped.swap(at, other);
                assert_eq!(OwnCode::read(&String::from_iter(swapped)), None);
            }
        }
    }
}

proptest! {
    #[test]
    fn nothing_that_is_scanned_breaks_the_reader(text in "(\\]d2|\\]C1|\\(01\\)|01|https://a/01/|)[\\x1d!-~ é]{0,60}") {
        if let Ok(scan) = Scan::read(&text) {
            prop_assert!(!scan.keys().is_empty());
            if scan.kind == TagKind::Gs1 {
                // What is printed for people says the same.
                prop_assert_eq!(read(&scan.words()).elements, scan.elements.clone());
            }
            scan.made(TODAY);
        }
    }

    #[test]
    fn elements_come_back_from_what_a_scanner_sends(
        product in "[0-9]{13}", serial in "[!%&*+,./:;=?A-Za-z0-9_-]{1,20}", lot in "[!%&*+,./:;=?A-Za-z0-9_-]{1,20}",
    ) {
        let weighed = product.chars().rev().zip([3, 1].into_iter().cycle());
        let sum: u32 = weighed.map(|(c, weight)| c.to_digit(10).unwrap() * weight).sum();
        let product = format!("{product}{}", (10 - sum % 10) % 10);
        let scan = read(&format!("]d210{lot}\u{1d}01{product}21{serial}"));
        prop_assert_eq!(scan.product(), Some(product.as_str()));
        prop_assert_eq!(scan.serial(), Some(serial.as_str()));
        prop_assert_eq!(scan.lot(), Some(lot.as_str()));
    }
}
