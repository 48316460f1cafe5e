//! What is counted, asked or looked back at, in every form of file: the same rows, read back by programs apart.

use axum::http::{Method, StatusCode, header};
use calamine::Data;
use futures::TryStreamExt;
use ropeloft::{
    deed::{
        export::{Order, Wanted, begin},
        history::Of,
    },
    domain::question::Question,
    export::FileForm,
    store::EntryFilter,
};
use serde_json::{Value, json};

use crate::{
    client::Client,
    course::measured_rope,
    export::imports,
    item_given::{Given, examine, item, one_rope, rope_fields, with},
    job_given::planned,
    paper_reader,
    rows_reader::{apart, cells, of_workbook},
    world::World,
};

/// The columns that hold numbers.
const NUMBERS: &[&str] = &[
    "examinations_due",
    "lives_end",
    "years_since_made",
    "items",
    "within_life",
    "past_life",
    "no_end_told",
    "unpriced",
    "items_examined",
    "items_failed",
    "examinations",
    "examinations_failed",
    "events",
    "items_with_event",
    "year",
    "sets",
    "at_most",
    "point",
    "value",
    "value_mm",
    "entry",
    "days",
    "interval_months",
];
/// The columns that hold days, beside those that are called so.
const DAYS: &[&str] = &["from", "to", "until", "on", "valid_until"];

/// A file at an address, and words that its paper has.
type Asked = (String, &'static str);

/// A rope that stays in service, is past its examination day and near the end of its life.
async fn near_its_end(given: &Given) {
    let fields = rope_fields(&given.model, &given.store);
    let own = [
        ("mark", "RL-0044"),
        ("serial", "S-79"),
        ("made", "2018-05"),
        ("bought_on", "2018-06-01"),
        ("first_used_on", "2018-07-01"),
    ];
    let old = item(&given.officer, &with(&fields, &own)).await;
    examine(
        &given.officer,
        &old,
        &[
            ("kind", "periodic"),
            ("on", "2025-02-20"),
            ("verdict", "fit"),
        ],
    )
    .await;
}

/// A world of which everything can be counted, and every file of what is counted, asked or looked back at.
async fn counted_world(world: &World) -> Vec<Asked> {
    let given = one_rope(world).await;
    let rope = measured_rope(&given).await;
    near_its_end(&given).await;
    let gone = json!({"step": "retire", "reason": "=1+1 <worn>", "on": "2026-02-14", "retired_for": "worn"});
    let path = format!("/api/v1/items/{}/steps", given.item);
    let done = given.officer.json(Method::POST, &path, &gone).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    let job = planned(&given.officer, json!({})).await;
    let plan = "rig=four-to-one-pull-down&rulebook=european&load=1+person&depth=15+m";
    let mut asked: Vec<Asked> = vec![
        ("due?by=kind".into(), "What falls due"),
        ("due?by=store".into(), "Bay 1"),
        ("ages".into(), "Lives end by the rulebook"),
        ("ahead?kind=rope".into(), "Of the kind rope alone."),
        ("failures?until=2026-02-28".into(), "until 2026-02-28."),
        ("retired?because=worn".into(), "Retired for: worn"),
        (format!("sets?{plan}"), "approves no rig"),
        (
            format!("measurements?item={rope}"),
            "What was measured of RL-0043",
        ),
        (
            format!("then?item={rope}&on=2026-02-20"),
            "RL-0043 as it was on 2026-02-20",
        ),
        (format!("then?job={job}"), "as we know now"),
        (
            format!("then?store={}&on=2026-02-20", given.store),
            "lived in Bay 1",
        ),
    ];
    for question in Question::ALL {
        let draft = match question {
            Question::Used => "&item=RL-0043",
            Question::Recalled => "&maker=Tarn+%26+Fell",
            Question::Late => "&days=1",
            Question::NotInDate => "&on=2026-02-28",
            _ => "",
        };
        asked.push((
            format!("answer?question={}{draft}", question.key()),
            question.asks(),
        ));
    }
    asked
}

async fn file(client: &Client, path: &str, form: &str) -> Vec<u8> {
    let mark = if path.contains('?') { '&' } else { '?' };
    let path = format!("/exports/{path}{mark}as={form}");
    let answer = client.get(&path).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    let theirs = client.get(&format!("/api/v1{path}")).await;
    assert_eq!(
        (theirs.status, theirs.bytes.len()),
        (StatusCode::OK, answer.bytes.len()),
        "{path}"
    );
    answer.bytes
}

/// Every cell of a workbook is of the sort that its column says.
fn typed_cells(path: &str, book: &[u8]) {
    let mut rows = cells(book).into_iter();
    let headings: Vec<String> = rows
        .next()
        .unwrap()
        .iter()
        .map(ToString::to_string)
        .collect();
    for row in rows {
        for (heading, cell) in headings.iter().zip(&row) {
            let is_number = matches!(cell, Data::Float(_) | Data::Int(_));
            let is_day = DAYS.contains(&heading.as_str())
                || heading.ends_with("_on")
                || heading.ends_with("_at");
            let there = *cell != Data::Empty;
            assert_eq!(
                is_number,
                there && NUMBERS.contains(&heading.as_str()),
                "{path}, {heading}: {cell:?}"
            );
            assert_eq!(
                matches!(cell, Data::DateTime(_)),
                there && is_day,
                "{path}, {heading}: {cell:?}"
            );
        }
    }
}

on_both_databases! {
    async fn programs_apart_read_the_same_rows_in_every_form(world) {
        let asked = counted_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let mut without = Vec::new();
        for (path, _) in &asked {
            let Some(csv) = apart("csv", &file(&auditor, path, "csv").await) else { return };
            let book = file(&auditor, path, "xlsx").await;
            let lines = apart("json-lines", &file(&auditor, path, "json-lines").await).unwrap();
            if csv.rows.is_empty() {
                assert_eq!((lines.rows.len(), lines.end, of_workbook(&book).rows.len()), (0, Some(0), 0), "{path}");
                without.push(path.as_str());
                continue;
            }
            assert_eq!(csv.end, Some(csv.rows.len() as u64), "{path}");
            for (form, other) in [("json-lines", lines), ("xlsx", apart("xlsx", &book).unwrap()), ("calamine", of_workbook(&book))] {
                assert_eq!(other, csv, "{path} as {form}");
            }
            typed_cells(path, &book);
        }
        let expected = ["answer?question=beyond-qualification", "answer?question=use-of-an-item&item=RL-0043", "answer?question=refused-attempts"];
        assert!(without.iter().all(|path| expected.contains(path)), "{without:?}");
    }

    async fn whoever_holds_a_part_asks_for_the_rest_by_its_last_key(world) {
        let asked = counted_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (path, _) in &asked {
            let text = String::from_utf8(file(&auditor, path, "json-lines").await).unwrap();
            let lines: Vec<&str> = text.lines().collect();
            let (end, rows) = lines.split_last().unwrap();
            let end: Value = serde_json::from_str(end).unwrap();
            assert_eq!(end["end"]["rows"], rows.len(), "{path}");
            for at in [0, rows.len() / 2, rows.len().saturating_sub(1)] {
                let Some(row) = rows.get(at) else { continue };
                let row: Value = serde_json::from_str(row).unwrap();
                let mark = if path.contains('?') { '&' } else { '?' };
                let after = format!("{path}{mark}after={}", row["key"].as_str().unwrap());
                let rest = String::from_utf8(file(&auditor, &after, "json-lines").await).unwrap();
                let rest: Vec<&str> = rest.lines().collect();
                assert_eq!(rest[..rest.len() - 1], rows[at + 1..], "{after}");
            }
        }
    }

    async fn a_pdf_says_what_was_asked_and_by_what_it_was_counted(world) {
        let asked = counted_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (path, expected) in &asked {
            let bytes = file(&auditor, path, "pdf").await;
            paper_reader::checked(&bytes);
            let Some(text) = paper_reader::text_of(&bytes) else { return };
            assert!(paper_reader::flat(&text).contains(expected), "{path}: {text}");
        }
        let text = paper_reader::text_of(&file(&auditor, "answer?question=not-in-date&on=2026-02-28", "pdf").await).unwrap();
        assert!(paper_reader::flat(&text).contains("Asked with on: 2026-02-28.") && paper_reader::flat(&text).contains("The interval is the one of the rulebook that the team went by on that day"), "{text}");
    }

    async fn pages_offer_every_form(world) {
        let asked = counted_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let id = |of: &str| {
            let path = asked.iter().find(|(path, _)| path.starts_with(of)).unwrap();
            path.0[of.len()..].split('&').next().unwrap().to_owned()
        };
        let (rope, job, store) = (id("then?item="), id("then?job="), id("then?store="));
        let plan = asked.iter().find_map(|(path, _)| path.strip_prefix("sets?")).unwrap();
        for page in [
            "/due?by=kind".to_owned(), "/trends".to_owned(), "/trends/ahead?kind=rope".to_owned(), "/trends/retired".to_owned(),
            "/trends/failures?from=2025-01-01".to_owned(), format!("/readiness/sets?{plan}"), format!("/items/{rope}/measurements"),
            format!("/items/{rope}/then?on=2026-02-20"), format!("/jobs/{job}/then"), format!("/stores/{store}/then"),
            "/questions/gaps".to_owned(), "/questions/recalled-lot?maker=Tarn".to_owned(),
        ] {
            let text = auditor.get(&page).await.text;
            for form in ["csv", "json-lines", "xlsx", "pdf"] {
                let link = text.split("href=\"").find(|part| part.starts_with("/exports/") && part.contains(&format!("as={form}")));
                let link = link.unwrap_or_else(|| panic!("{page} does not offer {form}")).split('"').next().unwrap();
                let path = link.replace("&#38;", "&").replace("&amp;", "&");
                assert_eq!(auditor.get(&path).await.status, StatusCode::OK, "{path}");
            }
        }
        let answer = auditor.get(&format!("/exports/then?item={rope}&on=2026-02-20&as=xlsx")).await;
        assert_eq!(answer.header(header::CONTENT_DISPOSITION), "attachment; filename=\"ropeloft-as-it-was-on-2026-02-20-2026-03-01.xlsx\"");
    }

    async fn what_does_not_hold_is_named_and_what_is_anothers_is_not_there(world) {
        let asked = counted_world(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for (fields, path) in [
            (&["item"][..], "then"),
            (&["item"], "then?item=x1"),
            (&["item"], "measurements"),
            (&["after"], "ages?after=900"),
            (&["after"], "answer?question=gaps&after=12"),
            (&["from"], "due?from=2026-01-01"),
            (&["from"], "failures?from=2026-02-30"),
            (&["on"], "answer?question=not-in-date&on=2026-02-30"),
            (&["depth"], "sets?rig=four-to-one-pull-down&rulebook=european&load=1+person&depth=far"),
        ] {
            let answer = auditor.get(&format!("/api/v1/exports/{path}")).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}: {}", answer.text);
            let named = answer.json()["fields"].as_array().unwrap().clone();
            let named: Vec<&str> = named.iter().map(|field| field["field"].as_str().unwrap()).collect();
            assert_eq!(named, fields, "{path}");
        }
        for (status, path) in [
            (StatusCode::NOT_FOUND, "answer?question=why"),
            (StatusCode::NOT_FOUND, "answer"),
            (StatusCode::BAD_REQUEST, "due?by=colour"),
            (StatusCode::BAD_REQUEST, "ages?kind=hat"),
        ] {
            assert_eq!(auditor.get(&format!("/api/v1/exports/{path}")).await.status, status, "{path}");
        }
        let outsider = world.visitor(&world.outsider).await;
        for (path, _) in &asked {
            let answer = outsider.get(&format!("/api/v1/exports/{path}")).await;
            if path.starts_with("then") || path.starts_with("measurements") {
                assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
            }
            assert!(!answer.text.contains("RL-0043") || answer.status != StatusCode::OK, "{path}: {}", answer.text);
            assert_eq!(world.stranger().get(&format!("/api/v1/exports/{path}")).await.status, StatusCode::UNAUTHORIZED);
        }
    }

    async fn a_workbook_is_sent_in_pieces(world) {
        imports(&world, 1_200).await;
        let order = Order { form: FileForm::Xlsx, ..Wanted::History(Of::Team, EntryFilter::default()).into() };
        let begun = begin(&world.desk(), &world.auditor, order).await.unwrap();
        let chunks: Vec<_> = begun.chunks.try_collect().await.unwrap();
        assert!(chunks.len() > 1 && chunks.iter().all(|chunk| chunk.len() <= 64 * 1024), "{}", chunks.len());
        assert_eq!(of_workbook(&chunks.concat()).rows.len(), 1_205);
    }
}
