//! What positions of rigs ask of the models of a list is foretold by the rules by which a kit is proposed, and can be said.

use std::collections::BTreeSet;

use axum::http::{Method, StatusCode};
use ropeloft::{
    deed::import::{ImportFile, look, take},
    import::{Answers, Foretold, Offer, ReadIn, Restricted, Seen, SeenOf},
    rigging::shipped,
};
use serde_json::json;

use crate::{
    import_inventory::{rehearsed, said},
    job_given::planned,
    world::World,
};

/// Gear of which every job takes each thing, and of which no record says which ropes a device takes.
const LIST: &str = "\
Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Length (m),Diameter (mm),Rope kind,Standard,Rated load,Sheaves,Efficiency,Last examined
R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021,32,100,11,low-stretch,EN 1891 type A,,,,2025-12-01
P-1,Pulley,Fellside,Twin,T1,Van 2,2022,36,,,,EN 12278,,2,0.92,2025-12-01
P-2,Pulley,Fellside,Twin,T2,Van 2,2022,36,,,,EN 12278,,2,0.92,2025-12-01
G-1,Rope clamp,Fellside,Grab,T3,Van 2,2022,20,,,,EN 567,,,,2025-12-01
G-2,Rope clamp,Fellside,Grab,T4,Van 2,2022,20,,,,EN 567,,,,2025-12-01
D-1,Descender,Fellside,Lower,T5,Van 2,2022,20,,,,EN 341,200 kg,,,2025-12-01
";

fn file(answers: Answers) -> ImportFile {
    ImportFile {
        answers,
        ..ImportFile::new("gear.csv", LIST.as_bytes().to_vec())
    }
}

/// With the markings seen, so that nothing stands against the items on every job.
fn seen() -> Answers {
    let mut answers = said();
    let one = Seen {
        by: "Ada Brook".to_owned(),
        on: "2026-02-20".to_owned(),
        ..Seen::default()
    };
    answers.seen.insert(SeenOf::MarkingsUnknown, one);
    answers
}

fn say(answers: &mut Answers, title: &str, key: &str, value: &str) {
    let fields = answers.models.entry(title.to_owned()).or_default();
    fields.insert(key.to_owned(), value.to_owned());
    let read = answers.sources.entry(title.to_owned()).or_default();
    read.insert(key.to_owned(), ReadIn::Marking);
}

/// Code and model of everything that positions ask.
fn asked(told: &Foretold) -> BTreeSet<(&'static str, String)> {
    let mut asked = BTreeSet::new();
    for reason in &told.at_positions {
        let Offer::Models(models) = &reason.offer else {
            panic!("{reason:?}");
        };
        asked.extend(models.iter().map(|one| (reason.code, one.title.clone())));
    }
    asked
}

/// What the proposals for all shipped rigs say is not on the record of the things that almost would do.
async fn lacking(world: &World) -> BTreeSet<String> {
    let officer = world.visitor(&world.officer).await;
    let mut lacking = BTreeSet::new();
    for rig in shipped() {
        let job = planned(
            &officer,
            json!({"rig": rig.key(), "load": "1 person", "throw": "3 m", "between_anchors": "4 m"}),
        )
        .await;
        let proposal = officer.get(&format!("/api/v1/jobs/{job}/proposal")).await;
        assert_eq!(proposal.status, StatusCode::OK, "{}", proposal.text);
        let proposal = proposal.json();
        for missing in proposal["missing"].as_array().unwrap() {
            let nearest = missing["nearest"].as_array().unwrap().iter();
            let refusals = nearest.flat_map(|one| one["refusals"].as_array().unwrap());
            let lacks = refusals.filter_map(|refusal| refusal["lacks"].as_str());
            lacking.extend(lacks.map(str::to_owned));
        }
    }
    lacking
}

on_both_databases! {
    async fn what_the_kit_refuses_for_the_model_at_some_position_is_foretold(world) {
        world.hold_competent().await;
        let list = "Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Standard,Rated load,Sheaves,Efficiency,Capture,Becket,Rope range,Last examined\n\
            B-1,Back-up device,Fellside,Follow,S1,Van 2,2022,15,EN 12841 type A,120 kg,,,,,10-12 mm,2025-12-01\n\
            P-1,Pulley,Fellside,Hold,S2,Van 2,2022,36,EN 12278,,1,0.92,yes,no,8-13 mm,2025-12-01\n";
        let file = |answers: Answers| ImportFile {
            answers,
            ..ImportFile::new("gear.csv", list.as_bytes().to_vec())
        };
        let desk = world.desk();
        let told = look(&desk, &world.officer, &file(seen())).await.unwrap().foretold.unwrap();
        let asked = asked(&told);
        for (code, title) in [("belays-unknown", "Fellside Follow"), ("not-approved", "Fellside Hold")] {
            assert!(asked.contains(&(code, title.to_owned())), "{code}: {asked:?}");
        }
        let (sentence, _) = told.clear();
        assert!(!sentence.contains("nothing is missing"), "{sentence}");
        let mut answers = seen();
        say(&mut answers, "Fellside Follow", "attribute-belays", "yes");
        say(&mut answers, "Fellside Hold", "standard", "EN 567");
        let told = look(&desk, &world.officer, &file(answers)).await.unwrap().foretold.unwrap();
        let left = told.at_positions.iter().map(|reason| reason.code);
        let left: Vec<&str> = left.filter(|code| ["belays-unknown", "not-approved"].contains(code)).collect();
        assert_eq!(left, [""; 0]);
    }

    async fn what_a_proposal_would_lack_is_foretold_and_nothing_is_left_once_it_is_said(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let told = look(&desk, &world.officer, &file(seen())).await.unwrap().foretold.unwrap();
        assert!(told.reasons.is_empty(), "{:?}", told.reasons);
        // What papers state beside may stay open: neither ends nor limits are on record.
        let papers: Vec<&str> = told.papers.iter().map(|one| one.code).collect();
        assert_eq!(papers, ["paper-limit", "paper-ends"]);
        let expected = [
            // Whether it captures matters for nothing: without an approval for it no position takes it so.
            ("becket-unknown", "Fellside Twin"),
            ("rope-range", "Fellside Grab"), ("rope-range", "Fellside Lower"), ("rope-range", "Fellside Twin"),
        ];
        assert_eq!(asked(&told), expected.map(|(code, title)| (code, title.to_owned())).into());
        let (sentence, why) = told.clear();
        assert_eq!(sentence, "No job refuses any of the 6 items whatever it is, but some positions of rigs ask more of 5 items than is written down.");
        assert!(why.contains("Not looked at:"), "{why}");
        let mut answers = seen();
        for title in ["Fellside Twin", "Fellside Grab", "Fellside Lower"] {
            say(&mut answers, title, "rope-range", "8-13");
        }
        say(&mut answers, "Fellside Twin", "attribute-becket", "yes");
        say(&mut answers, "Fellside Twin", "attribute-capture", "no");
        let told = look(&desk, &world.officer, &file(answers.clone())).await.unwrap().foretold.unwrap();
        assert_eq!(asked(&told), [("becket-strength", "Fellside Twin".to_owned())].into());
        say(&mut answers, "Fellside Twin", "breaking-strength-becket", "20 kN");
        let told = look(&desk, &world.officer, &file(answers.clone())).await.unwrap().foretold.unwrap();
        assert_eq!(asked(&told), BTreeSet::new());
        assert!(told.clear().0.starts_with("Nothing stands against any of the 6 items:"), "{}", told.clear().0);
        take(&desk, &world.officer, &file(answers)).await.unwrap();
        // What its maker's papers rarely say is asked where a descender is to hold a belay, not of every one.
        assert_eq!(lacking(&world).await, BTreeSet::from(["whether its maker lets it belay somebody else".to_owned()]));
        let mut tx = world.database.read(world.team).await.unwrap();
        let grab = tx.item_marked("G-1").await.unwrap().unwrap().model;
        let grab = tx.model(grab).await.unwrap().unwrap();
        assert_eq!(grab.approvals[0].rope_range.unwrap().to_string(), "8 mm to 13 mm");
        assert!(grab.note.contains("Thinnest rope: read on the gear itself: its marking was seen"), "{}", grab.note);
    }

    async fn what_was_foretold_is_what_a_proposal_lacks_where_nobody_said_it(world) {
        world.hold_competent().await;
        let desk = world.desk();
        take(&desk, &world.officer, &file(seen())).await.unwrap();
        let lacking = lacking(&world).await;
        for what in ["diameters of rope that it takes", "whether it has a becket"] {
            assert!(lacking.contains(what), "{what}: {lacking:?}");
        }
    }

    async fn what_keeps_most_positions_open_is_asked_first_and_the_rest_is_folded(world) {
        world.hold_competent().await;
        let desk = world.desk();
        // A second clamp of which the range is known goes where the first one would.
        let list = format!("{LIST}G-3,Rope clamp,Fellside,Catch,T6,Van 2,2022,20,,,,EN 567,,,,2025-12-01\n");
        let mut answers = seen();
        say(&mut answers, "Fellside Catch", "rope-range", "8-13");
        let file = ImportFile { answers, ..ImportFile::new("gear.csv", list.clone().into_bytes()) };
        let told = look(&desk, &world.officer, &file).await.unwrap().foretold.unwrap();
        let opens = |code: &str, title: &str| {
            let mut reasons = told.at_positions.iter().filter(|reason| reason.code == code);
            let Offer::Models(models) = &reasons.next().unwrap().offer else { panic!("{code}") };
            models.iter().find(|one| one.title == title).unwrap().opens
        };
        assert_eq!(opens("rope-range", "Fellside Grab"), 0);
        // The two brakes of the twin tension; at the belays its maker's word is missing too.
        assert_eq!(opens("rope-range", "Fellside Lower"), 2);
        assert!(opens("rope-range", "Fellside Twin") > 2);
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), list.as_bytes())]).await.location().to_owned();
        let said = [
            ("silent-life-support", "yes"), ("silent-strength-source", "paper"), ("silent-examiner", crate::item_given::OUTSIDE),
            ("source", "paper"), ("given-0", "8-13 mm"), ("model-0", "Fellside Catch"), ("of-0", "rope-range"), ("by-0", "source"),
        ];
        officer.post(&page, &said).await;
        let text = officer.get(&page).await.text;
        let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words}\n{text}"));
        let order = ["These first", "pulley Fellside Twin (2 items): Thinnest", "descender Fellside Lower (1 item): Thinnest",
            "What else jobs and single positions of rigs ask (", "rope clamp Fellside Grab (2 items): Thinnest"];
        let order = order.map(at);
        assert!(order.is_sorted(), "{order:?}\n{text}");
    }

    async fn the_page_asks_it_and_holds_nothing_up(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let all = [("silent-life-support", "yes"), ("silent-strength-source", "paper"), ("silent-examiner", crate::item_given::OUTSIDE)];
        officer.post(&page, &all).await;
        let text = officer.get(&page).await.text;
        for words in [
            "These first",
            "rigs of the program stay empty that nothing else of this list fills.",
            "Which diameters of rope they take is not written down.",
            "rope clamp Fellside Grab (2 items): Thinnest and thickest rope",
            "Take in 6 items",
        ] {
            assert!(text.contains(words), "{words}\n{text}");
        }
        let wrong = [&all[..], &[("source", "paper"), ("given-0", "thin"), ("model-0", "Fellside Grab"), ("of-0", "rope-range"), ("by-0", "source")]].concat();
        officer.post(&page, &wrong).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("Write the thinnest and the thickest rope, such as 8-13 mm, or the one that is known, such as up to 13 mm; &#34;thin&#34; cannot be read so."), "{text}");
        assert!(text.contains("Take in 6 items"), "{text}");
        let path = format!("/api/v1/imports/{}/answers", page.rsplit('/').next().unwrap());
        let mut answers = json!({"silent": {"life-support": "yes", "strength-source": "paper"}, "source": "paper"});
        answers["models"] = json!({"Fellside Grab": {"rope-range": "13-8 mm"}});
        let refused = officer.json(Method::PUT, &path, &answers).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text.contains("models[Fellside Grab][rope-range]"), "{}", refused.text);
    }
}

#[test]
fn a_range_in_words_is_read_where_no_column_says_it() {
    let list = |remark: &str| {
        format!(
            "Tag,Type,Maker,Model,Store,Standard,Diameter (mm),Remarks\nD-1,Descender,Fellside,Lower,Van,EN 341,,\"{remark}\"\n"
        )
    };
    for (remark, least, most) in [
        ("rope 10-11.5 mm", "10 mm", "11.5 mm"),
        ("für Seil 10–12,5 mm, neu 2024", "10 mm", "12.5 mm"),
        ("serviced 2024; corde 9 à 13 mm", "9 mm", "13 mm"),
    ] {
        let rehearsal = rehearsed("x.csv", list(remark).as_bytes(), &said());
        let told: Vec<&str> = rehearsal
            .remarks
            .iter()
            .map(|one| one.sentence.as_str())
            .collect();
        let read = format!(
            "Read from \"{remark}\" under \"Remarks\": thinnest rope {least}, thickest rope {most}."
        );
        assert!(told.contains(&read.as_str()), "{told:?}");
        let draft = &rehearsal.plan.unwrap().models[0].draft;
        let approval = &draft.approvals[0];
        assert_eq!(
            (approval.rope_least.as_str(), approval.rope_most.as_str()),
            (least, most)
        );
    }
    for remark in [
        "not for rope 8-9 mm",
        "rope 8-9 mm; rope 10-11 mm",
        "11 mm rope",
    ] {
        let answers = Answers {
            restricted: Some(Restricted::Go),
            ..said()
        };
        let rehearsal = rehearsed("x.csv", list(remark).as_bytes(), &answers);
        let draft = &rehearsal.plan.unwrap().models[0].draft;
        assert_eq!(draft.approvals[0].rope_least, "", "{remark}");
    }
}

#[test]
fn a_column_of_ranges_goes_before_words() {
    let list = "Tag,Type,Maker,Model,Store,Standard,For rope,Remarks\nD-1,Descender,Fellside,Lower,Van,EN 341,9-12 mm,rope 10-11 mm\n";
    let rehearsal = rehearsed("x.csv", list.as_bytes(), &said());
    let draft = &rehearsal.plan.unwrap().models[0].draft;
    let approval = &draft.approvals[0];
    assert_eq!(
        (approval.rope_least.as_str(), approval.rope_most.as_str()),
        ("9 mm", "12 mm")
    );
}

on_both_databases! {
    async fn a_range_that_waits_for_an_approval_is_not_asked_for(world) {
        let desk = world.desk();
        for (remark, asks) in [("", true), ("rope 8-13 mm", false)] {
            let list = format!("Tag,Type,Maker,Model,Store,Made,Remarks\nG-1,Rope clamp,Fellside,Grab,Van,2021,{remark}\n");
            let file = ImportFile { answers: said(), ..ImportFile::new("x.csv", list.into_bytes()) };
            let told = look(&desk, &world.officer, &file).await.unwrap().foretold.unwrap();
            assert!(told.reasons.iter().any(|one| one.code == "not-approved"), "{:?}", told.reasons);
            assert_eq!(asked(&told).iter().any(|(code, _)| *code == "rope-range"), asks, "{remark}");
        }
    }
}
