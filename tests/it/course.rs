//! What was measured over time: through the doors, held against the examinations themselves.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    client::Client,
    item_given::{Given, ROPE, item, model, one_rope, rope_fields, with},
};

/// Examines an item by the list; what is not in `answers` passes.
async fn examined(client: &Client, item: &str, on: &str, verdict: &str, answers: &Value) {
    let draft = json!({"kind": "periodic", "on": on, "verdict": verdict, "findings": "measured", "answers": answers, "rest": "pass"});
    let path = format!("/api/v1/items/{item}/examinations");
    let answer = client.json(Method::POST, &path, &draft).await;
    assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
}

async fn told(client: &Client, item: &str) -> Value {
    let answer = client
        .get(&format!("/api/v1/items/{item}/measurements"))
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.json()
}

/// A rope of a model with a limit of its diameter, measured on three days, the last time beyond it.
pub async fn measured_rope(given: &Given) -> String {
    let limit = [
        ("name", "Line 12"),
        ("limits[0][criterion]", "diameter"),
        ("limits[0][least]", "10.2 mm"),
        ("limits[0][source]", "paper, page <3>"),
    ];
    let model = model(&given.officer, &with(&ROPE, &limit)).await;
    let fields = rope_fields(&model, &given.store);
    let fields = with(&fields, &[("mark", "RL-0043"), ("serial", "S-78")]);
    let id = item(&given.officer, &fields).await;
    let diameter = |outcome: &str, values: [&str; 3]| json!({"diameter": {"outcome": outcome, "values": values}});
    let looks = [
        (
            "2022-05-01",
            "fit",
            diameter("pass", ["11", "10.9", "10.8 mm"]),
        ),
        (
            "2024-05-02",
            "fit",
            diameter("pass", ["10.6", "0.42 in", "10.5"]),
        ),
        (
            "2026-02-01",
            "quarantine",
            diameter("fail", ["10.4", "10.1", "10.3"]),
        ),
    ];
    for (on, verdict, answers) in looks {
        examined(&given.officer, &id, on, verdict, &answers).await;
    }
    id
}

on_both_databases! {
    async fn what_was_measured_stands_as_entered_day_by_day(world) {
        let given = one_rope(&world).await;
        let id = measured_rope(&given).await;
        let told = told(&given.officer, &id).await;
        assert_eq!(told["is_cut_off"], false);
        let courses = told["courses"].as_array().unwrap();
        assert_eq!(courses.len(), 1, "{told}");
        assert_eq!((&courses[0]["criterion"], &courses[0]["limit"]["least"]["value"]), (&json!("diameter"), &json!(10.2)));
        assert_eq!(courses[0]["on_record"], json!({"value": 11.0, "unit": "mm"}), "the nominal diameter");
        // The same out of the examinations, which are listed the newest first.
        let all = given.officer.get(&format!("/api/v1/items/{id}/examinations")).await.json();
        let mut again: Vec<Value> = Vec::new();
        for one in all["examinations"].as_array().unwrap().iter().rev() {
            let answers = one["answers"].as_array().unwrap().iter();
            for answer in answers.filter(|answer| answer["values"].is_array()) {
                again.push(json!([one["on"], one["id"], answer["values"], answer["limit"]]));
            }
        }
        let readings = courses[0]["readings"].as_array().unwrap();
        let readings: Vec<Value> = readings.iter().map(|one| json!([one["on"], one["examination"], one["values"], one["limit"]])).collect();
        assert_eq!(readings, again);
        assert_eq!((readings.len(), &readings[1][2][1]), (3, &json!({"value": 0.42, "unit": "in"})));
    }

    async fn the_page_and_the_file_say_the_same(world) {
        let given = one_rope(&world).await;
        let id = measured_rope(&given).await;
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get(&format!("/items/{id}/measurements")).await.text;
        // 0.42 in * 25.4 mm per in = 10.668 mm; the means are 10.9 and 10.2667 mm.
        for words in [
            "In the mean: 10.9 mm on 2022-05-01 and 10.27 mm on 2026-02-01, 0.633 mm less.",
            "at least 10.2 mm, paper, page &#60;3&#62;", "10.1 mm <strong>beyond the limit</strong>",
            "10.7 mm <span class=\"quiet small\">(as entered: 0.42 in)</span>", "how it goes on is not known",
            "on record 11 mm", "class=\"drawing is-narrow\"",
        ] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(!page.contains("10.3 mm <strong>"), "{page}");
        let item = auditor.get(&format!("/items/{id}")).await.text;
        assert!(item.contains(&format!("/items/{id}/measurements")), "{item}");
        let file = auditor.get(&format!("/items/{id}/measurements.csv")).await.text;
        let rows: Vec<&str> = file.lines().collect();
        assert_eq!(rows.len(), 10, "{file}");
        assert!(rows[5].contains(",2,0.42,in,10.668,10.2 mm,,paper, page <3>,no,") || rows[5].contains(",2,0.42,in,10.668,10.2 mm,,\"paper, page <3>\",no,"), "{file}");
        assert!(rows[8].contains(",2,10.1,mm,10.1,10.2 mm,") && rows[8].contains(",yes,"), "{file}");
        let outsider = world.visitor(&world.outsider).await;
        for path in ["measurements", "measurements.csv"] {
            assert_eq!(outsider.get(&format!("/items/{id}/{path}")).await.status, StatusCode::NOT_FOUND);
        }
    }

    async fn numbers_without_a_limit_say_that_nothing_follows(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}/measurements", given.item);
        assert!(given.officer.get(&page).await.text.contains("Nothing was measured yet."));
        let item = given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(!item.contains("/measurements"), "{item}");
        let answers = json!({"diameter": {"outcome": "pass", "values": ["10.9"]}});
        examined(&given.officer, &given.item, "2026-02-01", "fit", &answers).await;
        let text = given.officer.get(&page).await.text;
        for words in ["Measured once. 10.9 mm on 2026-02-01.", "No limit is on the model&#39;s record", "no limit on record that day"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        assert!(!text.contains("c-limit"), "{text}");
    }

    async fn a_piece_has_the_diameters_of_its_rope_and_no_length_of_it(world) {
        let given = one_rope(&world).await;
        let answers = json!({"diameter": {"outcome": "pass", "values": ["10.9"]}, "length": {"outcome": "pass", "values": ["59.5"]}});
        examined(&given.officer, &given.item, "2026-01-10", "fit", &answers).await;
        let cut = json!({"pieces": [{"mark": "RL-A", "length": "35 m"}, {"mark": "RL-B", "length": "24 m"}], "reason": "worn in the middle", "marked": "yes", "rest": "thrown-away"});
        let done = given.officer.json(Method::POST, &format!("/api/v1/items/{}/cuts", given.item), &cut).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let piece = done.json()["pieces"][0]["id"].as_str().unwrap().to_owned();
        examined(&given.officer, &piece, "2026-02-20", "fit", &json!({"diameter": {"outcome": "pass", "values": ["10.8"]}})).await;
        let courses = told(&given.officer, &piece).await["courses"].clone();
        assert_eq!(courses.as_array().unwrap().len(), 1, "{courses}");
        let items: Vec<&Value> = courses[0]["readings"].as_array().unwrap().iter().map(|one| &one["item"]).collect();
        assert_eq!(items, [&json!(given.item), &json!(piece)]);
        let page = given.officer.get(&format!("/items/{piece}/measurements")).await.text;
        assert!(page.contains("as part of RL-0042"), "{page}");
        assert_eq!(told(&given.officer, &given.item).await["courses"].as_array().unwrap().len(), 2);
    }
}
