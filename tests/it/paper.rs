//! Papers through their doors: what stands on them is read by another program.

use axum::http::StatusCode;
use time::macros::date;

use crate::{
    history::eventful,
    item_given::{OUTSIDE, ROPE, examine, item, model, one_rope, rope_fields, with},
    paper_reader::{checked, flat, structure_of, text_of},
};

on_both_databases! {
    async fn the_record_of_an_item_says_what_is_known_and_what_is_not(world) {
        let given = one_rope(&world).await;
        let fields = [("kind", "intake"), ("on", "2026-02-01"), ("examiner", OUTSIDE),
            ("findings", "sheath glazed for 2 m; „Größe“ checked"), ("verdict", "fit")];
        examine(&given.officer, &given.item, &fields).await;
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get(&format!("/items/{}", given.item)).await;
        let path = format!("/items/{}/record.pdf", given.item);
        assert!(page.text.contains(&format!("href=\"{path}\"")), "{}", page.text);
        let answer = auditor.get(&path).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        assert_eq!(answer.header("content-type"), "application/pdf");
        checked(&answer.bytes);
        let Some(text) = text_of(&answer.bytes) else { return };
        let text = flat(&text);
        for said in ["Equipment record: RL-0042", "Maker Tarn & Fell", "Trade name Line 11", "Serial S-77<1>",
            "Lot or batch L9", "Bought 2021-06-01", "First used 2021-07-01", "Maker's address not recorded",
            "Codes on it not recorded", OUTSIDE, "sheath glazed", "„Größe“", "2026-02-01", "7000 lbf",
            "EN 1891", "kept with the blue bag", "approves nothing", "from memory", "Page 1 of"] {
            assert!(text.contains(said), "{said} is missing: {text}");
        }
        let structure = structure_of(&answer.bytes).unwrap();
        for part in ["H1", "H2", "Table", "TH", "TD"] {
            assert!(structure.contains(part), "{part} is missing: {structure}");
        }
        let letter = auditor.get(&format!("{path}?paper=letter")).await;
        assert_eq!(letter.status, StatusCode::OK);
        assert_ne!(letter.bytes.len(), 0);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
    }

    async fn the_report_of_an_examination_names_every_item_that_the_law_asks_for(world) {
        let (stock, _) = eventful(&world).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let examination = tx.last_examination(stock.second.id).await.unwrap().unwrap();
        drop(tx);
        let auditor = world.visitor(&world.auditor).await;
        let path = format!("/examinations/{}/report.pdf", examination.id);
        let answer = auditor.get(&path).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        checked(&answer.bytes);
        let Some(text) = text_of(&answer.bytes) else { return };
        let text = flat(&text);
        for said in ["Report of examination: P-2", "Employer, name and address not recorded", "Premises not recorded",
            "Previous thorough examination none on record; this is the one of its intake", "Safe working load",
            "Tests made not recorded", "Danger now, or by which date not recorded", "Qualifications not recorded",
            "Schedule 1", "Not recorded here: items 1, 2, 5, 6, 8 and 9.", "is not complete under that law", &examination.examiner] {
            assert!(text.contains(said), "{said} is missing: {text}");
        }
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_report_says_that_the_life_is_over_and_what_is_to_be_watched(world) {
        let given = one_rope(&world).await;
        let short = model(&given.officer, &with(&ROPE, &[("name", "Line 9"), ("life_years_from_made", "5")])).await;
        let fields = with(&rope_fields(&short, &given.store), &[("mark", "RL-9"), ("serial", "S-9")]);
        let old = item(&given.officer, &fields).await;
        // Five years from 1 January 2021, by the calendar.
        let form = given.officer.get(&format!("/items/{old}/examinations/new")).await.text;
        assert!(form.contains("Its life ended on 2026-01-01"), "{form}");
        let bench = given.officer.get(&format!("/bench?item={old}")).await.text;
        assert!(bench.contains("Its life ended on 2026-01-01"), "{bench}");
        let fields = [("kind", "periodic"), ("on", "2026-02-28"), ("verdict", "fit"), ("answers[sheath][outcome]", "watch"),
            ("answers[sheath][note]", "light fluff at 3 m")];
        examine(&given.officer, &old, &fields).await;
        let last = given.officer.get(&format!("/api/v1/items/{old}/examinations")).await.json();
        let id = last["examinations"][0]["id"].as_str().unwrap();
        let report = given.officer.get(&format!("/examinations/{id}/report.pdf")).await;
        checked(&report.bytes);
        let record = given.officer.get(&format!("/items/{old}/record.pdf")).await;
        checked(&record.bytes);
        let (Some(report), Some(record)) = (text_of(&report.bytes), text_of(&record.bytes)) else { return };
        let report = flat(&report);
        for said in ["Safe to operate no: its life ended on 2026-01-01, though the examiner found it fit", "Defects, and what was found To watch:", "light fluff at 3 m"] {
            assert!(report.contains(said), "{said}: {report}");
        }
        assert!(record.contains("fluff"), "{record}");
        assert!(!report.contains("what was found not recorded"), "{report}");
    }

    async fn the_list_of_what_falls_due_has_three_parts(world) {
        let given = one_rope(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let never = auditor.get("/due.pdf?from=2026-03-01&to=2026-03-31").await;
        assert_eq!(never.status, StatusCode::OK, "{}", never.text);
        checked(&never.bytes);
        let fields = [("kind", "intake"), ("on", "2026-02-01"), ("findings", "good"), ("verdict", "fit"),
            ("next_due_on", "2026-03-15")];
        examine(&given.officer, &given.item, &fields).await;
        let parts = |bytes: &[u8]| {
            let text = flat(&text_of(bytes)?);
            let count = |words: &str| text.split(words).nth(1).and_then(|rest| rest.chars().next());
            Some([count("Due in these days: "), count("Due before these days: "),
                count("Never passed a thorough examination: ")])
        };
        let Some(before) = parts(&never.bytes) else { return };
        assert_eq!(before, [Some('0'), Some('0'), Some('1')]);
        for (span, wanted) in [
            ("from=2026-03-01&to=2026-03-15", [Some('1'), Some('0'), Some('0')]),
            ("from=2026-03-15&to=2026-03-15", [Some('1'), Some('0'), Some('0')]),
            ("from=2026-03-16&to=2026-04-15", [Some('0'), Some('1'), Some('0')]),
            ("from=2026-03-01&to=2026-03-14", [Some('0'), Some('0'), Some('0')]),
        ] {
            let list = auditor.get(&format!("/due.pdf?{span}")).await;
            assert_eq!(parts(&list.bytes), Some(wanted), "{span}");
        }
        for (span, field) in [("from=soon", "from"), ("from=2026-03-02&to=2026-03-01", "to"),
            ("from=2026-03-02&to=2099-03-01", "to")] {
            let wrong = auditor.get(&format!("/due.pdf?{span}")).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{span}");
            assert!(wrong.text.contains(&format!("href=\"#f-{field}\"")), "{}", wrong.text);
        }
    }

    async fn letters_that_cannot_be_printed_are_told_before_and_on_the_paper(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let page = officer.get(&format!("/items/{}", given.item)).await;
        assert!(!page.text.contains("The PDF has no letters"), "{}", page.text);
        let fields = [("kind", "intake"), ("on", "2026-02-01"), ("examiner", OUTSIDE), ("findings", "sheath \u{7e69} glazed"), ("verdict", "fit")];
        examine(officer, &given.item, &fields).await;
        let looks = officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let look = looks["examinations"][0]["id"].as_str().unwrap();
        for page in [format!("/items/{}", given.item), format!("/items/{}/examinations/{look}", given.item)] {
            let page = officer.get(&page).await;
            assert!(page.text.contains("The PDF has no letters for \u{7e69} (U+7E69)"), "{}", page.text);
        }
        for paper in [format!("/items/{}/record.pdf", given.item), format!("/examinations/{look}/report.pdf")] {
            let answer = officer.get(&paper).await;
            checked(&answer.bytes);
            let Some(text) = text_of(&answer.bytes) else { return };
            assert!(flat(&text).contains("could not be printed here") && text.contains("U+7E69"), "{text}");
        }
        // A label has no room to say so: it is not made.
        let other = crate::item_given::with(&crate::item_given::rope_fields(&given.model, &given.store), &[("mark", "\u{7e69}-1"), ("serial", "9")]);
        crate::item_given::item(officer, &other).await;
        let before = world.entries().await;
        let label = [("marks", "\u{7e69}-1"), ("code", "qr"), ("holds", "code"), ("paper", "roll"), ("width", "70"), ("height", "30")];
        let wrong = officer.post("/labels", &label).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
        assert!(wrong.text.contains("no letters here for \u{7e69} (U+7E69)"), "{}", wrong.text);
        assert_eq!(world.entries().await, before, "no code was given");
    }

    async fn labels_give_an_item_a_code_once_and_nothing_where_they_cannot_be_made(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let page = officer.get(&format!("/items/{}", given.item)).await;
        assert!(page.text.contains(&format!("href=\"/labels?item={}\"", given.item)), "{}", page.text);
        for asked in [format!("item={}", given.item), "marks=RL-0042".to_owned()] {
            let form = officer.get(&format!("/labels?{asked}")).await;
            assert!(form.text.contains("RL-0042</textarea>"), "{}", form.text);
        }
        let roll = [("marks", "RL-0042\r\n\r\n rl-0042 "), ("code", "data-matrix"), ("holds", "code"),
            ("paper", "roll"), ("width", "3 in"), ("height", "25")];
        let before = world.entries().await;
        // 5.5 mm are too low for any code. A code with three pairs of digits has 14 modules a side and fits on 6 mm; the
        // others have 16 and do not.
        for (field, value) in [("marks", "RL-0042\nno such"), ("marks", " "), ("code", "stars"), ("holds", "address"),
            ("width", "2 kN"), ("height", "4"), ("height", "5.5")] {
            let fields = crate::item_given::with(&roll, &[(field, value)]);
            let wrong = officer.post("/labels", &fields).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
            assert!(wrong.text.contains(&format!("href=\"#f-{field}\"")), "{field}: {}", wrong.text);
        }
        let wide = [("marks", "RL-0042"), ("holds", "code"), ("paper", "a4"), ("across", "4"), ("start", "33")];
        let wrong = officer.post("/labels", &wide).await;
        assert!(wrong.text.contains("take 280.0 mm, and the paper has 210.0 mm"), "{}", wrong.text);
        assert!(wrong.text.contains("from 1 to 32, not &#34;33&#34;"), "{}", wrong.text);
        assert_eq!(world.entries().await, before, "no code was given for labels that were not made");
        let answer = officer.post("/labels", &roll).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        checked(&answer.bytes);
        assert_eq!(world.entries().await, before + 1);
        officer.post("/labels", &roll).await;
        assert_eq!(world.entries().await, before + 1);
        let tags = officer.get(&format!("/api/v1/items/{}/tags", given.item)).await.json();
        let code = tags["tags"][0]["text"].as_str().unwrap().to_owned();
        if let Some(text) = text_of(&answer.bytes) {
            for said in ["RL-0042", &code, "made 2021"] {
                assert_eq!(text.matches(said).count(), 2, "{said}: {text}");
            }
        }
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.post("/labels", &roll).await.status, StatusCode::FORBIDDEN);
    }

    async fn labels_are_made_for_a_store_or_for_a_list_that_was_searched(world) {
        let given = one_rope(&world).await;
        let other = crate::item_given::store(&given.officer, "Van").await;
        let fields = crate::item_given::with(&crate::item_given::rope_fields(&given.model, &other), &[("mark", "V-1"), ("serial", "9")]);
        crate::item_given::item(&given.officer, &fields).await;
        let marks = async |asked: &str| {
            let form = given.officer.get(&format!("/labels?listed=yes{asked}")).await.text;
            let text = form.split("name=\"marks\"").nth(1).unwrap();
            text.split_once('>').unwrap().1.split("</textarea>").next().unwrap().trim().to_owned()
        };
        assert_eq!(marks("").await, "RL-0042\nV-1");
        assert_eq!(marks(&format!("&store={other}")).await, "V-1");
        assert_eq!(marks("&q=rl-0042").await, "RL-0042");
        let list = given.officer.get("/items?q=V-1&kind=rope").await.text;
        assert!(list.contains("href=\"/labels?listed=yes&#38;q=V-1&#38;kind=rope\""), "{list}");
        let auditor = world.visitor(&world.auditor).await;
        assert!(!auditor.get("/items").await.text.contains("/labels"));
    }

    async fn programs_get_the_same_papers(world) {
        let given = one_rope(&world).await;
        let fields = [("kind", "intake"), ("on", "2026-02-01"), ("findings", "good"), ("verdict", "fit"), ("next_due_on", "2026-03-15")];
        examine(&given.officer, &given.item, &fields).await;
        let officer = &given.officer;
        let all = officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let examination = all["examinations"][0]["id"].as_str().unwrap();
        for path in ["due.pdf?from=2026-03-01&to=2026-03-31".to_owned(), format!("items/{}/record.pdf?paper=letter", given.item), format!("examinations/{examination}/report.pdf")] {
            let file = officer.get(&format!("/api/v1/{path}")).await;
            assert_eq!((file.status, file.header("content-type")), (StatusCode::OK, "application/pdf"), "{path}: {}", file.text);
            checked(&file.bytes);
        }
        let wrong = officer.get("/api/v1/due.pdf?from=soon").await;
        assert!(wrong.status == StatusCode::UNPROCESSABLE_ENTITY && wrong.json()["fields"][0]["field"] == "from", "{}", wrong.text);
        let calendar = officer.get("/api/v1/calendar.ics").await;
        assert!(calendar.header("content-type").starts_with("text/calendar") && calendar.text.contains("SUMMARY:Examination due: RL-0042\r\n"), "{}", calendar.text);
        let labels = officer.json(axum::http::Method::POST, "/api/v1/labels", &serde_json::json!({"marks": "RL-0042", "holds": "code"})).await;
        assert_eq!(labels.status, StatusCode::OK, "{}", labels.text);
        checked(&labels.bytes);
        let none = officer.json(axum::http::Method::POST, "/api/v1/labels", &serde_json::json!({"marks": "nothing", "holds": "code"})).await;
        assert_eq!(none.json()["fields"][0]["field"], "marks", "{}", none.text);
    }

    async fn a_calendar_is_read_without_signing_in_until_it_is_revoked(world) {
        let given = one_rope(&world).await;
        let fields = [("kind", "intake"), ("on", "2026-02-01"), ("findings", "good"), ("verdict", "fit"),
            ("next_due_on", "2026-03-15")];
        examine(&given.officer, &given.item, &fields).await;
        let auditor = world.visitor(&world.auditor).await;
        let made = auditor.post("/settings/calendars", &[]).await;
        assert_eq!(made.status, StatusCode::OK, "{}", made.text);
        assert_eq!(made.header("cache-control"), "no-store");
        let path = made.text.split("id=\"secret\">").nth(1).unwrap().split('<').next().unwrap().to_owned();
        assert!(path.starts_with("/calendar/") && path.strip_suffix(".ics").is_some(), "{path}");
        let list = auditor.get("/settings/calendars").await;
        assert!(!list.text.contains(&path), "the address is shown once");
        let stranger = world.stranger();
        let feed = stranger.get(&path).await;
        assert_eq!(feed.status, StatusCode::OK, "{}", feed.text);
        assert_eq!(feed.header("content-type"), "text/calendar; charset=utf-8");
        assert!(feed.text.contains("DTSTART;VALUE=DATE:20260315\r\n"), "{}", feed.text);
        assert!(feed.text.contains("SUMMARY:Examination due: RL-0042\r\n"), "{}", feed.text);
        let mut other = path.clone();
        other.replace_range(10..11, if &path[10..11] == "0" { "1" } else { "0" });
        assert_eq!(stranger.get(&other).await.status, StatusCode::NOT_FOUND);
        let id = list.text.split("/settings/calendars/").nth(1).unwrap().split('/').next().unwrap().to_owned();
        let revoke = format!("/settings/calendars/{id}/revoke");
        assert_eq!(given.officer.post(&revoke, &[]).await.status, StatusCode::NOT_FOUND, "it is not the officer's");
        assert_eq!(stranger.get(&path).await.status, StatusCode::OK);
        assert_eq!(auditor.post(&revoke, &[]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(stranger.get(&path).await.status, StatusCode::NOT_FOUND);
        assert_eq!(auditor.post(&revoke, &[]).await.status, StatusCode::NOT_FOUND);
    }

    async fn one_has_ten_addresses_at_most(world) {
        let crew = world.visitor(&world.crew).await;
        for _ in 0..10 {
            assert_eq!(crew.post("/settings/calendars", &[]).await.status, StatusCode::OK);
        }
        let full = crew.post("/settings/calendars", &[]).await;
        assert_eq!(full.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(full.text.contains("10 are the most"), "{}", full.text);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.calendars_of(world.crew.person).await.unwrap().len(), 10);
        assert_eq!(tx.calendars_of(world.officer.person).await.unwrap(), []);
        assert_eq!(tx.day(world.clock.now()).await.unwrap(), date!(2026 - 03 - 01));
    }
}
