//! The same rows in every form of file: read back by programs apart, harmless, resumable, and whole or known not to be.

use axum::http::{Method, StatusCode, header};
use calamine::{Data, Reader as _, Xlsx};
use ropeloft::domain::{Change, Event, Examination, Item, Job};
use serde_json::json;

use crate::{
    client::Client,
    export::{TYPED, imports},
    history::eventful,
    paper_reader,
    rows_reader::{Held, apart, cells, of_workbook},
    stock,
    world::{START, World},
};

/// Every table that can be taken along, and its columns that hold numbers.
const TABLES: [(&str, &[&str]); 6] = [
    ("history", &["seq"]),
    (
        "items",
        &[
            "revision",
            "hours_used",
            "uses",
            "falls_held",
            "loads_carried",
        ],
    ),
    ("models", &["revision"]),
    ("examinations", &["seq"]),
    ("jobs", &[]),
    ("refusals", &["seq"]),
];

/// The forms that hold every column.
const FORMS: [&str; 3] = ["csv", "json-lines", "xlsx"];

/// A world in which each table has rows, and each typed text stands in each of them that takes one.
async fn typed_world(world: &World) -> (Item, Job) {
    let (stock, job) = eventful(world).await;
    for text in TYPED {
        let event = Event {
            note: text.to_owned(),
            ..stock::event(world, &stock.first, START.date())
        };
        world.record(Change::EventReported(event)).await;
        let examination = Examination {
            findings: text.to_owned(),
            ..stock::examination(world, &stock.second, START.date())
        };
        world.record(Change::ExaminationRecorded(examination)).await;
        let planned = Job {
            title: text.to_owned(),
            note: text.to_owned(),
            ..stock::job("Typed", 90)
        };
        world.record(Change::JobPlanned(planned.clone())).await;
    }
    for (at, text) in TYPED.iter().enumerate() {
        let item = Item {
            note: (*text).to_owned(),
            ..stock::item(&format!("T-{at:02}"), &stock.model, &stock.store)
        };
        world.record(Change::ItemAdded(item.clone())).await;
        let line = stock::line(&job, &item, None);
        world.record(Change::KitLineAdded(line)).await;
    }
    (stock.first, job)
}

async fn file(client: &Client, path: &str) -> Vec<u8> {
    let answer = client.get(path).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    answer.bytes
}

async fn held(client: &Client, of: &str, form: &str, more: &str) -> Option<Held> {
    let bytes = file(client, &format!("/exports/{of}?as={form}{more}")).await;
    apart(form, &bytes)
}

on_both_databases! {
    async fn programs_apart_read_the_same_rows_in_every_form(world) {
        typed_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (of, numbers) in TABLES {
            let Some(csv) = held(&auditor, of, "csv", "&state=all").await else { return };
            assert!(!csv.rows.is_empty(), "{of}");
            assert_eq!(csv.end, Some(csv.rows.len() as u64), "{of}");
            let bytes = file(&auditor, &format!("/exports/{of}?as=xlsx&state=all")).await;
            let lines = held(&auditor, of, "json-lines", "&state=all").await.unwrap();
            for (form, other) in [("json-lines", lines), ("xlsx", apart("xlsx", &bytes).unwrap()), ("calamine", of_workbook(&bytes))] {
                assert_eq!(other, csv, "{of} as {form}");
            }
            for row in cells(&bytes).iter().skip(1) {
                for (heading, cell) in csv.headings.iter().zip(row) {
                    let is_number = matches!(cell, Data::Float(_) | Data::Int(_));
                    assert_eq!(is_number, numbers.contains(&heading.as_str()), "{of}, {heading}: {cell:?}");
                    let is_day = heading.ends_with("_on") || heading.ends_with("_at") || heading == "state_since" || heading == "next_due_recorded";
                    assert_eq!(matches!(cell, Data::DateTime(_)), is_day && *cell != Data::Empty, "{of}, {heading}: {cell:?}");
                }
            }
        }
        let lines = String::from_utf8(file(&auditor, "/exports/history?as=json-lines").await).unwrap();
        let first: serde_json::Value = serde_json::from_str(lines.lines().next().unwrap()).unwrap();
        assert_eq!((&first["seq"], &first["key"], &first["done_on"]), (&json!(1), &json!("1"), &json!(null)));
    }

    async fn what_was_typed_stays_and_runs_in_no_form(world) {
        typed_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (of, _) in TABLES {
            let bytes = file(&auditor, &format!("/exports/{of}?as=xlsx&state=all")).await;
            for cell in cells(&bytes).iter().flatten() {
                let Data::String(text) = cell else { continue };
                assert!(!text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']), "{of}: {text:?}");
            }
        }
        let mut typed = TYPED.map(str::to_owned);
        typed.sort();
        for (of, column) in [("examinations", "findings"), ("jobs", "note"), ("items", "note")] {
            let Some(rows) = held(&auditor, of, "xlsx", "&state=all").await else { return };
            let mut found = rows.column(column);
            found.retain(|text| typed.iter().any(|one| one == text));
            found.sort_unstable();
            assert_eq!(found, typed, "{of}");
        }
    }

    async fn whoever_holds_a_part_asks_for_the_rest_by_its_last_key(world) {
        typed_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (of, _) in TABLES {
            let path = format!("/exports/{of}?state=all&sort=kind&down=yes");
            let all = auditor.get(&format!("{path}&as=json-lines")).await.text;
            let lines: Vec<&str> = all.lines().collect();
            let keys = lines[..lines.len() - 1].iter().map(|line| {
                let row: serde_json::Value = serde_json::from_str(line).unwrap();
                row["key"].as_str().unwrap().to_owned()
            });
            let keys: Vec<String> = keys.collect();
            for (at, key) in keys.iter().enumerate() {
                let rest = auditor.get(&format!("{path}&as=json-lines&after={key}")).await.text;
                let rest: Vec<&str> = rest.lines().collect();
                assert_eq!(rest[..rest.len() - 1], lines[at + 1..lines.len() - 1], "{of} behind {key}");
                let end: serde_json::Value = serde_json::from_str(rest[rest.len() - 1]).unwrap();
                assert_eq!(end["end"]["rows"], keys.len() - at - 1, "{of} behind {key}");
            }
            let middle = keys.len() / 2;
            // Where nothing is left JSON Lines has no members to name columns by.
            let left = keys.len() - middle - 1;
            for form in FORMS.into_iter().filter(|_| left > 0) {
                let bytes = file(&auditor, &format!("{path}&as={form}&after={}", keys[middle])).await;
                let Some(rest) = apart(form, &bytes) else { return };
                assert_eq!(rest.column("key"), keys[middle + 1..], "{of} as {form}");
            }
        }
        let job = held(&auditor, "jobs", "csv", "").await.unwrap();
        assert!(job.column("key").iter().any(|key| key.contains('.')), "no job has several rows");
        let refusals = held(&auditor, "refusals", "csv", "").await.unwrap();
        assert_eq!(refusals.column("key"), ["13.1", "14"]);
    }

    async fn a_file_that_was_cut_is_known(world) {
        typed_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let csv = file(&auditor, "/exports/items?as=csv&state=all").await;
        let lines = file(&auditor, "/exports/items?as=json-lines&state=all").await;
        for (form, bytes, ends) in [("csv", csv, "\r\n"), ("json-lines", lines, "\n")] {
            let text = String::from_utf8(bytes).unwrap();
            let Some(whole) = apart(form, text.as_bytes()) else { return };
            assert!(whole.end.is_some());
            let rows: Vec<&str> = text.split_inclusive(ends).collect();
            for kept in [2, rows.len() / 2, rows.len() - 1] {
                let cut = apart(form, rows[..kept].concat().as_bytes()).unwrap();
                assert_eq!(cut.end, None, "{form} with {kept} lines of {}", rows.len());
            }
        }
        let mut book = file(&auditor, "/exports/items?as=xlsx").await;
        book.truncate(book.len() - 1);
        assert!(Xlsx::new(std::io::Cursor::new(book)).is_err());
    }

    async fn days_narrow_what_has_days(world) {
        let (_, job) = eventful(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for of in ["history", "examinations", "refusals", "jobs"] {
            let Some(all) = held(&auditor, of, "csv", "&from=2026-03-01&until=2026-03-01").await else { return };
            assert!(!all.rows.is_empty(), "{of}");
            for days in ["&from=2026-02-01&until=2026-02-28", "&from=2026-03-02"] {
                let some = held(&auditor, of, "json-lines", days).await.unwrap();
                assert_eq!((some.rows.len(), some.end), (0, Some(0)), "{of}{days}");
            }
        }
        let of_job = held(&auditor, "history", "csv", &format!("&job={}", job.id)).await.unwrap();
        assert_eq!(of_job.column("seq"), ["12", "13", "14"]);
    }

    async fn wrong_fields_are_all_named(world) {
        let auditor = world.visitor(&world.auditor).await;
        let days = "from=2026-03-02&until=2026-03-01";
        for (wrong, path) in [
            (&["as", "after", "until"][..], format!("history?as=doc&after=zz&{days}")),
            (&["after"], "history?after=1.x".to_owned()),
            (&["after"], "history?after=abc".to_owned()),
            (&["after"], "items?after=12".to_owned()),
            (&["after"], "jobs?after=7b7d".to_owned()),
            (&["from", "until"], format!("items?{days}")),
            (&["from"], "models?from=2026-03-02".to_owned()),
            (&["from"], "jobs?from=soon".to_owned()),
            (&["kind"], "models?kind=hat".to_owned()),
            (&["kind", "by"], "history?kind=magic&by=me".to_owned()),
            (&["item"], "history?item=me".to_owned()),
            (&["notice"], "holders".to_owned()),
        ] {
            let answer = auditor.get(&format!("/api/v1/exports/{path}")).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}: {}", answer.text);
            let fields = answer.json()["fields"].as_array().unwrap().clone();
            let named: Vec<&str> = fields.iter().map(|field| field["field"].as_str().unwrap()).collect();
            assert_eq!(named, wrong, "{path}");
            assert_eq!(auditor.get(&format!("/exports/{path}")).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        // A key of the register in another order.
        let key = auditor.get("/exports/items?as=json-lines&sort=kind").await.text;
        assert!(key.contains("\"end\""));
        let nothing = auditor.get("/api/v1/exports/secrets").await;
        assert_eq!(nothing.status, StatusCode::NOT_FOUND);
        let nobody = auditor.get(&format!("/exports/history?item={}", uuid::Uuid::now_v7())).await;
        assert_eq!(nobody.status, StatusCode::NOT_FOUND);
        let outsider = world.visitor(&world.outsider).await;
        let (stock, _) = eventful(&world).await;
        let theirs = outsider.get(&format!("/exports/history?item={}", stock.first.id)).await;
        assert_eq!(theirs.status, StatusCode::NOT_FOUND);
        assert_eq!(world.stranger().get("/api/v1/exports/items").await.status, StatusCode::UNAUTHORIZED);
    }

    async fn a_pdf_is_for_reading_and_says_what_it_leaves_out(world) {
        typed_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (of, words) in [("history", "Recorded at"), ("items", "T-03"), ("models", "Fjordwerk"), ("jobs", "Shaft 3"), ("refusals", "It is in quarantine."), ("examinations", "The officer")] {
            let answer = auditor.get(&format!("/exports/{of}?as=pdf&state=all")).await;
            assert_eq!(answer.header(header::CONTENT_TYPE), "application/pdf");
            paper_reader::checked(&answer.bytes);
            let Some(text) = paper_reader::text_of(&answer.bytes) else { return };
            let text = paper_reader::flat(&text);
            assert!(text.contains("Paper has no room for these columns"), "{text}");
            let structure = paper_reader::structure_of(&answer.bytes).unwrap();
            let read = paper_reader::flat(&structure);
            assert!(read.contains("Table") && read.contains(words), "{of}: {read}");
        }
    }

    async fn a_form_that_has_no_room_says_so_before_it_begins(world) {
        imports(&world, 2_000).await;
        let auditor = world.visitor(&world.auditor).await;
        let answer = auditor.get("/api/v1/exports/history?as=pdf").await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let said = answer.json()["fields"][0].clone();
        assert_eq!(said["field"], "as");
        assert!(said["message"].as_str().unwrap().contains("at most 2000 rows"), "{said}");
        let rest = auditor.get("/exports/history?as=pdf&after=1990").await;
        assert_eq!(rest.status, StatusCode::OK);
    }

    async fn pages_offer_every_form_and_programs_get_the_same_file(world) {
        let (stock, job) = eventful(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for page in ["/history", "/items", "/models", "/jobs", &format!("/items/{}/history", stock.first.id), &format!("/jobs/{}/history", job.id)] {
            let text = auditor.get(page).await.text;
            for form in ["csv", "json-lines", "xlsx", "pdf"] {
                let link = text.split("href=\"").find(|part| part.starts_with("/exports/") && part.contains(&format!("as={form}")));
                let link = link.unwrap_or_else(|| panic!("{page} does not offer {form}")).split('"').next().unwrap();
                let path = link.replace("&#38;", "&").replace("&amp;", "&");
                let ours = file(&auditor, &path).await;
                let theirs = file(&auditor, &format!("/api/v1{path}")).await;
                assert_eq!(ours.len(), theirs.len(), "{path}");
            }
        }
        let answer = auditor.get("/exports/items?as=json-lines").await;
        assert_eq!(answer.header(header::CONTENT_DISPOSITION), "attachment; filename=\"ropeloft-items-2026-03-01.jsonl\"");
    }

    async fn a_name_that_was_removed_stands_in_no_form(world) {
        typed_world(&world).await;
        let admin = world.visitor(&world.admin).await;
        let (id, name) = (world.crew.person.to_string(), "The crew of the north");
        for (of, _) in [TABLES[0], TABLES[5]] {
            let Some(before) = held(&admin, of, "xlsx", "").await else { return };
            assert!(before.rows.iter().flatten().any(|cell| cell == name), "{of}");
        }
        let closed = admin.post(&format!("/people/{id}"), &[("name", name), ("role", "crew")]).await;
        assert_eq!(closed.status, StatusCode::SEE_OTHER, "{}", closed.text);
        let asked = json!({"person": id, "name": name, "reason": "Request of 2026-02-27"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        for (of, _) in TABLES {
            for form in FORMS {
                let after = held(&admin, of, form, "").await.unwrap();
                assert!(!after.rows.iter().flatten().any(|cell| cell.contains(name)), "{of} as {form}");
            }
        }
    }
}
