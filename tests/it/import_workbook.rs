//! Workbooks: days, numbers, formulas, sheets, and files made to do harm.

use std::io::{Cursor, Write};

use ropeloft::import::{ImportFailure, read_table};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use zip::write::SimpleFileOptions;

use crate::import_inventory::{rehearsed, said};

/// A workbook with a title, a blank line, headings in row 3 and two items; its second sheet is another list.
pub fn workbook() -> Workbook {
    let mut book = Workbook::new();
    let day = Format::new().set_num_format("dd/mm/yyyy");
    let sheet = book.add_worksheet().set_name("Gear").unwrap();
    sheet.write(0, 0, "Equipment of the north team").unwrap();
    let headings = [
        "Item ID",
        "Item type",
        "Maker",
        "Model",
        "Serial",
        "Made",
        "Bought",
        "Location",
        "Length [m]",
        "MBS [kN]",
        "PPE",
        "Last checked",
    ];
    for (column, heading) in (0..).zip(headings) {
        sheet.write(2, column, heading).unwrap();
    }
    for (row, mark) in [(3, "N-1"), (4, "N-2")] {
        sheet.write(row, 0, mark).unwrap();
        sheet.write(row, 1, "Kernmantle rope").unwrap();
        sheet.write(row, 2, "Calder Lines").unwrap();
        sheet.write(row, 3, "Ghyll 11").unwrap();
        sheet.write(row, 4, 700_100 + row).unwrap();
        sheet.write(row, 5, 2019).unwrap();
        let bought = ExcelDateTime::from_ymd(2019, 4, 3).unwrap();
        sheet.write_with_format(row, 6, &bought, &day).unwrap();
        sheet.write(row, 7, "Main bay").unwrap();
        sheet.write(row, 8, 60.5).unwrap();
        sheet.write(row, 9, 30).unwrap();
        sheet.write(row, 10, true).unwrap();
        let checked = ExcelDateTime::from_ymd(2026, 2, 28).unwrap();
        sheet.write_with_format(row, 11, &checked, &day).unwrap();
    }
    let other = book.add_worksheet().set_name("Old list").unwrap();
    other.write(0, 0, "Mark").unwrap();
    other.write(0, 1, "Kind").unwrap();
    other.write(1, 0, "Z-1").unwrap();
    other.write(1, 1, "rope").unwrap();
    book
}

#[test]
fn days_and_numbers_of_a_workbook_are_not_in_doubt() {
    let bytes = workbook().save_to_buffer().unwrap();
    let rehearsal = rehearsed("gear.xlsx", &bytes, &said());
    assert_eq!(rehearsal.sheets, ["Gear", "Old list"]);
    assert_eq!(rehearsal.headings.row, 3);
    assert_eq!(
        (rehearsal.questions.as_slice(), rehearsal.errors.as_slice()),
        (&[][..], &[][..])
    );
    let plan = rehearsal.plan.unwrap();
    let item = &plan.items[0].draft;
    assert_eq!(
        (
            item.serial.as_str(),
            item.made.as_str(),
            item.bought_on.as_str()
        ),
        ("700103", "2019", "2019-04-03")
    );
    assert_eq!(item.attributes["length"], "60.5 m");
    assert_eq!(plan.items[0].examination.as_ref().unwrap().on, "2026-02-28");
    assert_eq!(plan.models[0].draft.life_support, "yes");
}

#[test]
fn a_sheet_of_words_before_the_list_is_passed_over() {
    let mut book = Workbook::new();
    let words = book.add_worksheet().set_name("Read me").unwrap();
    words
        .write(0, 0, "Gear of the north team. Item 1 is the oldest.")
        .unwrap();
    words.write(1, 0, "Mark").unwrap();
    let list = book.add_worksheet().set_name("Gear 2026").unwrap();
    for (column, heading) in ["Mark", "Kind", "Maker", "Model"].into_iter().enumerate() {
        list.write(2, u16::try_from(column).unwrap(), heading)
            .unwrap();
    }
    list.write(3, 0, "Z-1").unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let table = read_table("gear.xlsx", &bytes, None).unwrap();
    assert_eq!(table.sheet.as_deref(), Some("Gear 2026"));
    let named = read_table("gear.xlsx", &bytes, Some("Read me")).unwrap();
    assert_eq!(
        named.rows.len(),
        2,
        "what is named is read, whatever stands in it"
    );
}

#[test]
fn a_sheet_is_chosen_by_name() {
    let bytes = workbook().save_to_buffer().unwrap();
    let table = read_table("gear.xlsx", &bytes, Some("old LIST")).unwrap();
    assert_eq!(table.rows.len(), 2);
    let failure = read_table("gear.xlsx", &bytes, Some("Spare")).unwrap_err();
    assert_eq!(
        failure.to_string(),
        "The workbook has no sheet \"Spare\". It has: Gear, Old list."
    );
    assert_eq!(
        read_table("gear.csv", b"mark,kind\n1,rope\n", Some("Gear")).unwrap_err(),
        ImportFailure::NoSheets
    );
}

#[test]
fn a_formula_and_an_error_are_refused_with_their_place() {
    let mut book = workbook();
    let sheet = book.worksheet_from_name("Gear").unwrap();
    sheet
        .write_formula(3, 8, Formula::new("=30+30").set_result("60"))
        .unwrap();
    sheet
        .write_formula(4, 9, Formula::new("=J4").set_result("30"))
        .unwrap();
    sheet.write(4, 6, "#REF!").unwrap();
    sheet.write(4, 11, 46_000.5).unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let rehearsal = rehearsed("gear.xlsx", &bytes, &said());
    let told: Vec<_> = rehearsal
        .errors
        .iter()
        .map(|e| format!("{}: {}", e.place(), e.code))
        .collect();
    assert_eq!(
        told,
        [
            "row 4, column I (Length [m]): formula",
            "row 5, column G (Bought): date",
            "row 5, column J (MBS [kN]): formula",
            "row 5, column L (Last checked): date",
        ]
    );
    assert!(rehearsal.plan.is_none());
}

#[test]
fn a_mark_that_was_turned_into_a_day_is_refused() {
    let mut book = workbook();
    let sheet = book.worksheet_from_name("Gear").unwrap();
    let day = Format::new().set_num_format("mmm-yy");
    sheet
        .write_with_format(3, 4, ExcelDateTime::from_ymd(2026, 3, 1).unwrap(), &day)
        .unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let rehearsal = rehearsed("gear.xlsx", &bytes, &said());
    assert_eq!(rehearsal.errors[0].place(), "row 4, column E (Serial)");
    assert!(
        rehearsal.errors[0]
            .message
            .starts_with("The spreadsheet turned this into a day.")
    );
}

/// A workbook of one rope whose elongation is this number in a cell of this format.
fn elongation(heading: &str, number: f64, format: &str) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let headings = [
        "mark",
        "kind",
        "maker",
        "model",
        "store",
        "life support",
        heading,
    ];
    let cells = ["1", "rope", "F", "D", "B", "yes"];
    for (column, heading) in (0..).zip(headings) {
        sheet.write(0, column, heading).unwrap();
    }
    for (column, cell) in (0..).zip(cells) {
        sheet.write(1, column, cell).unwrap();
    }
    let format = Format::new().set_num_format(format);
    sheet.write_with_format(1, 6, number, &format).unwrap();
    book.save_to_buffer().unwrap()
}

#[test]
fn a_cell_in_per_cent_is_read_as_it_is_shown() {
    for (number, format, shown) in [
        (0.032, "0.0%", "3.2"),
        (0.07, "0%", "7"),
        (0.0335, "0.00 %", "3.35"),
        (3.2, "0.0", "3.2"),
        // The sign is a text here, and the number is what it is.
        (3.2, "0.0\" %\"", "3.2"),
    ] {
        for heading in ["Elongation", "Elongation (%)"] {
            let bytes = elongation(heading, number, format);
            let rehearsal = rehearsed("x.xlsx", &bytes, &said());
            assert_eq!(rehearsal.questions, [], "{number} as {format}");
            let model = &rehearsal.plan.unwrap().models[0].draft;
            assert_eq!(
                model.attributes["elongation"], shown,
                "{number} as {format}"
            );
        }
    }
    let asked = rehearsed("x.xlsx", &elongation("Elongation", 0.032, "0.000"), &said());
    assert_eq!(asked.without_unit(), ["Elongation"]);
}

#[test]
fn a_number_that_is_shown_otherwise_than_it_is_kept_is_refused() {
    for (format, words) in [
        ("0.0,", "3200, which its format shows in thousands"),
        (
            "[<1]0%;0",
            "3200, which its format shows in per cent or not",
        ),
    ] {
        let bytes = elongation("Elongation", 3200.0, format);
        let rehearsal = rehearsed("x.xlsx", &bytes, &said());
        let error = &rehearsal.errors[0];
        assert_eq!(error.place(), "row 2, column G (Elongation)");
        assert!(error.message.contains(words), "{}", error.message);
    }
}

#[test]
fn a_length_or_a_count_in_per_cent_is_none() {
    let mut book = workbook();
    let per_cent = Format::new().set_num_format("0%");
    let sheet = book.worksheet_from_name("Gear").unwrap();
    sheet.write_with_format(3, 8, 0.6, &per_cent).unwrap();
    sheet.write_with_format(4, 5, 20.19, &per_cent).unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let rehearsal = rehearsed("gear.xlsx", &bytes, &said());
    let told: Vec<_> = rehearsal.errors.iter().map(|error| error.place()).collect();
    assert_eq!(
        told,
        ["row 4, column I (Length [m])", "row 5, column F (Made)"]
    );
}

/// The parts of a workbook, each changed by `change`, packed anew.
pub fn repacked(bytes: &[u8], change: impl Fn(&str, Vec<u8>) -> Vec<u8>) -> Vec<u8> {
    let mut old = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut new = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for at in 0..old.len() {
        let mut part = old.by_index(at).unwrap();
        let name = part.name().unwrap().into_owned();
        let mut content = Vec::new();
        std::io::Read::read_to_end(&mut part, &mut content).unwrap();
        new.start_file(name.as_str(), SimpleFileOptions::default())
            .unwrap();
        new.write_all(&change(&name, content)).unwrap();
    }
    new.finish().unwrap().into_inner()
}

#[test]
fn a_part_that_states_too_much_is_refused_before_it_is_read() {
    let bytes = workbook().save_to_buffer().unwrap();
    let forged = repacked(&bytes, |name, content| {
        if name != "xl/sharedStrings.xml" {
            return content;
        }
        let text = String::from_utf8(content).unwrap();
        let at = text.find("uniqueCount=\"").unwrap() + "uniqueCount=\"".len();
        format!("{}9999999{}", &text[..at], &text[at..]).into_bytes()
    });
    let failure = read_table("x.xlsx", &forged, None).unwrap_err();
    assert!(
        failure
            .to_string()
            .contains("states more texts than it has room for"),
        "{failure}"
    );
}

#[test]
fn a_cell_far_out_is_refused_and_does_not_fill_the_memory() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write(0, 0, "Mark").unwrap();
    sheet.write(1_048_575, 16_383, "far").unwrap();
    let failure = read_table("x.xlsx", &book.save_to_buffer().unwrap(), None).unwrap_err();
    assert!(
        failure
            .to_string()
            .contains("row 1048576 has a cell in column XFD"),
        "{failure}"
    );
}

#[test]
fn a_zip_bomb_is_refused_by_what_it_states_and_by_what_it_does() {
    let mut bomb = zip::ZipWriter::new(Cursor::new(Vec::new()));
    bomb.start_file("xl/workbook.xml", SimpleFileOptions::default())
        .unwrap();
    let zeros = vec![b' '; 1024 * 1024];
    for _ in 0..101 {
        bomb.write_all(&zeros).unwrap();
    }
    let mut bytes = bomb.finish().unwrap().into_inner();
    assert!(bytes.len() < 1024 * 1024);
    let failure = read_table("x.xlsx", &bytes, None).unwrap_err();
    assert_eq!(
        failure,
        ImportFailure::Bomb {
            given: "states 101.0 MB".to_owned()
        }
    );

    // The same with a directory that lies: 1 MB stated in both places.
    let stated = (101 * 1024 * 1024_u32).to_le_bytes();
    let lie = (1024 * 1024_u32).to_le_bytes();
    let places: Vec<usize> = bytes
        .windows(4)
        .enumerate()
        .filter(|(_, four)| *four == stated)
        .map(|(at, _)| at)
        .collect();
    assert!(!places.is_empty());
    for at in places {
        bytes[at..at + 4].copy_from_slice(&lie);
    }
    let failure = read_table("x.xlsx", &bytes, None).unwrap_err();
    assert!(
        failure.to_string().contains("cannot be unpacked"),
        "{failure}"
    );
}

#[test]
fn protected_older_and_other_workbooks_are_named_for_what_they_are() {
    let mut compound = vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];
    compound.extend([0; 64]);
    let older = read_table("x.xlsx", &compound, None).unwrap_err();
    assert!(
        matches!(older, ImportFailure::OtherWorkbook { .. }),
        "{older}"
    );
    compound.extend("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes));
    assert_eq!(
        read_table("x.xlsx", &compound, None).unwrap_err(),
        ImportFailure::Encrypted
    );

    let mut other = zip::ZipWriter::new(Cursor::new(Vec::new()));
    other
        .start_file("mimetype", SimpleFileOptions::default())
        .unwrap();
    other
        .write_all(b"application/vnd.oasis.opendocument.spreadsheet")
        .unwrap();
    let other = other.finish().unwrap().into_inner();
    let failure = read_table("x.xlsx", &other, None).unwrap_err();
    assert!(
        failure.to_string().contains("another kind of spreadsheet"),
        "{failure}"
    );
}
