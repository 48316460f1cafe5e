//! Inventories of several styles, as teams keep them: other headings, units, orders and encodings each.

use ropeloft::domain::{Kind, Value};
use ropeloft::import::{
    Answers, DateOrder, Known, ModelRef, Plan, Question, Rehearsal, Target, read_table, rehearse,
};
use time::macros::date;

use crate::item_given::OUTSIDE;

/// Rehearses a file against an empty register on 25 November 2026.
pub fn rehearsed(name: &str, bytes: &[u8], answers: &Answers) -> Rehearsal {
    let table = read_table(name, bytes, answers.sheet.as_deref()).unwrap();
    rehearse(&table, answers, &Known::default(), date!(2026 - 11 - 25)).unwrap()
}

/// What holds for gear of which the list does not say it.
pub fn said() -> Answers {
    let mut answers = Answers::default();
    answers
        .silent
        .insert("life-support".to_owned(), "yes".to_owned());
    answers
        .silent
        .insert("strength-source".to_owned(), "paper".to_owned());
    answers
        .silent
        .insert("examiner".to_owned(), OUTSIDE.to_owned());
    answers
}

fn plan(rehearsal: Rehearsal) -> Plan {
    assert_eq!(rehearsal.questions, []);
    assert_eq!(rehearsal.errors, []);
    rehearsal.plan.unwrap()
}

#[test]
fn a_list_between_commas_with_units_in_its_headings() {
    let text = "\
Tag No,Type,Manufacturer,Model,Serial number,Batch,Date of manufacture,In service since,Location,Dia (mm),Length (m),MBS (kN),Last inspection,Next inspection,Status,Remarks
R-01,Rope,Calder Lines,Ghyll 11,CL-7781,B-204,2021-03-15,2021-05-01,Van 2,11,60,32,14/05/2026,14/11/2026,In service,blue fleck
R-02,rope,Calder Lines,ghyll  11,CL-7782,B-204,2021-03,22/05/2021,Van 2,11.0,48.5,32.0,14/05/2026,,In service,
K-11,Carabiners,Fellside,Oval Screw,,77,2019,,Van 1,,,24,,,Quarantine,gate sticks
";
    let plan = plan(rehearsed("gear list.csv", text.as_bytes(), &said()));
    assert_eq!(plan.models.len(), 2);
    assert_eq!(plan.stores.len(), 2);
    assert_eq!(plan.items.len(), 3);
    let second = &plan.items[1];
    assert_eq!(second.row, 3);
    assert_eq!(second.draft.made, "2021-03");
    assert_eq!(second.draft.first_used_on, "2021-05-22");
    assert_eq!(second.draft.attributes["length"], "48.5 m");
    let rope = plan
        .models
        .iter()
        .find(|model| model.draft.kind == "rope")
        .unwrap();
    assert_eq!(rope.items, 2);
    assert_eq!(rope.draft.attributes["diameter"], "11 mm");
    assert_eq!(rope.draft.ratings[0].value, "32 kN");
    assert_eq!(rope.draft.ratings[0].mode, "straight");
    let first = plan.items[0].examination.as_ref().unwrap();
    assert_eq!(
        (first.on.as_str(), first.next_due_on.as_str()),
        ("2026-05-14", "2026-11-14")
    );
    assert_eq!(
        (first.kind.as_str(), first.verdict.as_str()),
        ("periodic", "fit")
    );
    assert!(
        first
            .findings
            .starts_with("Taken over from the imported list.")
    );
    let held = &plan.items[2];
    assert_eq!(held.draft.made, "2019");
    assert!(held.examination.is_none());
    assert_eq!(held.step.as_ref().unwrap().step.key(), "quarantine");
    assert_eq!(
        held.step.as_ref().unwrap().reason,
        "The imported list says: Quarantine"
    );
}

#[test]
fn a_list_between_semicolons_in_the_old_encoding_with_commas_in_numbers() {
    let text = "\
Ausr\u{fc}stung der H\u{f6}hlenrettung;;;;;;;;;\r
;;;;;;;;;\r
ID;Kind;Maker;Product;Made;First used;Place;Rope \u{f8} min;Rope \u{f8} max;Breaking strength kN;Efficiency\r
P/1;Double pulley;Bergm\u{fc}ller;Zwilling 60;01/2018;3.4.2018;Lager S\u{fc}d;8 mm;13 mm;36,5;0,92\r
P/2;Double pulley;Bergm\u{fc}ller;Zwilling 60;01/2018;28.4.2018;Lager S\u{fc}d;8 mm;13 mm;36,5;0,92\r
";
    let bytes: Vec<u8> = text
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    let rehearsal = rehearsed("liste.csv", &bytes, &said());
    assert_eq!(rehearsal.read_as, "Windows-1252, cells between semicolons");
    assert_eq!(rehearsal.headings.row, 3);
    let sentences: Vec<_> = rehearsal
        .remarks
        .iter()
        .map(|remark| remark.sentence.as_str())
        .collect();
    assert!(
        sentences.contains(&"\"Double pulley\" is read as the kind pulley."),
        "{sentences:?}"
    );
    let plan = plan(rehearsal);
    assert_eq!(plan.stores[0].name, "Lager S\u{fc}d");
    let model = &plan.models[0].draft;
    assert_eq!(model.maker, "Bergm\u{fc}ller");
    assert_eq!(model.ratings[0].value, "36.5 kN");
    assert_eq!(model.attributes["efficiency"], "0.92");
    // No standard is named, so the rope range has no approval to stand in; it is not lost.
    assert_eq!(model.note, "Thinnest rope: 8 mm\nThickest rope: 13 mm");
    assert_eq!(plan.items[0].draft.made, "2018-01");
    assert_eq!(plan.items[0].draft.first_used_on, "2018-04-03");
}

#[test]
fn a_list_between_tabs_in_pounds_and_inches_with_the_month_first() {
    let text = "\
Asset ID\tCategory\tMake\tModel Number\tDOM\tIn service date (mm/dd/yyyy)\tStation\tDiameter\tMBS lbf\tGate open strength (lbf)\tMinor axis\tLength in ft\tStandard\tClass
E-7\tStatic rope\tTwin Forks Cordage\tTF-716\t2020\t03/04/2020\tEngine 7\t7/16 in\t\"6,875\"\t\t\t200\tNFPA 2500\tG
C-9\tCarabiner, steel\tTwin Forks Cordage\tAuto 70\tMar 2020\t03/04/2020\tEngine 7\t\t\"15,500\"\t\"5,000\"\t\"5,500 lbf\"\t\tNFPA 2500\tG
";
    let mut answers = said();
    let asked = rehearsed("gear.tsv", text.as_bytes(), &answers);
    assert!(
        matches!(asked.questions.as_slice(), [Question::DecimalMark { .. }]),
        "{:?}",
        asked.questions
    );
    assert!(asked.plan.is_none());
    answers.decimal = ropeloft::import::DecimalMark::from_key("point");
    let plan = plan(rehearsed("gear.tsv", text.as_bytes(), &answers));
    let rope = &plan
        .models
        .iter()
        .find(|model| model.draft.kind == "rope")
        .unwrap()
        .draft;
    assert_eq!(rope.attributes["diameter"], "0.4375 in");
    assert_eq!(rope.ratings[0].value, "6875 lbf");
    assert_eq!(rope.approvals[0].standard, "NFPA 2500");
    assert_eq!(rope.approvals[0].class, "G");
    let connector = &plan
        .models
        .iter()
        .find(|model| model.draft.kind == "connector")
        .unwrap()
        .draft;
    let mut ratings: Vec<_> = connector
        .ratings
        .iter()
        .map(|r| (r.mode.as_str(), r.value.as_str()))
        .collect();
    ratings.sort_unstable();
    assert_eq!(
        ratings,
        [
            ("gate-open", "5000 lbf"),
            ("major-axis", "15500 lbf"),
            ("minor-axis", "5500 lbf")
        ]
    );
    assert_eq!(plan.items[0].draft.first_used_on, "2020-03-04");
    assert_eq!(plan.items[0].draft.attributes["length"], "200 ft");
    assert_eq!(plan.items[1].draft.made, "2020-03");
}

#[test]
fn rows_of_one_model_share_it_and_the_checked_record_holds_what_was_said() {
    let text = "\
id,kind,make,model,store,standard,rope range,rated load,becket MBS,MBS,sheaves,becket,life support
1,pulley,Fellside,Twin,Bay,EN 12278:2007,8-13 mm,280 kg,22 kN,36 kN,2,yes,yes
2,pulley,Fellside,Twin,Bay,,,,,,,,
3,Rope clamp,Fellside,Grip,Bay,\"EN 567, EN 12841 type B\",10 to 12.7 mm,140 kg,,,,,yes
";
    let mut answers = Answers::default();
    answers
        .silent
        .insert("strength-source".to_owned(), "marking".to_owned());
    let plan = plan(rehearsed("x.csv", text.as_bytes(), &answers));
    assert_eq!(plan.items[0].model, plan.items[1].model);
    let id = ropeloft::domain::ModelId(uuid::Uuid::nil());
    let ModelRef::New(at) = plan.items[0].model else {
        panic!("the register was empty")
    };
    let model = plan.models[at].draft.check(id, 1).unwrap();
    assert_eq!(model.kind, Kind::Pulley);
    assert_eq!(model.attributes.0["sheaves"], Value::Count(2));
    let range = model.approvals[0].rope_range.unwrap();
    assert_eq!(range.to_string(), "8 mm to 13 mm");
    assert_eq!(model.approvals[0].edition.as_deref(), Some("2007"));
    assert_eq!(model.approvals[0].rated_load.unwrap().to_string(), "280 kg");
    assert_eq!(model.ratings.len(), 2);
    let ModelRef::New(at) = plan.items[2].model else {
        panic!("the register was empty")
    };
    let clamp = plan.models[at].draft.check(id, 1).unwrap();
    let titles: Vec<_> = clamp
        .approvals
        .iter()
        .map(ropeloft::domain::Approval::title)
        .collect();
    assert_eq!(titles, ["EN 567", "EN 12841 class B"]);
    let loads = [0, 1].map(|at| clamp.approvals[at].rated_load.map(|load| load.to_string()));
    assert_eq!(loads, [None, Some("140 kg".to_owned())]);
    assert_eq!(
        clamp.approvals[1]
            .rope_range
            .unwrap()
            .most
            .unwrap()
            .to_string(),
        "12.7 mm"
    );
}

#[test]
fn what_a_list_tells_of_the_past_becomes_examinations_and_steps() {
    let text = "\
mark,kind,maker,model,store,life support,last examined,verdict,state,reason
1,harness,Fellside,Sit,Bay,yes,2026-01-10,pass,in use,
2,harness,Fellside,Sit,Bay,yes,2026-01-10,,scrapped,seam cut
3,harness,Fellside,Sit,Bay,yes,2026-01-10,pass,lost,
4,harness,Fellside,Sit,Bay,yes,,,retired,too old
5,harness,Fellside,Sit,Bay,yes,2026-01-10,fail,,
6,harness,Fellside,Sit,Bay,yes,,,,
";
    let asks = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let asks: Vec<String> = asks.questions.iter().map(|one| one.sentence()).collect();
    assert_eq!(
        asks,
        [
            "What holds for the 1 row that says nothing about the state that the item is in, though others do (first: row 7)?"
        ]
    );
    let mut answers = Answers::default();
    answers
        .silent
        .insert("state".to_owned(), "in-service".to_owned());
    let plan = plan(rehearsed("x.csv", text.as_bytes(), &answers));
    let told: Vec<_> = plan
        .items
        .iter()
        .map(|item| {
            let verdict = item
                .examination
                .as_ref()
                .map(|examination| examination.verdict.as_str());
            (verdict, item.step.as_ref().map(|step| step.step.key()))
        })
        .collect();
    assert_eq!(
        told,
        [
            (Some("fit"), None),
            (None, Some("retire")),
            (Some("fit"), Some("report-missing")),
            (None, Some("retire")),
            (Some("quarantine"), None),
            (None, None),
        ]
    );
    let why = &plan.items[3].step.as_ref().unwrap().reason;
    assert_eq!(why, "too old (the imported list says: retired)");
    let scrapped = &plan.items[1];
    assert_eq!(
        scrapped.draft.note,
        "Last inspected 2026-01-10, says the list. It names no result of that inspection."
    );
    let why = &scrapped.step.as_ref().unwrap().reason;
    assert_eq!(why, "seam cut (the imported list says: scrapped)");
}

#[test]
fn what_is_not_known_stays_so_and_what_has_no_field_is_kept_in_the_note() {
    let text = "\
mark,kind,maker,model,store,life support,made,serial,diameter,colour,notes
1,helmet,Fellside,Dome,Bay,yes,unknown,n/a,52 mm,red,scratched
";
    let mut answers = Answers::default();
    answers.headings.insert("Colour".to_owned(), Target::InNote);
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert!(
        rehearsal
            .remarks
            .iter()
            .any(|remark| remark.sentence.contains("of a helmet here"))
    );
    let plan = plan(rehearsal);
    let item = &plan.items[0].draft;
    assert_eq!(
        (
            item.made.as_str(),
            item.serial.as_str(),
            item.markings_readable.as_str()
        ),
        ("", "", "")
    );
    assert_eq!(item.note, "scratched\ndiameter: 52 mm\ncolour: red");
}

#[test]
fn the_order_of_days_is_asked_once_and_holds_for_the_whole_file() {
    let text = "\
mark,kind,maker,model,store,life support,made,bought
1,helmet,Fellside,Dome,Bay,yes,04/05/2020,06/07/2020
2,helmet,Fellside,Dome,Bay,yes,05/05/2020,13/07/2020
";
    let asked = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let [question] = asked.questions.as_slice() else {
        panic!("{:?}", asked.questions)
    };
    assert_eq!(
        question.sentence(),
        "Is \"04/05/2020\" (row 2, made) written with the day first or with the month first?"
    );
    let answers = Answers {
        dates: Some(DateOrder::MonthFirst),
        ..Answers::default()
    };
    let wrong = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(wrong.errors[0].place(), "row 3, column H (bought)");
    let answers = Answers {
        dates: Some(DateOrder::DayFirst),
        ..Answers::default()
    };
    let plan = plan(rehearsed("x.csv", text.as_bytes(), &answers));
    assert_eq!(plan.items[0].draft.made, "2020-05-04");
}
