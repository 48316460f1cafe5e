//! Lists that a spreadsheet or an editor has spoilt: cut serials, two encodings in one text.

use ropeloft::import::{ImportFailure, read_table};

use crate::import_inventory::{rehearsed, said};

#[test]
fn a_serial_of_which_a_spreadsheet_kept_the_first_digits_is_refused_with_its_place() {
    let list = "Tag;Type;Maker;Model;Serial;Lot;Store;Made\n\
        R-1;Rope;Calder Lines;Ghyll 11;1,23457E+13;B-1;Van;2021\n\
        R-2;Rope;Calder Lines;Ghyll 11;12345678901234;1.2346E+10;Van;2021\n\
        R-3;Rope;Calder Lines;Ghyll 11;12E4;B-1;Van;2021\n";
    let rehearsal = rehearsed("list.csv", list.as_bytes(), &said());
    let told: Vec<String> = rehearsal
        .errors
        .iter()
        .map(|error| format!("{}: {}", error.place(), error.message))
        .collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told[0].starts_with("row 2, column E (Serial): The spreadsheet took this for a number and kept only its first digits: \"1,23457E+13\"."),
        "{told:?}"
    );
    assert!(told[1].starts_with("row 3, column F (Lot): "), "{told:?}");
}

#[test]
fn a_text_in_two_encodings_is_refused_with_its_lines() {
    let row = |mark: u32, maker: &[u8]| {
        let begins = format!("R-{mark};Rope;").into_bytes();
        [&begins, maker, b";Ghyll 11;Van\n"].concat()
    };
    let head = b"Tag;Type;Maker;Model;Store\n";
    let utf8 = "Brückhalm".as_bytes();
    let other = b"Br\xfcckhalm";
    let read =
        |rows: &[Vec<u8>]| read_table("x.csv", &[head, rows.concat().as_slice()].concat(), None);
    let mixed = read(&[row(1, utf8), row(2, other), row(3, other), row(4, utf8)]);
    assert_eq!(
        mixed.unwrap_err(),
        ImportFailure::Mixed {
            lines: "3, 4".to_owned()
        }
    );
    let cyrillic = "Кавказ".as_bytes();
    let mixed = read(&[row(1, cyrillic), row(2, other)]);
    assert!(mixed.unwrap_err().to_string().contains("in line 3"));
    let whole = read(&[
        row(1, other),
        row(2, b"Gro\xdf\x93, \xfc\xf6"),
        row(3, other),
    ]);
    assert_eq!(
        whole.unwrap().read_as,
        "Windows-1252, cells between semicolons"
    );
    let whole = read(&[row(1, utf8)]);
    assert_eq!(whole.unwrap().read_as, "UTF-8, cells between semicolons");
}
