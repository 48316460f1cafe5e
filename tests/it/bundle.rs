//! A bundle proves itself: here, by the command line, and by a program of its own; and what was changed in it is named.

use std::{ffi::OsStr, io::Write, path::Path, process::Command};

use axum::http::StatusCode;
use ropeloft::export::bundle::{Checked, Fault, Line, check};
use serde_json::Value;

use crate::{
    chance::Chance,
    client::{Answer, Client, signing_secret},
    stock,
    world::World,
};

/// A world with so many entries or a few more, and a key that signs.
pub async fn grown(world: &World, changes: u32) -> Client {
    world.take_key().await;
    Chance::new(11).run(world, &world.admin, changes).await;
    world.visitor(&world.auditor).await
}

pub fn held(text: &str) -> Result<Checked, Fault> {
    check(text.as_bytes(), &[])
}

pub fn whole(answer: Answer) -> String {
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.text
}

const NO_READER: &str = "
*******************************************************************************
*  BUNDLES WERE NOT READ BY A PROGRAM APART: it takes Python 3 and openssl 3  *
*  here. Install them, or name a Python: TEST_PYTHON=/path/to/python          *
*  With CI=true this fails.                                                   *
*******************************************************************************
";

/// What the program in Python says to these words, with whether it ended well; none if it cannot run here, which has then
/// been said.
pub fn apart(words: &[&OsStr]) -> Option<(bool, String)> {
    let python = std::env::var_os("TEST_PYTHON").unwrap_or_else(|| "python3".into());
    let runs = |program: &OsStr, asked: &str| {
        let ended = Command::new(program).arg(asked).output();
        ended.is_ok_and(|ended| ended.status.success())
    };
    if !runs(&python, "--version") || !runs("openssl".as_ref(), "version") {
        // Not by print: that is held back while a test passes.
        std::io::stderr().write_all(NO_READER.as_bytes()).unwrap();
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{NO_READER}");
        return None;
    }
    let program = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/verify_bundle.py");
    let run = |optimized: &[&str]| {
        let mut order = Command::new(&python);
        let done = order.args(optimized).arg(&program).args(words).output();
        let done = done.unwrap();
        let said = [done.stdout, done.stderr].concat();
        let said = String::from_utf8_lossy(&said).into_owned();
        (done.status.success(), said)
    };
    let said = run(&[]);
    // What is asked by an assertion is not asked then.
    assert_eq!(run(&["-O"]), said);
    Some(said)
}

/// Holds what the program in Python says against what it should.
pub fn says_apart(text: &str, holds: bool, words: &str) {
    says_apart_by(text, &[], holds, words);
}

/// The same, with keys.
pub fn says_apart_by(text: &str, keys: &[&str], holds: bool, words: &str) {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(text.as_bytes()).unwrap();
    let mut given = vec![file.path().as_os_str()];
    given.extend(keys.iter().map(OsStr::new));
    if let Some((ok, said)) = apart(&given) {
        assert!(ok == holds && said.contains(words), "{words}: {said}");
        let is_fault = said.starts_with("FAULT: ") && said.lines().count() == 1;
        assert!(ok || is_fault, "{said}");
    }
}

/// The entry that a fault names.
pub fn named(fault: &Fault) -> Option<u64> {
    match fault {
        Fault::Entry { seq, .. } => Some(*seq),
        _ => None,
    }
}

/// The lines of a bundle, and the place of each entry's line by its sequence number.
fn lines(text: &str) -> (Vec<String>, Vec<(u64, usize)>) {
    let lines: Vec<String> = text.lines().map(|line| format!("{line}\n")).collect();
    let places = lines.iter().enumerate().filter_map(|(at, line)| {
        match serde_json::from_str(line).unwrap() {
            Line::Entry(entry) => Some((entry.seq, at)),
            _ => None,
        }
    });
    let places = places.collect();
    (lines, places)
}

on_both_databases! {
    async fn the_whole_record_holds_here_and_apart(world) {
        let auditor = grown(&world, 700).await;
        let size = world.entries().await;
        assert!(size > 600, "more than one block: {size}");
        let text = whole(auditor.get("/history/bundle").await);
        let checked = held(&text).unwrap();
        assert_eq!(checked.entries.text(), format!("1-{size}"));
        assert!(checked.names >= 4 && checked.removed == 0 && !checked.trusted, "{checked:?}");
        let root = world.database.read(world.team).await.unwrap().head().await.unwrap().unwrap().root;
        assert_eq!(checked.checkpoint.root, root);
        says_apart(&text, true, &format!("{size} entries of {size}"));
        says_apart(&text, true, &hex::encode(root));
    }

    async fn every_size_of_a_tree_is_walked(world) {
        let auditor = grown(&world, 0).await;
        for number in 0..34 {
            let text = whole(auditor.get("/history/bundle").await);
            let checked = held(&text).unwrap();
            assert_eq!(checked.entries.len(), world.entries().await);
            world.record(ropeloft::domain::Change::StoreAdded(stock::store(&format!("Bay {number}")))).await;
        }
    }

    async fn an_item_a_job_and_a_time_are_parts_that_hold(world) {
        let auditor = grown(&world, 20).await;
        let stock = world.stock().await;
        let job = stock::job("Pump well", 2);
        world.record(ropeloft::domain::Change::JobPlanned(job.clone())).await;
        let text = whole(auditor.get(&format!("/items/{}/history/bundle", stock.first.id)).await);
        let checked = held(&text).unwrap();
        assert!(!checked.entries.is_empty() && checked.entries.len() < 5, "{}", checked.entries.text());
        says_apart(&text, true, "Holds");
        let text = whole(auditor.get(&format!("/api/v1/ledger/bundle?job={}", job.id)).await);
        let checked = held(&text).unwrap();
        assert_eq!(checked.entries.text(), world.entries().await.to_string());
        says_apart(&text, true, "Holds");
        let last = world.entries().await;
        world.clock.advance(time::Duration::days(3));
        world.record(ropeloft::domain::Change::StoreAdded(stock::store("Late bay"))).await;
        let text = whole(auditor.get("/history/bundle?until=2026-03-01").await);
        let checked = held(&text).unwrap();
        assert_eq!(checked.entries.text(), format!("1-{last}"));
        says_apart(&text, true, "Holds");
        let text = whole(auditor.get("/history/bundle?from=2026-03-02").await);
        assert_eq!(held(&text).unwrap().entries.text(), (last + 1).to_string());
        says_apart(&text, true, "Holds");
        let none = whole(auditor.get("/history/bundle?from=2026-03-08").await);
        let checked = held(&none).unwrap();
        assert!(checked.entries.is_empty() && checked.head.is_proved_whole());
        assert_eq!(checked.head.of.words(), "a time without entries, from 2026-03-08 00:00 UTC on,");
        says_apart(&none, true, "Holds");
    }

    async fn the_first_entry_that_is_not_what_was_recorded_is_named(world) {
        let auditor = grown(&world, 40).await;
        let text = whole(auditor.get("/history/bundle").await);
        let (lines, places) = lines(&text);
        for (number, &(seq, at)) in places.iter().enumerate() {
            let wrong = |name: &str, changed: Vec<String>, first: u64| {
                let changed = changed.concat();
                let fault = held(&changed).unwrap_err();
                assert_eq!(named(&fault), Some(first), "{name} {seq}: {fault}");
                if number % 9 == 0 {
                    says_apart(&changed, false, &format!("FAULT: entry {first} "));
                }
            };
            let mut changed = lines.clone();
            changed[at] = changed[at].replacen(r#"recorded_at\":\"20"#, r#"recorded_at\":\"21"#, 1);
            assert_ne!(changed[at], lines[at]);
            wrong("changed", changed, seq);
            let mut left_out = lines.clone();
            left_out.remove(at);
            if at + 1 < lines.len() - 1 {
                let of_name = lines[at + 1].starts_with("{\"name\"");
                if !of_name {
                    wrong("left out", left_out, seq);
                }
            }
            let mut past = lines.clone();
            past[at] = format!("{{\"past\":[{seq},{seq}]}}\n");
            wrong("passed over", past, seq);
            let mut cut = lines.clone();
            cut.truncate(at);
            wrong("cut off", cut, seq);
            if let Some(&(_, next)) = places.get(number + 1) {
                let mut swapped = lines.clone();
                swapped.swap(at, next);
                wrong("swapped", swapped, seq);
            }
        }
    }

    async fn no_line_can_be_changed_unseen(world) {
        let auditor = grown(&world, 6).await;
        let stock = world.stock().await;
        for address in ["/history/bundle".to_owned(), format!("/items/{}/history/bundle", stock.first.id)] {
            let text = whole(auditor.get(&address).await);
            let (lines, _) = lines(&text);
            for at in 0..lines.len() {
                let mut without = lines.clone();
                without.remove(at);
                held(&without.concat()).unwrap_err();
                let mut twice = lines.clone();
                twice.insert(at, lines[at].clone());
                held(&twice.concat()).unwrap_err();
            }
            for (at, _) in text.char_indices().filter(|(at, _)| at % 211 == 0) {
                let mut bytes = text.clone().into_bytes();
                bytes[at] = if bytes[at] == b'7' { b'8' } else { b'7' };
                if let Ok(checked) = check(bytes.as_slice(), &[]) {
                    // A key of somebody else's that is spoilt is one that nobody knows.
                    panic!("byte {at} was changed unseen: {checked:?}");
                }
            }
        }
    }

    async fn an_entry_that_is_taken_out_of_an_items_history_is_named_by_the_signed_list(world) {
        let auditor = grown(&world, 6).await;
        let stock = world.stock().await;
        let text = whole(auditor.get(&format!("/items/{}/history/bundle", stock.first.id)).await);
        let (mut lines, places) = lines(&text);
        let &(seq, at) = places.first().unwrap();
        lines[at] = format!("{{\"past\":[{seq},{seq}]}}\n");
        let fault = held(&lines.concat()).unwrap_err();
        assert_eq!(named(&fault), Some(seq), "{fault}");
        says_apart(&lines.concat(), false, &format!("entry {seq} is left out"));
    }

    async fn only_a_key_that_is_known_makes_it_sure(world) {
        let auditor = grown(&world, 3).await;
        let text = whole(auditor.get("/history/bundle").await);
        let secret = signing_secret();
        let own = secret.verifier(world.team, 1).unwrap();
        let checked = check(text.as_bytes(), std::slice::from_ref(&own)).unwrap();
        assert!(checked.trusted);
        let other = secret.verifier(world.team, 2).unwrap();
        let fault = check(text.as_bytes(), &[other]).unwrap_err();
        assert!(fault.to_string().contains("the checkpoint"), "{fault}");
    }

    async fn a_name_that_was_removed_is_not_in_a_bundle(world) {
        let auditor = grown(&world, 0).await;
        world.hold_competent().await;
        let admin = world.visitor(&world.admin).await;
        let draft = serde_json::json!({"name": crate::item_given::OUTSIDE, "reason": "on request"});
        let before = whole(auditor.get("/history/bundle").await);
        assert!(before.contains(crate::item_given::OUTSIDE));
        let done = admin.json(axum::http::Method::POST, "/api/v1/name-removals", &draft).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        let after = whole(auditor.get("/history/bundle").await);
        assert!(!after.contains(crate::item_given::OUTSIDE));
        let checked = held(&after).unwrap();
        assert_eq!(checked.removed, 1);
        held(&before).unwrap();
    }

    async fn who_asks_for_what_is_not_theirs_gets_none(world) {
        let auditor = grown(&world, 0).await;
        let stock = world.stock().await;
        let outsider = world.visitor(&world.outsider).await;
        let foreign = outsider.get(&format!("/items/{}/history/bundle", stock.first.id)).await;
        assert_eq!(foreign.status, StatusCode::NOT_FOUND);
        // The other team has no key yet.
        let unsigned = outsider.get("/history/bundle").await;
        assert_eq!(unsigned.status, StatusCode::CONFLICT, "{}", unsigned.text);
        let two = auditor.get(&format!("/api/v1/ledger/bundle?item={}&from=2026-01-01", stock.first.id)).await;
        assert_eq!(two.status, StatusCode::UNPROCESSABLE_ENTITY);
        let day = auditor.get("/api/v1/ledger/bundle?from=yesterday").await;
        let problem: Value = day.json();
        assert_eq!((day.status, &problem["fields"][0]["field"]), (StatusCode::UNPROCESSABLE_ENTITY, &Value::from("from")));
        assert_eq!(world.stranger().get("/api/v1/ledger/bundle").await.status, StatusCode::UNAUTHORIZED);
    }
}

#[tokio::test]
async fn the_command_says_what_holds_and_ends_with_an_error_where_it_does_not() {
    crate::world::on_sqlite(async |world| {
        let auditor = grown(&world, 5).await;
        let text = whole(auditor.get("/history/bundle").await);
        let file = world.folder.path().join("record.bundle");
        let verify = |text: &str, more: &[&str]| {
            std::fs::write(&file, text).unwrap();
            let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
                .arg("verify")
                .arg(&file)
                .args(more)
                .output()
                .unwrap();
            let said = [done.stdout, done.stderr].concat();
            (
                done.status.code(),
                String::from_utf8_lossy(&said).into_owned(),
            )
        };
        let (code, said) = verify(&text, &[]);
        assert_eq!(code, Some(0), "{said}");
        assert!(
            said.starts_with("Holds: the whole record of North shaft team"),
            "{said}"
        );
        assert!(said.contains("taken from the file itself"), "{said}");
        let key = signing_secret().verifier(world.team, 1).unwrap().text();
        let (code, said) = verify(&text, &["--key", &key]);
        assert!(
            code == Some(0) && !said.contains("taken from the file itself"),
            "{said}"
        );
        let (code, said) = verify(
            &text.replacen("North shaft team\\\"", "South shaft team\\\"", 1),
            &[],
        );
        assert_eq!(code, Some(1), "{said}");
        assert!(said.contains("entry 1 was changed or forged"), "{said}");
        assert_eq!(verify("no bundle\n", &[]).0, Some(1));
        assert_eq!(verify("", &[]).0, Some(1));
        assert_eq!(verify(&text, &["--key", "none"]).0, Some(1));
    })
    .await;
}
