//! The kit list on paper: read back by other programs, its code too.

use axum::http::{Method, StatusCode};
use ropeloft::{
    domain::{Kind, PictureStep, SymbolKind},
    rigging::shipped,
    view::drawing::{Fit, Sight, draw},
};
use serde_json::json;

use crate::{
    fitness_case::Thing,
    issue::{issued, passing},
    job_given::{fill, planned},
    paper_label::read,
    paper_reader::{checked, flat, pages, structure_of, text_of},
};

#[test]
fn every_rig_is_drawn_inside_its_picture_with_all_its_words() {
    for rig in shipped() {
        let sight = Sight {
            rig,
            forces: None,
            assessment: None,
            words: &|_| String::new(),
        };
        let drawing = draw(&sight, Fit::Wide, "x");
        let picture = drawing.on_paper();
        let (wide, high) = picture.size;
        let inside = |(x, y): (f32, f32)| x > -1.0 && y > -1.0 && x < wide + 1.0 && y < high + 1.0;
        assert!(picture.marks.len() >= drawing.marks.len());
        for step in picture.marks.iter().flat_map(|mark| &mark.steps) {
            let (PictureStep::From(to) | PictureStep::To(to) | PictureStep::Curve(_, _, to)) = step
            else {
                continue;
            };
            assert!(inside(*to), "{}: {to:?} of {wide} by {high}", rig.key());
        }
        // Every mark is seen: it has a line or an area.
        assert!(
            picture
                .marks
                .iter()
                .all(|mark| mark.line.is_some() || mark.area.is_some()),
            "{}",
            rig.key()
        );
        let words: usize = drawing.labels.iter().map(|label| label.lines.len()).sum();
        assert_eq!(picture.words.len(), words, "{}", rig.key());
    }
}

/// The code of a file, as a reader finds it on its first page that looks from as near as it must.
fn code_of(bytes: &[u8]) -> Option<String> {
    let mut told = Vec::new();
    for dots in [200, 300, 150] {
        let page = pages(bytes, dots)?.into_iter().next()?;
        match read(SymbolKind::Qr, &page) {
            Ok(code) => return Some(code),
            Err(why) => told.push(why),
        }
    }
    panic!("no code is read: {told:?}")
}

on_both_databases! {
    async fn what_a_person_hangs_in_stands_on_it(world) {
        let crew = world.visitor(&world.crew).await;
        let worn = |mark: &str| Thing::new(Kind::Harness, mark, &["EN 361|||||140 kg"], &["body|15 kN|breaking"]);
        let mut kit = crate::proposal::strong_kit();
        kit.extend([worn("N-71").at("harness"), worn("N-72")]);
        world.shelve(&kit).await;
        let job = planned(&crew, json!({})).await;
        fill(&crew, &job, &kit).await;
        let file = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        let Some(text) = text_of(&file.bytes) else { return };
        for said in ["N-71", "N-72", "spare"] {
            assert!(text.contains(said), "{said} is missing: {text}");
        }
    }

    async fn the_kit_list_says_where_what_is_fetched_and_where_it_goes(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let file = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        assert_eq!((file.status, file.header("content-type")), (StatusCode::OK, "application/pdf"), "{}", file.text);
        checked(&file.bytes);
        let Some(text) = text_of(&file.bytes) else { return };
        let text = flat(&text);
        let sentence = crew.get(&format!("/api/v1/jobs/{job}")).await.json()["sentence"].as_str().unwrap().to_owned();
        for said in ["Kit list: Pump well", "South works", "15 m", "120 kg", "4:1 haul and lower set", "Issued not yet", "From Bay: ", "Hauling rope", "[ ]", "In date until"] {
            assert!(text.contains(said), "{said} is missing: {text}");
        }
        let squeezed = |text: &str| text.replace([' ', '\u{ad}'], "");
        assert!(squeezed(&text).contains(&squeezed(&sentence)), "{sentence}: {text}");
        for thing in &kit {
            assert!(text.contains(&thing.item.mark), "{}: {text}", thing.item.mark);
            assert!(squeezed(&text).contains(&squeezed(thing.item.serial.as_deref().unwrap())), "{:?}: {text}", thing.item.serial);
        }
        let structure = structure_of(&file.bytes).unwrap();
        for part in ["H1", "H2", "Table", "Figure"] {
            assert!(structure.contains(part), "{part} is missing: {structure}");
        }
        // Where the server was not told its own address, that is said beside the code.
        assert!(text.contains("This server was not told its own address"), "{text}");
        // The code holds the short address, which leads to the job.
        let code = code_of(&file.bytes).unwrap();
        assert_eq!(code, format!("/j/{}", job.replace('-', "")));
        let on = crew.get(&code).await;
        assert_eq!((on.status, on.header("location")), (StatusCode::SEE_OTHER, format!("/jobs/{job}").as_str()));
        let scanned = crew.get(&format!("/scan?code={code}")).await;
        assert_eq!((scanned.status, scanned.header("location")), (StatusCode::SEE_OTHER, code.as_str()));
        let scan = crew.get(&format!("/api/v1/scan?code=/j/{}", job.replace('-', ""))).await.json();
        assert_eq!((&scan["job"], &scan["item"]), (&serde_json::json!(job), &serde_json::Value::Null), "{scan}");
        let other = crew.get("/api/v1/scan?code=/j/0190a0000000700080000000000000ff").await.json();
        assert_eq!(other["job"], serde_json::Value::Null);
        let letter = crew.get(&format!("/api/v1/jobs/{job}/kit.pdf?paper=letter")).await;
        assert_eq!(letter.status, StatusCode::OK);
        checked(&letter.bytes);
        let page = crew.get(&format!("/jobs/{job}")).await;
        assert!(page.text.contains(&format!("href=\"/jobs/{job}/kit.pdf\"")), "{}", page.text);
        let outsider = world.visitor(&world.outsider).await;
        for path in [format!("/jobs/{job}/kit.pdf"), code] {
            assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
    }

    async fn while_it_is_issued_the_list_is_the_frozen_one(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item(kit[1].item.id).await.unwrap().unwrap();
        drop(tx);
        let renamed = ropeloft::domain::Item { revision: item.revision + 1, mark: "Q-77".into(), ..item };
        world.record(ropeloft::domain::Change::ItemRevised(renamed)).await;
        let file = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        checked(&file.bytes);
        let Some(text) = text_of(&file.bytes) else { return };
        let text = flat(&text);
        assert!(text.contains("taken by The crew of the north") && text.contains(&kit[1].item.mark) && !text.contains("Q-77"), "{text}");
        let short = crew.get(&format!("/j/{job}")).await;
        let to = format!("/jobs/{job}/issues/{}/return", issue["id"].as_str().unwrap());
        assert_eq!(short.header("location"), to);
        // Once it is counted back, who had it stands there still.
        let count = json!({"rest": "fine", "hours": "1:00", "uses": "1"});
        let back = crew.json(Method::POST, &format!("/api/v1{to}s"), &count).await;
        assert_eq!(back.status, StatusCode::CREATED, "{}", back.text);
        let after = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        let Some(text) = text_of(&after.bytes) else { return };
        let text = flat(&text);
        assert!(text.contains("taken by The crew of the north; counted back by The crew of the north on 2026-03-01") && !text.contains("Issued not yet"), "{text}");
    }

    async fn a_kit_list_without_a_kit_says_what_is_missing(world) {
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"note": "edge of the lid is sharp"})).await;
        let file = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        assert_eq!(file.status, StatusCode::OK, "{}", file.text);
        checked(&file.bytes);
        let Some(text) = text_of(&file.bytes) else { return };
        let text = flat(&text);
        assert!(text.contains("Cannot say yet") && text.contains("edge of the lid is sharp"), "{text}");
    }
}
