//! Lots and serials on record that say in other words, or in part, what a notice names: none is left in service in silence.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    client::Client,
    item_given::{Given, item, one_rope, rope_fields, with},
};

/// What may be A100, and how it stands on record.
const PERHAPS: [&str; 12] = [
    "lot A100",
    "Batch A100",
    "A100 (worn)",
    "A100 or A103",
    "A100/A105",
    "A98-A103",
    "A98 to A104",
    "A1?0",
    "A10_",
    "A10…",
    "illegible",
    "n/a",
];
/// What is A100 however it is spelt.
const SPELT: [&str; 7] = ["A100", "a100", "A-100", "A 100", "#A100", "A0100", "Ａ100"];
/// What is another.
const OTHER: [&str; 6] = ["A200", "lot A200", "A200 or A201", "A2?0", "B100", "AB 100"];

async fn of_lot(given: &Given, lot: &str) -> String {
    let mark = format!("M {lot}");
    let own = [("mark", mark.as_str()), ("serial", ""), ("lot", lot)];
    item(
        &given.officer,
        &with(&rope_fields(&given.model, &given.store), &own),
    )
    .await
}

async fn open(officer: &Client, field: &str, text: &str) -> String {
    let mut draft = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01", "maker": "Tarn & Fell",
        "action": "Pull the sheath."});
    draft[field] = json!(text);
    let done = officer.json(Method::POST, "/api/v1/notices", &draft).await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    format!("/notices/{}", done.json()["id"].as_str().unwrap())
}

async fn state(officer: &Client, item: &str) -> Value {
    officer.get(&format!("/api/v1/items/{item}")).await.json()["state"].clone()
}

on_both_databases! {
    async fn a_lot_in_other_words_is_held_and_the_notice_says_why(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let mut there = Vec::new();
        for lot in PERHAPS.iter().chain(&SPELT).chain(&OTHER) {
            there.push((*lot, of_lot(&given, lot).await));
        }
        for (lots, beside) in [("A100", "M later"), ("A100 to A102", "M later still")] {
            let notice = open(officer, "lots", lots).await;
            let sheet = officer.get(&format!("/api/v1{notice}")).await.json();
            let page = officer.get(&notice).await.text;
            for (lot, item) in &there {
                let covered = !OTHER.contains(lot);
                assert_eq!(state(officer, item).await, if covered { "quarantined" } else { "in-service" }, "{lots}: {lot}");
                let row = sheet["covers"].as_array().unwrap().iter().find(|row| row["item"]["id"] == **item);
                assert_eq!(row.is_some(), covered, "{lots}: {lot}");
                let why = row.map_or(json!([]), |row| row["counted_as"].clone());
                let said = format!("Its lot on record, \"{lot}\", ");
                assert_eq!(why.to_string().contains(&said.replace('"', "\\\"")), PERHAPS.contains(lot), "{lots}: {lot}: {why}");
                let said = said.replace('"', "&#34;");
                assert_eq!(page.contains(&said), PERHAPS.contains(lot), "{lots}: {said}: {page}");
            }
            // One that is added later is held as one that is there.
            let own = [("mark", beside), ("serial", ""), ("lot", "Lot A-100, worn")];
            let later = item(officer, &with(&rope_fields(&given.model, &given.store), &own)).await;
            assert_eq!(state(officer, &later).await, "quarantined", "{lots}");
        }
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn a_serial_in_other_words_is_held_too(world) {
        let given = one_rope(&world).await;
        let mut there = Vec::new();
        for (serial, covered) in [
            ("105", true), ("SN 105", true), ("S/N 106", true), ("No. 107", true), ("serial 108", true), ("109 (worn)", true),
            ("105 or 99", true), ("1?5", true), ("illegible", true), ("205", false), ("SN 206", false), ("2?5", false),
        ] {
            let own = [("mark", serial), ("serial", serial), ("lot", "L7")];
            let id = item(&given.officer, &with(&rope_fields(&given.model, &given.store), &own)).await;
            there.push((serial, id, covered));
        }
        open(&given.officer, "serials", "100 to 110").await;
        for (serial, item, covered) in there {
            assert_eq!(state(&given.officer, &item).await, if covered { "quarantined" } else { "in-service" }, "{serial}");
        }
    }
}
