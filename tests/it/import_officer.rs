//! Lists as three officers keep them who never saw the program: what each is asked, and what comes of it.

use ropeloft::import::{
    Answers, Field, LessThanDay, Question, Ranges, Rehearsal, Target, Unit, read_table, wanted,
};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

use crate::import_inventory::{rehearsed, said};

fn sentences(rehearsal: &Rehearsal) -> Vec<&str> {
    let remarks = rehearsal.remarks.iter();
    remarks.map(|one| one.sentence.as_str()).collect()
}

fn asked(rehearsal: &Rehearsal) -> Vec<String> {
    rehearsal.questions.iter().map(Question::sentence).collect()
}

fn heading(answers: &mut Answers, heading: &str, target: Target) {
    answers.headings.insert(heading.to_owned(), target);
}

const FIRE_BRIGADE: &str = "\
Height rescue group;;;;;;;;;;
Inventory as of 01.11.2026;;;;;;;;;;
;;;;;;;;;;
Inv. No.;Designation;Manufacturer;Type;Year of manufacture;Location;Vehicle;Standard;Diameter;Breaking load kN;Last inspection
HR-001;Low stretch rope 11 mm;Morgentau;Alpin 11;03/2021;Shelf 1;Truck 1;EN 1891 Form A;11,0;32,5;14.10.2026
HR-010;Steel carabiner, screw gate;Karst;Stahl O;2019;Box A;Truck 1;EN 362 B;;40,0;14.10.2026
HR-020;Double pulley;Karst;Zwilling;2018;Box B;Truck 1;EN 12278;8-13;36,0;14.10.2026
HR-040;Full body harness size L;Karst;Gurt 3;11/2019;Locker 4;Truck 1;EN 361, EN 813;;;14.10.2026
Total: 4 items;;;;;;;;;;
";

#[test]
fn a_fire_brigades_list_asks_for_its_columns_and_a_unit() {
    let first = rehearsed("list.csv", FIRE_BRIGADE.as_bytes(), &Answers::default());
    assert_eq!(first.headings.row, 4);
    assert_eq!(first.errors, []);
    let sentences_asked = asked(&first);
    assert_eq!(sentences_asked.len(), 6, "{sentences_asked:?}");
    for (at, begins) in [
        (0, "What is the column \"Designation\""),
        (1, "What is the column \"Type\""),
        (
            2,
            "What is the column \"Vehicle\" (G, 4 cells, such as \"Truck 1\")? \"Location\" is read as \"Store\" already.",
        ),
        (3, "In which unit are the numbers under \"Diameter\""),
        (
            4,
            "What holds for the 4 rows that say nothing about whether the gear may hold people",
        ),
        (
            5,
            "What holds for the 3 rows that say nothing about where the strengths were read",
        ),
    ] {
        assert!(
            sentences_asked[at].starts_with(begins),
            "{sentences_asked:?}"
        );
    }
    let mut answers = said();
    heading(&mut answers, "Type", Target::Field(Field::Model));
    heading(&mut answers, "Vehicle", Target::InNote);
    answers
        .units
        .insert("Diameter".to_owned(), Unit::from_words("mm").unwrap());
    let second = rehearsed("list.csv", FIRE_BRIGADE.as_bytes(), &answers);
    assert_eq!((asked(&second), second.errors.len()), (Vec::new(), 0));
    let total = "A title or a total is no item: row 9 left out, such as \"Total: 4 items\".";
    assert!(
        sentences(&second).contains(&total),
        "{:?}",
        sentences(&second)
    );
    assert_eq!((second.tally().come_in, second.tally().left_out), (4, 1));
    let plan = second.plan.unwrap();
    let named = |name: &str| {
        let mut models = plan.models.iter();
        &models.find(|model| model.draft.name == name).unwrap().draft
    };
    assert_eq!(named("Alpin 11").approvals[0].class, "A");
    assert_eq!(named("Alpin 11").ratings[0].value, "32.5 kN");
    assert_eq!(named("Stahl O").attributes["locking"], "screw");
    assert_eq!(named("Zwilling").approvals[0].rope_most, "13 mm");
    assert_eq!(named("Gurt 3").kind, "harness");
    assert_eq!(plan.items[0].draft.made, "2021-03");
    assert_eq!(plan.items[0].draft.note, "Vehicle: Truck 1");
}

/// A title over all columns, titles between the items, days that show only their month, a total with sums.
fn park() -> Vec<u8> {
    let mut book = Workbook::new();
    let month = Format::new().set_num_format("mmm yyyy");
    let day = Format::new().set_num_format("dd.mm.yyyy");
    let sheet = book.add_worksheet();
    let plain = Format::new();
    sheet
        .merge_range(0, 0, 0, 8, "Gear of the park", &plain)
        .unwrap();
    let headings = [
        "Tag",
        "Item",
        "Brand",
        "Model name",
        "Manufactured",
        "Bought",
        "Storage place",
        "MBS (kN)",
        "Last check",
    ];
    for (column, heading) in (0..).zip(headings) {
        sheet.write(2, column, heading).unwrap();
    }
    sheet.merge_range(3, 0, 3, 8, "ROPES", &plain).unwrap();
    for (row, kind, model) in [
        (4, "Rope 10.5 mm", "Ghyll"),
        (5, "Zip pulley", "Glide"),
        (6, "Swivel", "Turn"),
    ] {
        sheet.write(row, 0, format!("T{row}")).unwrap();
        sheet.write(row, 1, kind).unwrap();
        sheet.write(row, 2, "Calder").unwrap();
        sheet.write(row, 3, model).unwrap();
        for column in [4, 5] {
            let date = ExcelDateTime::from_ymd(2022, 2 + column, 1).unwrap();
            sheet
                .write_with_format(row, column.into(), &date, &month)
                .unwrap();
        }
        sheet.write(row, 6, "Hut").unwrap();
        sheet.write(row, 7, 27).unwrap();
        let date = ExcelDateTime::from_ymd(2026, 3, 14).unwrap();
        sheet.write_with_format(row, 8, &date, &day).unwrap();
    }
    sheet.write(7, 0, "Total").unwrap();
    sheet
        .write_formula(7, 1, Formula::new("=COUNTA(B5:B7)"))
        .unwrap();
    sheet
        .write_formula(7, 7, Formula::new("=SUM(H5:H7)"))
        .unwrap();
    book.save_to_buffer().unwrap()
}

#[test]
fn a_parks_workbook_asks_what_a_month_stands_for() {
    let bytes = park();
    let first = rehearsed("gear.xlsx", &bytes, &said());
    assert_eq!(first.errors, []);
    assert_eq!(
        asked(&first),
        ["\"2022-07\" (row 5, Bought; 3 cells such) is less than a day. What does it stand for?"]
    );
    assert_eq!((first.tally().wait, first.tally().left_out), (3, 2));
    let of = |less_than_day| {
        let answers = Answers {
            less_than_day: Some(less_than_day),
            ..said()
        };
        rehearsed("gear.xlsx", &bytes, &answers)
    };
    let taken = of(LessThanDay::First);
    let sentence = "Where \"Bought\" names only a month or a year, its first day is taken.";
    assert!(
        sentences(&taken).contains(&sentence),
        "{:?}",
        sentences(&taken)
    );
    let plan = taken.plan.unwrap();
    assert_eq!(plan.items.len(), 3);
    let item = &plan.items[0].draft;
    assert_eq!(
        (item.made.as_str(), item.bought_on.as_str()),
        ("2022-06", "2022-07-01")
    );
    let noted = of(LessThanDay::InNote).plan.unwrap();
    let item = &noted.items[0].draft;
    assert_eq!(
        (item.bought_on.as_str(), item.note.as_str()),
        ("", "Bought: 2022-07")
    );
}

const ACCESS_FIRM: &str = "\
ID range,Qty,Description,Manufacturer,Model,Serial,DOM,Kept at,Standard,MBS
R1-R12,12,Semi-static rope 10.5mm,Calder,Ghyll,A101-A112,Mar 2022,Stores,EN 1891 A,27kN
K001 - K040,40 pcs,Screwgate karabiner,Fellside,Oval,,2021,Stores,EN 362/B,25 kN
\"H1, H2, H5\",3,Work harness,Fellside,Seat,,2021,Stores,EN 361/EN 813,
S-1-2,1,Rigging plate,Fellside,Four,77,2020,Stores,,36kN
";

#[test]
fn a_row_that_stands_for_several_items_becomes_all_of_them() {
    let table = read_table("list.csv", ACCESS_FIRM.as_bytes(), None).unwrap();
    let looked_up = wanted(&table, &Answers::default()).unwrap();
    assert_eq!(looked_up.marks.len(), 56, "each of them may be taken");
    let rehearsal = rehearsed("list.csv", ACCESS_FIRM.as_bytes(), &said());
    assert_eq!((asked(&rehearsal), rehearsal.errors.len()), (Vec::new(), 0));
    let kept = "\"K001 - K040\" stands for 40 items, each with a mark of its own.";
    let remark = rehearsal
        .remarks
        .iter()
        .find(|one| one.sentence == kept)
        .unwrap();
    assert_eq!((remark.rows, remark.first_row), (1, 3));
    let plan = rehearsal.plan.unwrap();
    let marks: Vec<&str> = plan
        .items
        .iter()
        .map(|item| item.draft.mark.as_str())
        .collect();
    assert_eq!(marks.len(), 56);
    assert_eq!(
        (marks[0], marks[11], marks[12], marks[51]),
        ("R1", "R12", "K001", "K040")
    );
    assert_eq!(marks[52..], ["H1", "H2", "H5", "S-1-2"]);
    assert_eq!(plan.items[11].draft.serial, "A112");
    let mut models = plan.models.iter();
    assert!(models.any(|model| model.draft.name == "Oval" && model.items == 40));
}

#[test]
fn a_quantity_and_marks_that_do_not_agree_are_refused() {
    let text = "\
Tag,Qty,Kind,Make,Model,Serial,Place
A1-A4,3,helmet,F,D,,B
A9,5,helmet,F,D,,B
A20-A21,2,helmet,F,D,77,B
A30,some,helmet,F,D,,B
";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &said());
    let places: Vec<String> = rehearsal.errors.iter().map(|error| error.place()).collect();
    assert_eq!(
        places,
        [
            "row 2, column B (Qty)",
            "row 4, column F (Serial)",
            "row 5, column B (Qty)"
        ]
    );
    assert!(
        rehearsal.errors[0]
            .message
            .contains("\"A1-A4\" names 4 marks")
    );
    let asked = asked(&rehearsal);
    assert!(asked[0].starts_with("1 row has one mark"), "{asked:?}");
    assert!(rehearsal.plan.is_none());
}

#[test]
fn marks_with_a_dash_are_asked_about_where_no_column_counts() {
    let text = "Tag,Kind,Make,Model,Place\nA1-A4,helmet,F,D,B\n2019-07,helmet,F,D,B\n";
    let first = rehearsed("x.csv", text.as_bytes(), &said());
    assert_eq!(
        asked(&first),
        ["Is \"A1-A4\" (row 2; 1 row such) one mark, or does the row stand for 4 items?"]
    );
    assert_eq!(first.tally().wait, 1);
    let without = Answers {
        left_out: [2].into(),
        ..said()
    };
    let without = rehearsed("x.csv", text.as_bytes(), &without);
    assert_eq!((asked(&without), without.items()), (Vec::new(), 1));
    let items = |ranges| {
        let answers = Answers {
            ranges: Some(ranges),
            ..said()
        };
        rehearsed("x.csv", text.as_bytes(), &answers).items()
    };
    assert_eq!((items(Ranges::Several), items(Ranges::One)), (5, 2));
}

#[test]
fn the_same_heading_twice_is_told_apart_by_its_column() {
    let text = "Tag,Kind,Make,Model,Place,Note,note\n1,helmet,F,D,B,scratched,from 2019\n";
    let first = rehearsed("x.csv", text.as_bytes(), &said());
    assert_eq!(
        asked(&first),
        [
            "What is the column \"note (column G)\" (G, 1 cell, such as \"from 2019\")? \"Note\" is read as \"Note\" already. Say which field it is, keep it in the note, or leave it out."
        ]
    );
    let mut answers = said();
    heading(&mut answers, "note (column G)", Target::InNote);
    let plan = rehearsed("x.csv", text.as_bytes(), &answers).plan.unwrap();
    assert_eq!(
        plan.items[0].draft.note,
        "scratched\nnote (column G): from 2019"
    );
}

#[test]
fn nothing_is_asked_that_a_column_may_say_once_it_is_named() {
    let text = "Inventar,Art,Make,Model,Place\n1,rope,F,D,B\n2,rope,F,E,B\n";
    let first = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(first.errors, [], "one of the columns may hold the marks");
    let sentences_asked = asked(&first);
    let (columns, people) = sentences_asked.split_at(2);
    assert!(
        columns
            .iter()
            .all(|one| one.starts_with("What is the column")),
        "{sentences_asked:?}"
    );
    // What neither of them is likely to say is asked in the same go.
    assert_eq!(
        people,
        [
            "What holds for the 2 rows that say nothing about whether the gear may hold people (first: row 2)?"
        ]
    );
    let mut answers = Answers::default();
    heading(&mut answers, "Inventar", Target::Field(Field::Mark));
    heading(&mut answers, "Art", Target::LeaveOut);
    let second = asked(&rehearsed("x.csv", text.as_bytes(), &answers));
    assert_eq!(
        second,
        [
            "What holds for the 2 rows that say nothing about the kind of gear (first: row 2)?",
            "What holds for the 2 rows that say nothing about whether the gear may hold people (first: row 2)?",
        ]
    );
    heading(&mut answers, "Art", Target::Field(Field::Kind));
    let third = asked(&rehearsed("x.csv", text.as_bytes(), &answers));
    assert_eq!(third.len(), 1);
    assert!(
        third[0].contains("whether the gear may hold people"),
        "{third:?}"
    );
}
