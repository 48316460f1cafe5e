//! Lots and serials on record that say in other words, or in part, what a notice names: none is left in service in silence.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    client::Client,
    item_given::{Given, ROPE, item, model, one_rope, rope_fields, with},
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

async fn of_lot(given: &Given, mark: &str, lot: &str) -> String {
    let own = [("mark", mark), ("serial", ""), ("lot", lot)];
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
    officer.get(&format!("/api/v1/items/{item}")).await.json()["item"]["state"].clone()
}

on_both_databases! {
    async fn a_lot_in_other_words_is_held_and_the_notice_says_why(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let mut there = Vec::new();
        for (at, lot) in PERHAPS.iter().chain(&SPELT).chain(&OTHER).enumerate() {
            there.push((*lot, of_lot(&given, &format!("M-{at}"), lot).await));
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

    async fn lots_of_a_list_are_compared_as_one_alone_is(world) {
        let given = one_rope(&world).await;
        let mut there = Vec::new();
        for lot in ["A100", "A101", "A103", "A102"] {
            there.push((lot, of_lot(&given, lot, lot).await));
        }
        open(&given.officer, "lots", "A100, A-101, A103.").await;
        for (lot, item) in there {
            assert_eq!(state(&given.officer, &item).await, if lot == "A102" { "in-service" } else { "quarantined" }, "{lot}");
        }
    }

    async fn what_is_spelt_much_like_it_is_asked_for_and_told(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let mut at = 0;
        let mut of = async |maker: &str, name: &str, lot: &str| {
            at += 1;
            let rope = model(officer, &with(&ROPE, &[("maker", maker), ("name", name)])).await;
            let mark = format!("N-{at}");
            let own = [("mark", mark.as_str()), ("serial", ""), ("lot", lot)];
            item(officer, &with(&rope_fields(&rope, &given.store), &own)).await
        };
        let apart = of("Tarn & Fell", "Line-11 mm", "L9").await;
        of("Tarn and Fell", "Line 11", "L9").await;
        of("Tarn & Fell", "Line 12", "L9").await;
        of("Tarn & Fell", "line11", "L1").await;
        let mut draft = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01",
            "maker": "tarn & fell", "model_name": "Line 11", "lots": "L9", "action": "Pull the sheath."});
        let before = world.entries().await;
        let asked = officer.json(Method::POST, "/api/v1/notices", &draft).await;
        assert_eq!((asked.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before), "{}", asked.text);
        let fields = asked.json()["fields"].clone();
        assert_eq!((&fields[0]["field"], &fields[0]["code"]), (&json!("maker"), &json!("alike")), "{fields}");
        assert!(fields[0]["message"].as_str().unwrap().contains("spelt much like it: Tarn and Fell, Line 11 (1 item)."), "{fields}");
        assert_eq!(fields[1]["field"], "model_name");
        // What is of another lot or another number is not asked for.
        assert!(fields[1]["message"].as_str().unwrap().contains("spelt much like it: Tarn & Fell, Line-11 mm (1 item)."), "{fields}");
        let typed = [("title", "Sheath slips"), ("issuer", "Tarn & Fell"), ("issued_on", "2026-02-01"), ("maker", "Tarn & Fell"),
            ("model_name", "Line 11"), ("lots", "L9"), ("action", "Pull the sheath.")];
        let page = officer.post("/notices", &typed).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in ["Line-11 mm (1 item)", "name=\"anyway\"", "Pull the sheath.</textarea>"] {
            assert!(page.text.contains(words), "{words}: {}", page.text);
        }
        draft["anyway"] = json!("yes");
        let done = officer.json(Method::POST, "/api/v1/notices", &draft).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        assert_eq!(state(officer, &apart).await, "in-service");
        let notice = format!("/notices/{}", done.json()["id"].as_str().unwrap());
        let sheet = officer.get(&format!("/api/v1{notice}")).await.json();
        let names: Vec<&str> = sheet["alike"].as_array().unwrap().iter().filter_map(|one| one["name"].as_str()).collect();
        assert_eq!((names.len(), sheet["alike"][0]["items"].clone()), (2, json!(1)), "{sheet}");
        let page = officer.get(&notice).await.text;
        assert!(page.contains("Not covered, though spelt much like it") && page.contains("Tarn &#38; Fell, Line-11 mm</a>, 1 item"), "{page}");
        // Once it is named too, it is held and nothing is left to ask.
        draft["more_models"] = json!("Line-11 mm");
        draft["maker"] = json!("Tarn & Fell");
        let tag = officer.get(&format!("/api/v1{notice}")).await.headers["etag"].to_str().unwrap().to_owned();
        draft["reason"] = json!("spelt in two ways");
        let done = officer.json_if(Method::PUT, &format!("/api/v1{notice}"), &tag, &draft).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(state(officer, &apart).await, "quarantined");
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
