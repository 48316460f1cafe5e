//! Cutting ropes: what a piece keeps of the rope, and what is refused.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Item, ItemId, ItemState};
use serde_json::json;
use uuid::Uuid;

use crate::{
    client::Answer,
    item_given::{Given, examine, item, model, one_rope, rope_fields, with},
    store_rebuild::again,
    world::World,
};

/// Two pieces of the rope of 60 m, and a metre thrown away.
const TWO: [(&str, &str); 7] = [
    ("pieces[0][mark]", "RL-0042A"),
    ("pieces[0][length]", "35 m"),
    ("pieces[1][mark]", "RL-0042B"),
    ("pieces[1][length]", "24 m"),
    ("waste", "1 m"),
    ("marked", "yes"),
    ("reason", "sheath <worn> at the middle"),
];

/// The item with a mark.
pub async fn marked(world: &World, mark: &str) -> Item {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.item_marked(mark)
        .await
        .unwrap()
        .expect("the mark is there")
}

async fn cut(given: &Given, item: impl ToString, fields: &[(&str, &str)]) -> Answer {
    let path = format!("/items/{}/cuts?id={}", item.to_string(), Uuid::now_v7());
    given.officer.post(&path, fields).await
}

async fn cut_in_two(world: &World, given: &Given) -> (Item, Item, Item) {
    let answer = cut(given, &given.item, &TWO).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let rope = marked(world, "RL-0042").await;
    (
        rope,
        marked(world, "RL-0042A").await,
        marked(world, "RL-0042B").await,
    )
}

/// A rope that was cut in two, with its pieces.
pub async fn cut_rope(world: &World) -> (Given, [Item; 2]) {
    let given = one_rope(world).await;
    let (_, one, other) = cut_in_two(world, &given).await;
    (given, [one, other])
}

on_both_databases! {
    async fn a_piece_keeps_what_the_rope_was(world) {
        let given = one_rope(&world).await;
        let look = [("kind", "intake"), ("on", "2026-01-10"), ("verdict", "fit"), ("next_due_on", "2026-05-01")];
        examine(&given.officer, &given.item, &look).await;
        let before = world.entries().await;
        let path = format!("/items/{}/cuts?id={}", given.item, Uuid::now_v7());
        for _ in 0..2 {
            let answer = given.officer.post(&path, &TWO).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
        assert_eq!(world.entries().await, before + 1, "sent twice, cut once");
        let rope = marked(&world, "RL-0042").await;
        let (a, b) = (marked(&world, "RL-0042A").await, marked(&world, "RL-0042B").await);
        assert_eq!(rope.state, ItemState::Retired);
        assert_eq!(rope.cut_into.as_ref().unwrap().pieces, [a.id, b.id]);
        for (piece, length, serial) in [(&a, "35 m", "S-77<1>/1"), (&b, "24 m", "S-77<1>/2")] {
            assert_eq!((piece.model, piece.store, &piece.lot), (rope.model, rope.store, &rope.lot));
            assert_eq!((piece.made, piece.bought_on, piece.first_used_on), (rope.made, rope.bought_on, rope.first_used_on));
            assert_eq!((piece.next_due_on, piece.last_passed_on), (rope.next_due_on, rope.last_passed_on));
            assert_eq!(piece.state, ItemState::InService);
            assert_eq!(piece.attributes.length("length").unwrap().to_string(), length);
            assert_eq!(piece.serial.as_deref(), Some(serial));
            assert_eq!(piece.maker_serial(), Some("S-77<1>"));
            assert_eq!(piece.markings_readable, Some(true));
        }
        // Each shows the other, and the words of the rope's end name its pieces.
        let page = given.officer.get(&format!("/items/{}", rope.id)).await.text;
        for words in ["RL-0042A (35 m), RL-0042B (24 m)", &a.id.to_string(), &b.id.to_string(), "piece, 35 m, in service"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(!page.contains("cuts/new"), "it cannot be cut again");
        let page = given.officer.get(&format!("/items/{}", a.id)).await.text;
        assert!(page.contains(&rope.id.to_string()) && page.contains("Intake examination, as part of RL-0042"), "{page}");
        let file = given.officer.get("/items.csv?state=all").await.text;
        // Behind the rope that it was cut from: cut into nothing, no arduous use, no price, by what and until when it is in
        // date; then the key of the row.
        let in_date = "\"day set by the last examination (a setting, not a standard's text)\",2026-05-01";
        assert!(file.contains(&format!(",{},,,,{in_date},7b", rope.id)), "{file}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_does_not_add_up_is_refused_with_the_numbers(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let over = with(&TWO, &[("pieces[0][length]", "36 m"), ("waste", "50 yd")]);
        let answer = cut(&given, &given.item, &over).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("id=\"f-waste-wrong-1\""), "yd is no unit here: {}", answer.text);
        let over = with(&TWO, &[("pieces[0][length]", "36 m"), ("waste", "500 mm")]);
        let answer = cut(&given, &given.item, &over).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let sentence = "The pieces come to 60 m and the waste 500 mm, together 60.5 m; the rope is 60 m long: 0.5 m too much.";
        assert!(answer.text.contains(sentence), "{}", answer.text);
        for text in ["value=\"36 m\"", "value=\"RL-0042B\"", "value=\"500 mm\"", "sheath &#60;worn&#62;"] {
            assert!(answer.text.contains(text), "{text} is lost: {}", answer.text);
        }
        // 196.85 ft are 60.00 m less 0.12 mm: feet and metres are one sum.
        let feet = with(&TWO, &[("pieces[0][length]", "100 ft"), ("pieces[1][length]", "96.86 ft"), ("waste", "")]);
        let answer = cut(&given, &given.item, &feet).await;
        assert!(answer.text.contains("60.003 m; the rope is 60 m long: 0.003 m too much"), "{}", answer.text);
        for (name, value, field) in [
            ("pieces[0][length]", "35", "pieces-0-length"),
            ("pieces[0][length]", "0 m", "pieces-0-length"),
            ("pieces[0][length]", "-3 m", "pieces-0-length"),
            ("pieces[0][length]", "", "pieces-0-length"),
            ("pieces[0][mark]", "", "pieces-0-mark"),
            ("pieces[1][mark]", "rl-0042a", "pieces-1-mark"),
            ("pieces[1][mark]", "RL-0042", "pieces-1-mark"),
            ("waste", "-1 m", "waste"),
            ("waste", "1", "waste"),
            ("on", "2026-03-02", "on"),
            ("on", "2020-12-31", "on"),
        ] {
            let answer = cut(&given, &given.item, &with(&TWO, &[(name, value)])).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{name} {value}");
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{name} {value}: {}", answer.text);
        }
        let answer = cut(&given, &given.item, &[("reason", "none")]).await;
        assert!(answer.text.contains("at least one piece"), "{}", answer.text);
        assert_eq!(world.entries().await, before, "nothing was written");
        // The whole length may be used up.
        let all = with(&TWO, &[("pieces[0][length]", "35.3 m"), ("pieces[1][length]", "24.6 m"), ("waste", "0.1 m")]);
        assert_eq!(cut(&given, &given.item, &all).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_rope_that_is_not_at_hand_is_not_cut(world) {
        let given = one_rope(&world).await;
        let step = async |step| {
            let fields = [("step", step), ("reason", "x")];
            let path = format!("/items/{}/step", given.item);
            assert_eq!(given.officer.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        };
        let refused = async |words: &str| {
            let form = given.officer.get(&format!("/items/{}/cuts/new", given.item)).await;
            let answer = cut(&given, &given.item, &TWO).await;
            for answer in [form, answer] {
                assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
                assert!(answer.text.contains(words), "{words}: {}", answer.text);
            }
        };
        let page = async || given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(page().await.contains("cuts/new"));
        step("report-missing").await;
        refused("find it").await;
        let told = page().await;
        assert!(!told.contains("cuts/new") && told.contains("It cannot be cut now. This rope is reported missing"), "{told}");
        step("retire").await;
        refused("retired is for good").await;
        let metal = model(&given.officer, &[("kind", "connector"), ("maker", "Tarn & Fell"), ("name", "Oval"), ("life_support", "yes")]).await;
        let oval = item(&given.officer, &[("mark", "C-1"), ("model", &metal), ("store", &given.store)]).await;
        let answer = cut(&given, &oval, &TWO).await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        assert!(answer.text.contains("Only rope and cord"), "{}", answer.text);
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "RL-2"), ("serial", ""), ("attributes[length]", "")]);
        let unmeasured = item(&given.officer, &fields).await;
        let answer = cut(&given, &unmeasured, &TWO).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("How long RL-2 is now is not known"), "{}", answer.text);
        let crew = world.visitor(&world.crew).await;
        let path = format!("/items/{unmeasured}/cuts");
        assert_eq!(crew.post(&path, &TWO).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.post(&path, &TWO).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_rope_on_a_planned_job_is_not_cut(world) {
        let given = one_rope(&world).await;
        let job = crate::stock::job("Shaft 3", 4);
        let rope = marked(&world, "RL-0042").await;
        world.record(ropeloft::domain::Change::JobPlanned(job.clone())).await;
        let line = crate::stock::line(&job, &rope, None);
        world.record(ropeloft::domain::Change::KitLineAdded(line)).await;
        let answer = cut(&given, &given.item, &TWO).await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        assert!(answer.text.contains("on a planned job"), "{}", answer.text);
    }

    async fn the_past_of_the_rope_goes_with_its_pieces(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let report = async |item: &str, on: &str, note: &str| {
            let fields = [("kind", "chemical"), ("on", on), ("note", note)];
            crew.post(&format!("/items/{item}/events"), &fields).await
        };
        assert_eq!(report(&given.item, "2026-02-01", "solvent").await.status, StatusCode::SEE_OTHER);
        let (rope, a, _) = cut_in_two(&world, &given).await;
        assert_eq!(a.state, ItemState::Quarantined, "what waited for a decision still does");
        assert!(a.state_reason.contains("solvent"), "{}", a.state_reason);
        // A piece of a piece has the past of both.
        let again_fields = [("pieces[0][mark]", "A1"), ("pieces[0][length]", "10 m"), ("waste", "0"), ("rest", "not-known")];
        let answer = cut(&given, a.id, &again_fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let small = marked(&world, "A1").await;
        let whole: Vec<ItemId> = small.whole_ropes().iter().map(|rope| rope.item).collect();
        assert_eq!(whole, [a.id, rope.id]);
        assert_eq!(small.markings_readable, None, "nobody says that its ends are marked");
        let page = given.officer.get(&format!("/items/{}", small.id)).await.text;
        assert!(page.contains("It met a chemical, as part of RL-0042; it goes to quarantine"), "{page}");
        assert!(small.event_hold.is_some_and(|hold| !hold.examined), "it waits for its after-event examination as the rope did");
        let history = given.officer.get(&format!("/items/{}/history", small.id)).await.text;
        for words in ["RL-0042 added to the register", "RL-0042 cut into RL-0042A (35 m), RL-0042B (24 m)",
            "RL-0042A cut into A1 (10 m)", "25 m not accounted for", "Event reported: RL-0042 met a chemical"] {
            assert!(history.contains(words), "{words}: {history}");
        }
        let file = given.officer.get(&format!("/items/{}/history.csv", small.id)).await.text;
        assert_eq!(file.matches("RL-0042 cut into").count(), 1, "{file}");
        assert!(file.contains("Event reported: RL-0042 met a chemical"), "{file}");
        let program = given.officer.get(&format!("/api/v1/items/{}/history", small.id)).await.json();
        assert_eq!(program["entries"].as_array().unwrap().len(), 5, "{program}");
        let events = given.officer.get(&format!("/api/v1/items/{}/events", small.id)).await.json();
        assert_eq!(events["events"][0]["item"], rope.id.to_string());
        // What is recorded for one of them from now on is not the other's.
        let b = marked(&world, "RL-0042B").await;
        assert_eq!(report(&b.id.to_string(), "2026-03-01", "only b").await.status, StatusCode::SEE_OTHER);
        assert!(!given.officer.get(&format!("/items/{}", small.id)).await.text.contains("only b"));
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_is_learnt_late_of_the_whole_rope_holds_its_pieces(world) {
        let given = one_rope(&world).await;
        let (rope, a, b) = cut_in_two(&world, &given).await;
        assert_eq!(a.state, ItemState::InService);
        let path = format!("/items/{}/events", rope.id);
        let fields = [("kind", "fall-held"), ("on", "2026-02-01"), ("note", "told only today")];
        assert_eq!(given.officer.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        for mark in ["RL-0042A", "RL-0042B"] {
            let piece = marked(&world, mark).await;
            assert_ne!(piece.state, ItemState::InService, "{mark}");
            let page = given.officer.get(&format!("/items/{}", piece.id)).await.text;
            assert!(page.contains("When it was part of RL-0042: told only today"), "{page}");
        }
        assert_ne!((a.id, b.id), (rope.id, rope.id));
    }

    async fn an_examination_of_a_rope_that_was_cut_leads_to_its_pieces(world) {
        let given = one_rope(&world).await;
        let (rope, ..) = cut_in_two(&world, &given).await;
        let leads = "RL-0042A (in service), RL-0042B (in service). Put each in quarantine or examine it";
        let look = json!({"kind": "periodic", "on": "2026-02-20", "verdict": "quarantine", "findings": "sheath cut through"});
        let answer = given.officer.json(Method::POST, &format!("/api/v1/items/{}/examinations", rope.id), &look).await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        assert!(answer.text.contains(leads), "{}", answer.text);
        let step = json!({"step": "quarantine", "reason": "sheath cut through"});
        let answer = given.officer.json(Method::POST, &format!("/api/v1/items/{}/steps", rope.id), &step).await;
        assert!(answer.status == StatusCode::CONFLICT && answer.text.contains(leads), "{}", answer.text);
        let form = given.officer.get(&format!("/items/{}/examinations/new", rope.id)).await;
        assert_eq!((form.status, form.headers["location"].to_str().unwrap()), (StatusCode::SEE_OTHER, &*format!("/items/{}", rope.id)));
        let page = given.officer.follow(&form).await.text;
        assert!(page.contains(leads) && page.contains("is written on each piece"), "{page}");
    }

    async fn a_rope_is_not_cut_before_it_was_looked_at_or_used(world) {
        let given = one_rope(&world).await;
        let before = |on: &'static str| with(&TWO, &[("on", on)]);
        let look = [("kind", "intake"), ("on", "2026-02-10"), ("verdict", "fit")];
        examine(&given.officer, &given.item, &look).await;
        let told = async |on: &'static str, words: &str| {
            let answer = cut(&given, &given.item, &before(on)).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{on}");
            for words in [words, "id=\"f-on-wrong-1\"", "value=\"35 m\""] {
                assert!(answer.text.contains(words), "{words}: {}", answer.text);
            }
        };
        told("2026-02-09", "The record of RL-0042 goes on after 2026-02-09: on 2026-02-10 it has &#34;Examination&#34;").await;
        let used = [("on", "2026-02-20"), ("hours", "2"), ("note", "")];
        let done = given.officer.post(&format!("/items/{}/usage", given.item), &used).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        told("2026-02-19", "on 2026-02-20 it has &#34;Use logged&#34;").await;
        assert_eq!(cut(&given, &given.item, &before("2026-02-20")).await.status, StatusCode::SEE_OTHER);
    }

    async fn one_piece_of_the_whole_length_is_no_cut(world) {
        let given = one_rope(&world).await;
        let whole = [("pieces[0][mark]", "RL-0042A"), ("pieces[0][length]", "60 m"), ("marked", "yes"), ("reason", "")];
        let before = world.entries().await;
        let answer = cut(&given, &given.item, &whole).await;
        assert_eq!((answer.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        assert!(answer.text.contains("One piece of 60 m is the whole rope"), "{}", answer.text);
        let ended = with(&whole, &[("pieces[0][length]", "59 m"), ("waste", "1 m")]);
        assert_eq!(cut(&given, &given.item, &ended).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_piece_is_held_by_a_notice_as_the_rope_was(world) {
        let given = one_rope(&world).await;
        let closed = Uuid::now_v7();
        let notice = [("title", "Look at the sheath"), ("issuer", "Tarn & Fell"), ("issued_on", "2026-02-01"),
            ("maker", "Tarn & Fell"), ("action", "Look.")];
        let path = format!("/notices?id={closed}");
        assert_eq!(given.officer.post(&path, &notice).await.status, StatusCode::SEE_OTHER);
        let result = format!("result[{}]", given.item);
        let fields = [("item", given.item.as_str()), (result.as_str(), "looked at, whole")];
        let path = format!("/notices/{closed}/closings");
        assert_eq!(given.officer.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        let step = [("step", "return-to-service"), ("reason", "looked at")];
        let path = format!("/items/{}/step", given.item);
        assert_eq!(given.officer.post(&path, &step).await.status, StatusCode::SEE_OTHER);
        let (_, a, _) = cut_in_two(&world, &given).await;
        assert_eq!(a.state, ItemState::InService, "{}", a.state_reason);
        let page = given.officer.get(&format!("/notices/{closed}")).await.text;
        assert!(page.contains("As for RL-0042, which it was cut from: looked at, whole"), "{page}");
    }

    async fn what_is_left_over_is_asked_for_before_anything_is_cut(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let short = with(&TWO, &[("pieces[0][length]", "15 m"), ("waste", "")]);
        let asked = cut(&given, &given.item, &short).await;
        assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in [
            "Of 60 m: 39 m in pieces, 21 m not accounted for. Say what became of the 21 m",
            "id=\"f-rest-wrong-1\"", "name=\"rest_length\" value=\"21.000 m\"",
            "value=\"15 m\"", "value=\"RL-0042B\"", "sheath &#60;worn&#62;",
        ] {
            assert!(asked.text.contains(words), "{words}: {}", asked.text);
        }
        assert!(!asked.text.contains("name=\"rest\" value=\"thrown-away\" checked"), "nothing is chosen beforehand");
        // What was said of 21 m is not said of 31 m.
        let said = with(&short, &[("rest", "not-known"), ("rest_length", "21.000 m"), ("pieces[1][length]", "14 m")]);
        let asked = cut(&given, &given.item, &said).await;
        assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(asked.text.contains("31 m not accounted for. It was 21 m when you said"), "{}", asked.text);
        assert!(asked.text.contains("value=\"31.000 m\""), "{}", asked.text);
        for (rest, length) in [("sold", "21 m"), ("not-known", "21"), ("thrown-away", "20.9 m")] {
            let said = with(&short, &[("rest", rest), ("rest_length", length)]);
            assert_eq!(cut(&given, &given.item, &said).await.status, StatusCode::UNPROCESSABLE_ENTITY, "{rest} {length}");
        }
        assert_eq!(world.entries().await, before, "nothing was cut");
        let said = with(&short, &[("rest", "thrown-away"), ("rest_length", "21.000 m")]);
        assert_eq!(cut(&given, &given.item, &said).await.status, StatusCode::SEE_OTHER);
        let piece = marked(&world, "RL-0042A").await;
        let history = given.officer.get(&format!("/items/{}/history", piece.id)).await.text;
        assert!(history.contains("60 m long until then, 21 m waste"), "{history}");
        assert!(!history.contains("not accounted for"), "{history}");
        // A piece of it, by a program, with a rest that nobody knows of.
        let path = format!("/api/v1/items/{}/cuts", piece.id);
        let pieces = json!([{"mark": "P1", "length": "10 ft"}]);
        let asked = given.officer.json(Method::POST, &path, &json!({"pieces": pieces, "waste": "1 m"})).await;
        assert_eq!((asked.status, asked.json()["fields"][0]["field"].clone()), (StatusCode::UNPROCESSABLE_ENTITY, json!("rest")));
        assert_eq!(asked.json()["fields"][0]["message"].as_str().unwrap().split(". ").next().unwrap(),
            "Of 15 m: 3.048 m in pieces, 1 m thrown away, 10.952 m not accounted for");
        let done = given.officer.json(Method::POST, &path, &json!({"pieces": pieces, "waste": "1 m", "rest": "not-known"})).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let small = marked(&world, "P1").await;
        let history = given.officer.get(&format!("/items/{}/history", small.id)).await.text;
        assert!(history.contains("1 m waste, 10.952 m not accounted for"), "{history}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn whoever_reads_feet_reads_the_rest_in_feet_too(world) {
        let given = one_rope(&world).await;
        let set = given.officer.post("/settings", &[("units", "us"), ("theme", "system")]).await;
        assert_eq!(set.status, StatusCode::SEE_OTHER, "{}", set.text);
        let form = given.officer.get(&format!("/items/{}/cuts/new", given.item)).await.text;
        assert!(form.contains("data-cut=\"60\" data-units=\"us\"") && form.contains("/static/cut."), "{form}");
        let short = with(&TWO, &[("pieces[0][length]", "50 ft"), ("pieces[1][length]", "50 ft"), ("waste", "")]);
        let asked = cut(&given, &given.item, &short).await;
        assert!(asked.text.contains("Of 60 m (197 ft): 30.48 m (100 ft) in pieces, 29.52 m (96.9 ft) not accounted for"), "{}", asked.text);
    }

    async fn a_program_cuts_a_rope(world) {
        let given = one_rope(&world).await;
        let path = format!("/api/v1/items/{}/cuts?id={}", given.item, Uuid::now_v7());
        let body = json!({"pieces": [{"mark": "P1", "length": "20 m"}, {"mark": "P2", "length": "45 m"}]});
        let answer = given.officer.json(Method::POST, &path, &body).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(answer.json()["fields"][0]["field"], "pieces", "{}", answer.text);
        let body = json!({"pieces": [{"mark": "P1", "length": "20 m"}, {"mark": "P2", "length": "40 m"}]});
        for _ in 0..2 {
            let answer = given.officer.json(Method::POST, &path, &body).await;
            assert_eq!(answer.status, StatusCode::CREATED, "{}", answer.text);
            let json = answer.json();
            assert_eq!(json["rope"]["state"], "retired");
            assert_eq!(json["pieces"][1]["mark"], "P2");
            assert_eq!(json["pieces"][1]["cut_from"]["ropes"][0]["item"], given.item);
            assert!(json["pieces"][0]["markings_readable"].is_null(), "nobody says that they are marked: {json}");
        }
        let other = given.officer.json(Method::POST, &format!("/api/v1/items/{}/cuts", given.item), &body).await;
        assert_eq!(other.status, StatusCode::CONFLICT);
    }
}
