//! Cells of strengths that say a second number, or one that is no strength: asked, and never taken at one of them.

use ropeloft::import::{Answers, Question, Rehearsal, Target};
use rust_xlsxwriter::{Format, Workbook};

use crate::import_inventory::{rehearsed, said};

/// A list of one thing with one cell under a heading.
fn list(kind: &str, heading: &str, cell: &str, answers: &Answers) -> Rehearsal {
    let text = format!("Mark;Type;Maker;Model;Made;{heading};Store\nC1;{kind};F;A;2021;{cell};B\n");
    rehearsed("x.csv", text.as_bytes(), answers)
}

/// The answers by which a column is one of figures, each with its words, in kN.
fn figures() -> Answers {
    let column = "Ratings".to_owned();
    let kilonewton = ropeloft::import::Unit::from_words("kN").unwrap();
    Answers {
        headings: [(column.clone(), Target::from_words("figures").unwrap())].into(),
        units: [(column, kilonewton)].into(),
        ..said()
    }
}

fn sentences(rehearsal: &Rehearsal) -> Vec<String> {
    rehearsal.questions.iter().map(Question::sentence).collect()
}

/// The strengths of the one model, each as its kind, its way and its value.
fn taken(rehearsal: Rehearsal, cell: &str) -> Vec<String> {
    let told = sentences(&rehearsal);
    let plan = rehearsal
        .plan
        .unwrap_or_else(|| panic!("{cell}: {told:?} {:?}", rehearsal.errors));
    let ratings = plan.models[0].draft.ratings.iter();
    let all = ratings.map(|one| format!("{} {} {}", one.kind, one.mode, one.value));
    all.collect()
}

/// What stands under a heading of strengths, and is not one strength.
const NOT_ONE: &[&str] = &[
    // Two numbers, of which nobody can tell which holds.
    "22 or 18",
    "22, now 18",
    "22 kN or 15 kN",
    "22 kN, derated to 15 kN",
    "22 (18 wet)",
    "22 to 18",
    "22 then 18",
    "22 bzw. 18",
    "25 kN (now 22 kN)",
    "36 kN was 22 kN",
    "12 or 6",
    "12 derated to 6 kN",
    "12 kN (6 kN people)",
    "12 kN new 6 kN",
    "12 loads 6 people",
    "22 kN / cam 4 kN",
    "WLL 6 persons 3 kN",
    "WLL 10 m 2 kN",
    "MBS/WLL 36/9",
    // Numbers of something else.
    "20 percent of 36 kN",
    "20 percent",
    "9 per cent",
    "10 zu 1",
    "5 times 4.4 kN",
    "5 fach",
    "4 sheaves 12 kN",
    "1/5 of 22 kN",
    "WLL = 1/5",
    "10:1 2.2 kN",
    "4.4 kN (5:1)",
    "9 :1",
    "20% of 36 kN",
    // Signs that say something else of the number.
    "20 %",
    "22?",
    "22*",
    "22 °C",
    "22°",
    "22 kN/m",
    "22 kN/leg",
    "<22",
    "≤22",
    "<12 kN",
    "22 ±2",
    "~22",
    ".22",
    "MBS .22",
];

#[test]
fn a_cell_that_is_not_one_strength_is_asked() {
    for (heading, in_words) in [
        ("WLL (kN)", "working limit"),
        ("MBS (kN)", "breaking strength"),
    ] {
        for (kind, cell) in NOT_ONE
            .iter()
            .flat_map(|cell| [("Pulley", cell), ("Carabiner", cell)])
        {
            let told = list(kind, heading, cell, &said());
            let asked = format!("\"{cell}\" cannot be read as {in_words}");
            assert!(
                sentences(&told).iter().any(|one| one.contains(&asked)) && told.plan.is_none(),
                "{kind} {heading} {cell}: {:?} {:?}",
                sentences(&told),
                told.errors
            );
        }
    }
}

/// What stands among figures, each with its words, and of which strength it is asked what it is.
const NO_FIGURE: &[(&str, &str)] = &[
    ("WLL (5:1) 4.4 kN", "working limit"),
    ("WLL 10:1 2.2 kN", "working limit"),
    ("WLL 20% of 36 kN", "working limit"),
    ("WLL 15° 8 kN", "working limit"),
    ("WLL 20 percent of 36 kN", "working limit"),
    ("WLL 20 pct of 36 kN", "working limit"),
    ("WLL 10 zu 1 2 kN", "working limit"),
    ("WLL 5 times 4.4 kN", "working limit"),
    ("WLL 5-fold 4.4 kN", "working limit"),
    ("WLL 24 h 5 kN", "working limit"),
    ("WLL 4 sheaves 12 kN", "working limit"),
    ("WLL 10 m 2 kN", "working limit"),
    ("WLL 12 now 6", "working limit"),
    ("WLL 12 kN now 6 kN", "working limit"),
    ("WLL = 1/5", "working limit"),
    ("WLL <12", "working limit"),
    ("WLL 9?", "working limit"),
    ("MBS 36 or 22", "breaking strength"),
    ("MBS 36 kN, now 22 kN", "breaking strength"),
    ("MBS 36 SF 10", "breaking strength"),
    ("becket 50 % of 36 kN", "breaking strength by its becket"),
    ("becket 18 or 9", "breaking strength by its becket"),
    ("becket 18 to 1", "breaking strength by its becket"),
    ("becket 25 years 18 kN", "breaking strength by its becket"),
    ("WLL .22", "working limit"),
];

#[test]
fn a_figure_with_another_number_beside_it_is_asked_and_what_is_answered_is_it() {
    for (cell, in_words) in NO_FIGURE {
        let rehearsal = list("Pulley", "Ratings", cell, &figures());
        let told = sentences(&rehearsal);
        let asked = format!("\"{cell}\" cannot be read as {in_words}");
        assert!(
            told.iter().any(|one| one.contains(&asked)),
            "{cell}: {told:?} {:?}",
            rehearsal.plan.map(|plan| plan.models)
        );
    }
    let answer = |cell: &str, key: &str, said: &str| {
        let mut answers = figures();
        let word = [(cell.to_owned(), said.to_owned())];
        answers.words.insert(key.to_owned(), word.into());
        taken(list("Pulley", "Ratings", cell, &answers), cell)
    };
    let becket = "breaking-strength-becket";
    assert_eq!(
        answer("becket 18 or 9", becket, "9 kN"),
        ["breaking becket 9 kN"]
    );
    assert_eq!(
        answer("WLL 12 now 6", "working-limit", "6"),
        ["working-limit axle 6 kN"]
    );
    assert_eq!(
        answer(
            "MBS 36 or 22",
            "breaking-strength",
            "MBS 22 kN, becket 9 kN"
        ),
        ["breaking axle 22 kN", "breaking becket 9 kN"]
    );
    let none: [&str; 0] = [];
    assert_eq!(answer("becket 18 or 9", becket, "in-note"), none);
}

#[test]
fn what_names_no_strength_stays_in_the_note() {
    let told = list("Pulley", "Ratings", "cam slips at 4 kN", &figures());
    let plan = told.plan.unwrap();
    assert!(plan.models[0].draft.ratings.is_empty());
    assert!(plan.items[0].draft.note.contains("cam slips at 4 kN"));
    let cell = "WLL 12 kN (6 kN for people)";
    let plan = list("Pulley", "Ratings", cell, &figures()).plan.unwrap();
    assert!(plan.models[0].draft.ratings.is_empty());
    assert!(plan.items[0].draft.note.contains(cell));
}

const MARKED: [&str; 3] = [
    "breaking major-axis 22 kN",
    "breaking gate-open 7 kN",
    "breaking minor-axis 7 kN",
];

/// What stands under a heading of a list of a kind, and what it is read as.
const ACCOUNTED_FOR: [(&str, &str, &str, &[&str]); 15] = [
    ("Carabiner", "MBS (kN)", "22/7/7", &MARKED),
    (
        "Carabiner",
        "MBS (kN)",
        "22 kN along, 7 kN across, 7 kN open",
        &MARKED,
    ),
    (
        "Carabiner",
        "MBS (kN)",
        "22 kN (2243 kgf)",
        &["breaking major-axis 22 kN"],
    ),
    (
        "Sling",
        "MBS (kN)",
        "22 kN / 4946 lbf",
        &["breaking straight 22 kN"],
    ),
    ("Sling", "MBS (kN)", "≥22", &["breaking straight 22 kN"]),
    ("Sling", "MBS (kN)", ">22 kN", &["breaking straight 22 kN"]),
    ("Sling", "MBS (kN)", "22 min", &["breaking straight 22 kN"]),
    (
        "Sling",
        "MBS (kN)",
        "22 kN 2 persons",
        &["breaking straight 22 kN"],
    ),
    (
        "Sling",
        "MBS (kN)",
        "22 kN for 2 persons",
        &["breaking straight 22 kN"],
    ),
    (
        "Rope",
        "MBS (kN)",
        "30 kN EN 1891 A",
        &["breaking straight 30 kN"],
    ),
    (
        "Rope",
        "MBS (kN)",
        "30, BS EN 1891",
        &["breaking straight 30 kN"],
    ),
    (
        "Pulley",
        "MBS (kN)",
        "36 kN, becket 18 kN",
        &["breaking axle 36 kN", "breaking becket 18 kN"],
    ),
    (
        "Pulley",
        "MBS (kN)",
        "MBS 36 kN / WLL 9 kN",
        &["breaking axle 36 kN", "working-limit axle 9 kN"],
    ),
    // Under a limit, a way of loading without more is a limit too.
    (
        "Pulley",
        "WLL (kN)",
        "12 kN, 6 kN with becket",
        &["working-limit axle 12 kN", "working-limit becket 6 kN"],
    ),
    (
        "Sling",
        "WLL (kg)",
        "2000 / choked 1600 / basket 4000",
        &[
            "working-limit straight 2000 kgf",
            "working-limit basket 4000 kgf",
            "working-limit choked 1600 kgf",
        ],
    ),
];

#[test]
fn every_number_that_is_accounted_for_is_taken() {
    for (kind, heading, cell, read) in ACCOUNTED_FOR {
        let mut told = taken(list(kind, heading, cell, &said()), cell);
        told.sort();
        let mut read = read.to_vec();
        read.sort_unstable();
        assert_eq!(told, read, "{kind} {cell}");
    }
}

#[test]
fn the_numbers_of_a_marking_fall_and_stand_apart() {
    for cell in ["7/22/7", "22 kN 1 of 3", "10:1 2.2"] {
        let told = sentences(&list("Carabiner", "MBS (kN)", cell, &said()));
        assert!(
            told.iter().any(|one| one.contains("cannot be read")),
            "{cell}: {told:?}"
        );
    }
}

#[test]
fn a_unit_that_only_the_format_shows_is_read() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let headings = [
        "Mark", "Kind", "Maker", "Model", "Store", "Made", "MBS", "Length",
    ];
    for (column, heading) in (0..).zip(headings) {
        sheet.write(0, column, heading).unwrap();
    }
    let metres = Format::new().set_num_format("0.00\" m\"");
    for (row, number, format) in [(1, 22.5, "0.0 \"kN\""), (2, 5000.0, "#,##0\" lbf\"")] {
        let (mark, model) = (format!("S{row}"), format!("M{row}"));
        for (column, text) in (0..).zip([&*mark, "Sling", "F", &*model, "B", "2021"]) {
            sheet.write(row, column, text).unwrap();
        }
        let format = Format::new().set_num_format(format);
        sheet.write_with_format(row, 6, number, &format).unwrap();
        sheet.write_with_format(row, 7, 1.2, &metres).unwrap();
    }
    let bytes = book.save_to_buffer().unwrap();
    let rehearsal = rehearsed("x.xlsx", &bytes, &said());
    assert_eq!(
        (&rehearsal.questions, &rehearsal.errors),
        (&vec![], &vec![])
    );
    let plan = rehearsal.plan.unwrap();
    let models = plan.models.iter();
    let mut strengths: Vec<&str> = models
        .map(|model| model.draft.ratings[0].value.as_str())
        .collect();
    strengths.sort_unstable();
    assert_eq!(strengths, ["22.5 kN", "5000 lbf"]);
    assert_eq!(plan.items[0].draft.attributes["length"], "1.2 m");
}
