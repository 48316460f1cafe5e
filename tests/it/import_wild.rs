//! Whatever the bytes are, an import answers with a value or an error; it does not fall over.

use proptest::prelude::*;
use ropeloft::import::{
    Answers, DateOrder, DecimalMark, Known, LessThanDay, Ranges, Unit, read_table, rehearse,
};
use time::macros::date;

use crate::import_workbook::{repacked, workbook};

/// Reads and rehearses; what comes out is not looked at, but that something does.
fn any_file(name: &str, bytes: &[u8]) {
    let Ok(table) = read_table(name, bytes, None) else {
        return;
    };
    for answers in [
        Answers::default(),
        Answers {
            dates: Some(DateOrder::DayFirst),
            decimal: Some(DecimalMark::Comma),
            less_than_day: Some(LessThanDay::First),
            ranges: Some(Ranges::Several),
            units: [("rope range".to_owned(), Unit::from_words("mm").unwrap())].into(),
            ..Answers::default()
        },
    ] {
        if let Ok(rehearsal) = rehearse(&table, &answers, &Known::default(), date!(2026 - 11 - 25))
        {
            assert!(!rehearsal.sentence().is_empty());
            for question in &rehearsal.questions {
                assert!(question.sentence().ends_with(['?', '.']), "{question:?}");
            }
            assert_eq!(rehearsal.is_ready(), rehearsal.plan.is_some());
            let rows = rehearsal.tally();
            if rehearsal.is_ready() {
                assert_eq!((rows.wait, rows.refused), (0, 0), "no row is passed over");
            }
            assert!(rows.wait == 0 || rehearsal.questions.len() + rehearsal.errors.len() > 0);
            assert!(rows.refused == 0 || !rehearsal.errors.is_empty());
        }
    }
}

const HEADINGS: &str = "mark,kind,maker,model,store,made,bought,length,MBS kN,rope range,standard,rated load,efficiency,state,verdict,life support,last examined,next due,note,qty\n";

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        any_file("x.csv", &bytes);
        any_file("x.xlsx", &bytes);
        any_file("x", &bytes);
    }

    #[test]
    fn any_text_below_known_headings(text in "([a-z0-9 .,/:\"'\n;%&+-]|[äØ→\u{a0}½€]){0,400}") {
        any_file("x.csv", format!("{HEADINGS}{text}").as_bytes());
    }

    #[test]
    fn any_cells_below_known_headings(cells in prop::collection::vec("\\PC{0,12}|(max |min |to |≤)?[0-9]{1,4}[./,-][0-9]{1,4}([./,-][0-9]{1,4})?( kN| mm| kg)?|rope|pulley|yes|retired", 20..60)) {
        let quoted: Vec<String> = cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
        let rows: Vec<String> = quoted.chunks(20).map(|row| row.join(",")).collect();
        any_file("x.csv", format!("{HEADINGS}{}", rows.join("\n")).as_bytes());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn a_workbook_with_bytes_changed(at in any::<prop::sample::Index>(), byte in any::<u8>(), cut in any::<prop::sample::Index>()) {
        let bytes = workbook().save_to_buffer().unwrap();
        let mut changed = bytes.clone();
        let place = at.index(changed.len());
        changed[place] = byte;
        any_file("x.xlsx", &changed);
        any_file("x.xlsx", &bytes[..cut.index(bytes.len())]);
    }

    #[test]
    fn a_workbook_whose_parts_are_changed(at in any::<prop::sample::Index>(), text in "[a-zA-Z0-9<>/=\"' ]{0,12}", part in 0_usize..12) {
        let bytes = workbook().save_to_buffer().unwrap();
        let count = std::cell::Cell::new(0);
        let changed = repacked(&bytes, |_, mut content| {
            count.set(count.get() + 1);
            if count.get() == part + 1 {
                let from = at.index(content.len());
                let to = content.len().min(from + text.len() / 2);
                content.splice(from..to, text.bytes());
            }
            content
        });
        any_file("x.xlsx", &changed);
    }
}
