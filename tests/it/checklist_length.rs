//! The length that is measured in an examination: what follows from it, and what is asked where it is far from the record.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    bench::action,
    checklist::{examined, messages},
    client::Client,
    item_given::{item, one_rope, rope_fields, with},
    store_rebuild::again,
};

const VALUE: &str = "answers[length][values][0]";

fn length(outcome: &str, note: &str, value: &str) -> Value {
    json!({"rest": "pass", "answers": {"length": {"outcome": outcome, "note": note, "values": [value]}}})
}

/// The same with a word that it was measured so.
fn confirmed(outcome: &str, note: &str, value: &str) -> Value {
    let mut draft = length(outcome, note, value);
    draft["answers"]["length"]["confirmed"] = json!(true);
    draft
}

async fn recorded(client: &Client, item: &str) -> Value {
    let path = format!("/api/v1/items/{item}");
    let read = client.get(&path).await.json();
    read["item"]["attributes"]["length"].clone()
}

on_both_databases! {
    async fn a_rope_that_was_measured_shorter_is_as_long_as_that_from_then_on(world) {
        let given = one_rope(&world).await;
        let length = |outcome: &str, note: &str, value: &str| json!({"rest": "pass", "answers": {
            "length": {"outcome": outcome, "note": note, "values": [value]}}});
        let now = async || given.officer.get(&format!("/api/v1/items/{}", given.item)).await.json()["item"]["attributes"]["length"].clone();
        // Within 1 % it is the same length.
        let (status, answer) = examined(&given.officer, &given.item, length("pass", "", "59.4 m")).await;
        assert_eq!(status, StatusCode::CREATED, "{answer}");
        assert_eq!(answer["length_left"], "59.4 m was measured, less than the 60 m on record by no more than 1 %, which counts as no difference: the record stays.");
        let (_, same) = examined(&given.officer, &given.item, length("pass", "", "60 m")).await;
        assert_eq!(same["length_left"], serde_json::Value::Null);
        let long = now().await;
        for outcome in ["pass", ""] {
            let (status, answer) = examined(&given.officer, &given.item, length(outcome, "", "58 m")).await;
            assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{answer}");
            let told = messages(&answer, "answers[length][outcome]");
            assert_eq!(told, ["58 m is less than the 60 m of the register: say watch, and why, and 58 m is its length from now on; or fail."]);
        }
        assert_eq!(now().await, long);
        let (status, answer) = examined(&given.officer, &given.item, length("watch", "shrunk in the wash", "58")).await;
        assert_eq!(status, StatusCode::CREATED, "{answer}");
        assert_ne!(now().await, long);
        let page = given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(page.contains("58 m") && !page.contains("60 m</"), "{page}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_length_far_from_the_record_is_asked_about(world) {
        let given = one_rope(&world).await;
        let (officer, rope) = (&given.officer, given.item.as_str());
        let before = (recorded(officer, rope).await, world.entries().await);
        // 61.8 m is just within 3 %, and 30 m is just half.
        for (value, note, asked) in [
            ("62 m", "", "Is it really 62 m? The record says 60 m, which is less by more than 3 %"),
            ("61.9", "", "Is it really 61.9 m?"),
            ("203 ft", "", "Is it really 203 ft?"),
            ("29.9 m", "cut at the end", "Is it really 29.9 m? The record says 60 m, which is more than twice that."),
            ("60 ft", "", "Is it really 60 ft? The record says 60 m, which is more than twice that. Write 60 m if that is meant"),
        ] {
            for verdict in ["fit", "quarantine"] {
                let mut draft = length("watch", if note.is_empty() { "seen" } else { note }, value);
                draft["verdict"] = json!(verdict);
                draft["findings"] = json!("a look");
                let (status, answer) = examined(officer, rope, draft).await;
                assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{value}: {answer}");
                let told = messages(&answer, VALUE);
                assert!(told.len() == 1 && told[0].contains(asked) && told[0].contains("confirm that"), "{value}: {told:?}");
            }
        }
        assert_eq!((recorded(officer, rope).await, world.entries().await), before);
        for value in ["61.8 m", "60.5"] {
            let (status, answer) = examined(officer, rope, length("pass", "", value)).await;
            assert_eq!(status, StatusCode::CREATED, "{value}: {answer}");
        }
        // What is confirmed is believed: longer leaves the record, shorter is its length from then on.
        let (status, answer) = examined(officer, rope, confirmed("pass", "", "62 m")).await;
        assert_eq!(status, StatusCode::CREATED, "{answer}");
        let left = "62 m was measured, more than the 60 m on record: the record stays, and kits are chosen by the 60 m, until it is corrected on the page of the item.";
        assert_eq!(answer["length_left"], left);
        let answers = answer["answers"].as_array().unwrap();
        assert_eq!(answers.iter().filter(|one| one["confirmed"] == json!(true)).count(), 1, "{answer}");
        assert_eq!(recorded(officer, rope).await, before.0);
        let (status, answer) = examined(officer, rope, confirmed("watch", "cut at the end", "20 m")).await;
        assert_eq!(status, StatusCode::CREATED, "{answer}");
        assert_ne!(recorded(officer, rope).await, before.0);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_rope_in_feet_is_not_taken_for_one_in_metres(world) {
        let given = one_rope(&world).await;
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "RL-2"), ("serial", "S-2"), ("attributes[length]", "200 ft")]);
        let rope = item(&given.officer, &fields).await;
        let (status, answer) = examined(&given.officer, &rope, length("pass", "", "200")).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{answer}");
        let told = messages(&answer, VALUE);
        assert!(told[0].contains("Is it really 200 m? The record says 200 ft") && told[0].contains("Write 200 ft if that is meant"), "{told:?}");
        let (status, answer) = examined(&given.officer, &rope, length("pass", "", "200 ft")).await;
        assert_eq!(status, StatusCode::CREATED, "{answer}");
    }

    async fn a_length_of_nothing_is_refused(world) {
        let given = one_rope(&world).await;
        for (value, said) in [("0", "A length is above 0 m, not 0 m."), ("0 ft", "not 0 ft"), ("-3 m", "-3")] {
            for draft in [length("pass", "", value), confirmed("fail", "no rope", value)] {
                let (status, answer) = examined(&given.officer, &given.item, draft).await;
                assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{answer}");
                let told = messages(&answer, VALUE);
                assert!(told.len() == 1 && told[0].contains(said), "{value}: {told:?}");
            }
        }
    }

    async fn the_forms_ask_and_take_the_answer_for_just_what_was_typed(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let seen = officer.get(&format!("/bench?item={}", given.item)).await.text;
        assert!(seen.contains("data-below=\"30\" data-above=\"61.8\"") && seen.contains("<div data-confirm hidden>"), "{seen}");
        let fields = [("kind", "periodic"), ("on", "2026-02-27"), ("verdict", "fit"), ("rest", "pass"), (VALUE, "66"), ("answers[length][outcome]", "pass")];
        for form in [format!("/items/{}/examinations", given.item), action(&seen)] {
            let asked = officer.post(&form, &fields).await;
            assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{form}: {}", asked.text);
            assert!(asked.text.contains("Is it really 66 m?") && asked.text.contains("name=\"answers[length][confirmed]\" value=\"66 m\""), "{}", asked.text);
            assert!(asked.text.contains("<div data-confirm>"), "{}", asked.text);
            // It is no answer for another number.
            let other = with(&fields, &[(VALUE, "70"), ("answers[length][confirmed]", "66 m")]);
            assert!(officer.post(&form, &other).await.text.contains("Is it really 70 m?"));
            let done = officer.post(&form, &with(&fields, &[("answers[length][confirmed]", "66 m")])).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{form}: {}", done.text);
        }
        let sheet = officer.json(Method::GET, &format!("/api/v1/items/{}/examinations", given.item), &json!({})).await.json();
        assert_eq!(sheet["examinations"].as_array().unwrap().len(), 2, "{sheet}");
        let id = sheet["examinations"][0]["id"].as_str().unwrap();
        let page = officer.get(&format!("/items/{}/examinations/{id}", given.item)).await.text;
        assert!(page.contains("66 m (far from the length on record, and confirmed by whoever measured)"), "{page}");
    }
}
