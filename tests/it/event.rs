//! Reporting events through their door.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{EventKind, Kind, Material, Model, Outcome, consequences};
use serde_json::json;
use uuid::Uuid;

use crate::{item_given::one_rope, stock};

on_both_databases! {
    async fn a_fall_retires_a_rope(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let crew = world.visitor(&world.crew).await;
        let fields = [("kind", "fall-held"), ("on", "2026-02-28"), ("note", "held <b>100 kg</b>")];
        let before = world.entries().await;
        let path = format!("{page}/events?id={}", Uuid::now_v7());
        for _ in 0..2 {
            let answer = crew.post(&path, &fields).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
        assert_eq!(world.entries().await, before + 2, "sent twice, reported once and the fall counted once");
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("retired since 2026-03-01"), "{text}");
        assert!(text.contains("It held a fall") && text.contains("held &#60;b&#62;100 kg&#60;/b&#62;"));
        assert!(text.contains("2026-02-28"));
    }

    async fn every_wrong_field_of_an_event_is_named(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/events", given.item);
        let before = world.entries().await;
        let long = "e".repeat(10_000);
        let fields = [("kind", "eaten"), ("on", "2026-03-02"), ("note", long.as_str())];
        let answer = given.officer.post(&path, &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["kind", "on", "note"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("value=\"eaten\" selected") && answer.text.contains(&long));
        let empty = given.officer.post(&path, &[("kind", "drop"), ("on", ""), ("note", "")]).await;
        assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(world.entries().await, before);
        let auditor = world.visitor(&world.auditor).await;
        let answer = auditor.post(&path, &[("kind", "drop")]).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
    }

    async fn the_form_says_before_what_will_follow(world) {
        let given = one_rope(&world).await;
        let page = given.officer.get(&format!("/items/{}/events/new", given.item)).await.text;
        for words in ["data-later=\"What happened to RL-0042\"", "data-zone=", "It held a fall: it is retired for good", "It was out of sight: it goes to quarantine",
            "It was under water: it goes to quarantine", "UK trade guidance on regulation 12",
            "Others ask less: A rope does not return", "Which substance was it"] {
            assert!(page.contains(words), "{words}: {page}");
        }
    }

    async fn what_an_event_holds_returns_after_an_after_event_examination_alone(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let post = async |rest: &str, fields: &[(&str, &str)]| {
            given.officer.post(&format!("{page}/{rest}"), fields).await
        };
        let state = async || given.officer.get(&format!("/api/v1{page}")).await.json()["item"]["state"].clone();
        let back = [("step", "return-to-service"), ("reason", "looked at")];
        let look = |kind, on, verdict| [("kind", kind), ("on", on), ("verdict", verdict), ("findings", "seen and felt"), ("rest", "pass"),
            ("answers[log][outcome]", "pass"), ("answers[log][note]", "diesel washed out, no stain left")];
        let event = [("kind", "chemical"), ("on", "2026-02-20"), ("note", "diesel on the bag")];
        let answer = post("events", &event).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(state().await, "quarantined");
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("An after-event examination on 2026-02-20 or later must find it fit"), "{text}");
        assert!(!text.contains("step=return-to-service"), "the step is not open");
        // Neither a look of another kind, nor one from before it happened, nor one that failed answers it.
        for (kind, on, verdict) in [("periodic", "2026-03-01", "fit"), ("after-event", "2026-02-19", "fit"), ("after-event", "2026-02-25", "quarantine")] {
            assert_eq!(post("examinations", &look(kind, on, verdict)).await.status, StatusCode::SEE_OTHER, "{kind} {on}");
            assert_eq!(state().await, "quarantined", "{kind} {on}");
            let answer = post("step", &back).await;
            assert_eq!(answer.status, StatusCode::CONFLICT);
            assert!(answer.text.contains("first an after-event examination"), "{}", answer.text);
        }
        assert_eq!(post("examinations", &look("after-event", "2026-02-26", "fit")).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state().await, "quarantined", "fit, and not yet returned");
        assert!(given.officer.get(&page).await.text.contains("it waits to be returned to service"));
        assert_eq!(post("examinations", &look("periodic", "2026-03-01", "fit")).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state().await, "quarantined", "no other look returns it");
        assert_eq!(post("step", &back).await.status, StatusCode::SEE_OTHER);
        assert_eq!(state().await, "in-service");
        // The next event begins anew.
        let event = [("kind", "water"), ("on", "2026-03-01"), ("note", "flooded shaft")];
        assert_eq!(post("events", &event).await.status, StatusCode::SEE_OTHER);
        assert_eq!(post("step", &back).await.status, StatusCode::CONFLICT);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn what_was_missing_and_is_found_was_out_of_sight(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let page = format!("/items/{}", given.item);
        let step = async |step, on: &str| {
            let fields = [("step", step), ("reason", "behind the van"), ("on", on)];
            officer.post(&format!("{page}/step"), &fields).await
        };
        let back = json!({"step": "return-to-service", "reason": "found behind the van"});
        let back = async || officer.json(Method::POST, &format!("/api/v1{page}/steps"), &back).await;
        let look = async |kind, on, verdict| {
            let fields = [("kind", kind), ("rest", "pass"), ("on", on), ("verdict", verdict), ("findings", "looked at"),
                ("answers[log][outcome]", "pass"), ("answers[log][note]", "it lay dry behind the van all day")];
            officer.post(&format!("{page}/examinations"), &fields).await.status
        };
        assert_eq!(step("report-missing", "").await.status, StatusCode::SEE_OTHER);
        assert!(officer.get(&page).await.text.contains("an after-event examination has to find it fit"));
        for kind in ["intake", "periodic", "after-event"] {
            assert_eq!(look(kind, "2026-03-01", "fit").await, StatusCode::UNPROCESSABLE_ENTITY, "it was not said to be found");
        }
        assert_eq!(step("quarantine", "").await.status, StatusCode::SEE_OTHER);
        let text = officer.get(&page).await.text;
        for words in ["was out of sight", "it was missing and was found: behind the van", "An after-event examination on 2026-03-01"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        let refused = back().await;
        assert_eq!(refused.status, StatusCode::CONFLICT);
        assert!(refused.text.contains("first an after-event examination"), "{}", refused.text);
        assert_eq!(look("periodic", "2026-03-01", "fit").await, StatusCode::SEE_OTHER);
        assert_eq!(look("after-event", "2026-02-28", "fit").await, StatusCode::SEE_OTHER);
        assert_eq!(back().await.status, StatusCode::CONFLICT, "neither answers that it was out of sight");
        assert_eq!(look("after-event", "2026-03-01", "fit").await, StatusCode::SEE_OTHER);
        assert_eq!(back().await.status, StatusCode::OK);
        // Whoever looks at it finds it too, and what was bad is examined before it comes back.
        assert_eq!(step("report-missing", "").await.status, StatusCode::SEE_OTHER);
        assert_eq!(look("pre-use", "2026-03-01", "quarantine").await, StatusCode::SEE_OTHER);
        assert_eq!(back().await.status, StatusCode::CONFLICT);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn a_missing_item_that_was_hurt_is_examined_before_it_returns(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let step = async |step| given.officer.post(&format!("{page}/step"), &[("step", step), ("reason", "x")]).await.status;
        assert_eq!(step("report-missing").await, StatusCode::SEE_OTHER);
        let event = [("kind", "lost-sight"), ("on", "2026-02-20"), ("note", "left on the roof")];
        assert_eq!(given.officer.post(&format!("{page}/events"), &event).await.status, StatusCode::SEE_OTHER);
        assert_eq!(step("quarantine").await, StatusCode::SEE_OTHER);
        assert_eq!(step("return-to-service").await, StatusCode::CONFLICT);
    }
}

#[test]
fn every_event_has_a_consequence_for_every_kind_and_the_strictest_holds() {
    for kind in Kind::ALL {
        for material in Material::ALL {
            let model = Model {
                material,
                ..stock::model(*kind, "Tarn & Fell", "Any")
            };
            for happened in EventKind::ALL {
                let all = consequences(happened, &model);
                assert!(!all.because.is_empty(), "{kind:?} {happened:?}");
                let strictest = all
                    .because
                    .iter()
                    .chain(&all.otherwise)
                    .map(|rule| rule.outcome)
                    .max();
                assert_eq!(strictest, Some(all.outcome));
                assert!(all.otherwise.iter().all(|rule| rule.outcome < all.outcome));
                assert!(
                    all.because
                        .iter()
                        .all(|rule| !rule.from.source.is_empty() && !rule.why.is_empty())
                );
            }
        }
    }
}

/// HANDBOOK 3, what is always out at once, and the sources named in the sheet: B09, B15, B21, B22, E21.
#[test]
fn what_the_trade_says_follows() {
    let of =
        |kind, happened| consequences(happened, &stock::model(kind, "Tarn & Fell", "Any")).outcome;
    for (kind, happened, outcome) in [
        (Kind::Lanyard, EventKind::FallHeld, Outcome::Retire),
        (Kind::Rope, EventKind::FallHeld, Outcome::Retire),
        (Kind::Connector, EventKind::FallHeld, Outcome::Examine),
        (Kind::Connector, EventKind::Drop, Outcome::Examine),
        (Kind::Sling, EventKind::Struck, Outcome::Retire),
        (Kind::Sling, EventKind::Heat, Outcome::Retire),
        (Kind::Rope, EventKind::Chemical, Outcome::Examine),
        (Kind::Helmet, EventKind::Struck, Outcome::Retire),
        (Kind::Harness, EventKind::LostSight, Outcome::Examine),
        (Kind::Pulley, EventKind::Water, Outcome::Examine),
    ] {
        assert_eq!(of(kind, happened), outcome, "{kind:?} {happened:?}");
    }
}
