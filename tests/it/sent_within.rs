//! What has an id of its own, in the address or within what is sent: it makes one record, and whoever sends something else
//! under it is told so, at every address.

use axum::http::{Method, StatusCode};
use ropeloft::{
    domain::ItemId,
    store::Stage,
    web::{Access, description, table},
};
use serde_json::{Value, json};
use time::Duration;
use uuid::Uuid;

use crate::{
    client::Client, fitness_case::foot, item_given::one_rope, job_given::planned,
    proposal::strong_kit, world::World,
};

/// The marks on the list of a job, in order.
async fn on_list(client: &Client, job: &str) -> Vec<String> {
    let read = client.get(&format!("/api/v1/jobs/{job}")).await.json();
    let kit = read["kit"].as_array().unwrap().iter();
    let mut marks: Vec<String> = kit
        .map(|entry| entry["item"]["mark"].as_str().unwrap().to_owned())
        .collect();
    marks.sort();
    marks
}

/// A job, and two pulleys that may go at its foot: P-2 and P-8. P-1 may go at its head.
async fn two_feet(world: &World) -> (Client, String, [ItemId; 2]) {
    let mut shelf = strong_kit();
    let first = shelf
        .iter()
        .find(|thing| thing.item.mark == "P-2")
        .unwrap()
        .item
        .id;
    let mut other = foot().rated(&["axle|60 kN|breaking"]);
    other.item.mark = "P-8".into();
    let second = other.item.id;
    shelf.push(other);
    world.shelve(&shelf).await;
    let crew = world.visitor(&world.crew).await;
    let job = planned(&crew, json!({})).await;
    (crew, job, [first, second])
}

/// The request that names the line's id itself: to the way for several, to that for one, or as the form of a proposal does.
async fn put(
    client: &Client,
    way: &str,
    job: &str,
    id: Uuid,
    item: ItemId,
    place: &str,
) -> StatusCode {
    let answer = match way {
        "lines" => {
            let lines = json!({"lines": [{"id": id, "item": item, "position": place}]});
            client
                .json(
                    Method::POST,
                    &format!("/api/v1/jobs/{job}/kit/lines"),
                    &lines,
                )
                .await
        }
        "one" => {
            let line = json!({"item": item, "position": place});
            client
                .json(
                    Method::POST,
                    &format!("/api/v1/jobs/{job}/kit?id={id}"),
                    &line,
                )
                .await
        }
        _ => {
            let take = format!("{id}/{place}/{item}");
            client
                .post(&format!("/jobs/{job}/proposal"), &[("take", take.as_str())])
                .await
        }
    };
    answer.status
}

on_both_databases! {
    async fn the_id_of_a_kit_line_is_held_against_what_it_made(world) {
        let (crew, job, [first, second]) = two_feet(&world).await;
        let officer = world.visitor(&world.officer).await;
        for way in ["lines", "one", "form"] {
            let id = Uuid::now_v7();
            let done = if way == "form" { StatusCode::SEE_OTHER } else { StatusCode::CREATED };
            for _ in 0..2 {
                assert_eq!(put(&crew, way, &job, id, first, "foot").await, done, "{way}");
            }
            let entries = world.entries().await;
            for other in ["lines", "one", "form"] {
                for (who, item, place) in [
                    (&crew, second, "foot"), (&crew, second, ""), (&crew, first, ""), (&officer, first, "foot"), (&officer, second, "foot"),
                ] {
                    let status = put(who, other, &job, id, item, place).await;
                    assert_eq!(status, StatusCode::CONFLICT, "{way} then {other}: {item} at {place:?}");
                }
            }
            assert_eq!(world.entries().await, entries, "{way}");
            assert_eq!(on_list(&crew, &job).await, ["P-2"]);
            let off = crew.json(Method::DELETE, &format!("/api/v1/jobs/{job}/kit/{id}"), &json!({})).await;
            assert_eq!(off.status, StatusCode::OK, "{}", off.text);
            // What was taken off meanwhile is not put on again by what is sent once more.
            assert_eq!(put(&crew, way, &job, id, first, "foot").await, StatusCode::CONFLICT, "{way}");
            assert!(on_list(&crew, &job).await.is_empty());
        }
    }

    async fn of_several_lines_under_one_id_none_is_lost_without_a_word(world) {
        let (crew, job, [first, second]) = two_feet(&world).await;
        let id = Uuid::now_v7();
        let path = format!("/api/v1/jobs/{job}/kit/lines");
        let both = json!({"lines": [{"id": id, "item": first, "position": "foot"}, {"id": id, "item": second}]});
        let answer = crew.json(Method::POST, &path, &both).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        assert!(answer.text.contains("Lines 1 and 2 have one id"), "{}", answer.text);
        assert!(on_list(&crew, &job).await.is_empty());
        // Of three at once one is put on, and only that one is told so.
        let send = async |item, place| put(&crew, "lines", &job, id, item, place).await;
        let (a, b, c) = tokio::join!(send(first, "foot"), send(second, "foot"), send(second, ""));
        let done = [a, b, c].into_iter().filter(StatusCode::is_success).count();
        let refused = [a, b, c].into_iter().filter(|status| *status == StatusCode::CONFLICT).count();
        assert_eq!((done, refused), (1, 2), "{a} {b} {c}");
        assert_eq!(on_list(&crew, &job).await.len(), 1);
        // Another job's line is told apart as well; what was refused says what it was.
        let other = planned(&crew, json!({"title": "Another", "starts_at": "2026-03-03T08:00", "ends_at": "2026-03-03T16:00"})).await;
        let lines = json!({"lines": [{"id": id, "item": first, "position": "foot"}]});
        let answer = crew.json(Method::POST, &format!("/api/v1/jobs/{other}/kit/lines"), &lines).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        assert!(answer.text.contains("P-2 is not put on: the id of its line is that of a line of another job"), "{}", answer.text);
    }

    async fn a_swap_by_hand_whose_line_is_gone_says_what_became_of_it(world) {
        let (crew, job, [first, second]) = two_feet(&world).await;
        let officer = world.visitor(&world.officer).await;
        let line = Uuid::now_v7();
        assert_eq!(put(&crew, "lines", &job, line, first, "foot").await, StatusCode::CREATED);
        let swap = json!({"item": second});
        let to = format!("/jobs/{job}/kit/{line}/swap");
        let id = Uuid::now_v7();
        for _ in 0..2 {
            let swapped = officer.json(Method::POST, &format!("/api/v1{to}?id={id}"), &swap).await;
            assert_eq!(swapped.status, StatusCode::CREATED, "{}", swapped.text);
        }
        let entries = world.entries().await;
        let gone = "P-2 is off the list. The equipment officer of the north took it off at ";
        let item = second.to_string();
        let page = crew.post(&format!("{to}?id={}", Uuid::now_v7()), &[("item", item.as_str())]).await;
        let remove = crew.post(&format!("/jobs/{job}/kit/{line}/remove"), &[("reason", "")]).await;
        for answer in [&page, &remove] {
            assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
            for words in [gone, "P-8 is there now.", "Nothing of this was done", &format!("href=\"/jobs/{job}\"")] {
                assert!(answer.text.contains(words), "{words}: {}", answer.text);
            }
        }
        let told = crew.json(Method::POST, &format!("/api/v1{to}"), &swap).await;
        assert_eq!(told.status, StatusCode::CONFLICT, "{}", told.text);
        assert!(told.text.contains(gone), "{}", told.text);
        // What never was a line of the list is still not found.
        let never = format!("/api/v1/jobs/{job}/kit/{}/swap", Uuid::now_v7());
        assert_eq!(crew.json(Method::POST, &never, &swap).await.status, StatusCode::NOT_FOUND);
        assert_eq!(world.entries().await, entries);
        assert_eq!(on_list(&crew, &job).await, ["P-8"]);
    }

    async fn an_id_that_was_used_is_told_at_every_address(world) {
        let admin = world.visitor(&world.admin).await;
        let id = Uuid::now_v7();
        let used = admin.post(&format!("/stores?id={id}"), &[("name", "Bay 9")]).await;
        assert_eq!(used.status, StatusCode::SEE_OTHER, "{}", used.text);
        let entries = world.entries().await;
        let routes: Vec<_> = table().into_iter().filter(|route| route.method == Method::POST && route.access != Access::Open).collect();
        assert!(routes.len() > 100, "{}", routes.len());
        let mut told = 0;
        for route in routes.iter().filter(|route| !route.path.starts_with("/sign-") ) {
            let nobody = Uuid::nil().to_string();
            let parts = route.path.split('/').map(|part| if part.starts_with('{') { nobody.as_str() } else { part });
            let path = format!("{}?id={id}", parts.collect::<Vec<_>>().join("/"));
            let answer = if path.starts_with("/api/") {
                let plain = admin.json(Method::POST, &path, &json!({})).await;
                // A key besides the id is no way round it.
                let keyed = admin.json_once(&path, &Uuid::new_v4().to_string(), &json!({})).await;
                assert_eq!(keyed.status, plain.status, "{path}: {}", keyed.text);
                plain
            } else {
                admin.post(&path, &[("note", "another")]).await
            };
            // An address that takes no id says so, and keeps nothing under it.
            if !answer.text.contains("which this address does not know") {
                assert_eq!(answer.status, StatusCode::CONFLICT, "{path}: {}", answer.text);
                told += 1;
            }
        }
        assert!(told > 100, "{told}");
        assert_eq!(world.entries().await, entries);
    }

    async fn a_key_besides_an_id_keeps_both(world) {
        let given = one_rope(&world).await;
        let path = format!("/api/v1/items/{}/events?id={}", given.item, Uuid::now_v7());
        let told = |note: &str| json!({"kind": "heat", "on": "2026-03-01", "note": note});
        let first = given.officer.json_once(&path, "a", &told("by the stove")).await;
        assert_eq!(first.status, StatusCode::CREATED, "{}", first.text);
        let entries = world.entries().await;
        for (key, status) in [("a", StatusCode::CREATED), ("b", StatusCode::CREATED)] {
            let again = given.officer.json_once(&path, key, &told("by the stove")).await;
            assert_eq!((again.status, &again.text), (status, &first.text), "{key}");
        }
        let other = given.officer.json_once(&path, "c", &told("by the lamp")).await;
        assert_eq!(other.status, StatusCode::CONFLICT, "{}", other.text);
        assert_eq!(world.entries().await, entries);
        // What was refused under a key may be mended under it.
        let (mended, _) = path.split_once('?').unwrap();
        assert_eq!(given.officer.json_once(mended, "c", &told("by the lamp")).await.status, StatusCode::CREATED);
    }

    async fn an_id_that_a_server_left_lying_is_said_to_have_recorded_nothing(world) {
        let given = one_rope(&world).await;
        let (page, program) = (Uuid::now_v7(), Uuid::now_v7());
        // A server took the ids for something else, and ended.
        let now = world.clock.now();
        for id in [page, program] {
            let mut tx = world.database.write(world.team).await.unwrap();
            assert!(tx.take_key_of_post(&format!("id {id}"), &[7; 32], (now, now)).await.unwrap());
            tx.commit().await.unwrap();
        }
        let fields = [("kind", "heat"), ("on", "2026-03-01"), ("note", "by the stove")];
        let form = format!("/items/{}/events?id={page}", given.item);
        let api = format!("/api/v1/items/{}/events?id={program}", given.item);
        let body = json!({"kind": "heat", "on": "2026-03-01", "note": "by the lamp"});
        let nothing = "As long as it is not answered nothing of it is recorded, and nothing of this is.";
        let told = [given.officer.post(&form, &fields).await, given.officer.json(Method::POST, &api, &body).await];
        for answer in told {
            assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
            assert!(answer.text.contains(nothing) && !answer.text.contains("is recorded; this is not"), "{}", answer.text);
        }
        // Nobody is about it any more: then it is let through, and is done under its id.
        world.clock.advance(Duration::minutes(11));
        let entries = world.entries().await;
        assert_eq!(given.officer.post(&form, &fields).await.status, StatusCode::SEE_OTHER);
        assert_eq!(given.officer.json(Method::POST, &api, &body).await.status, StatusCode::CREATED);
        assert!(world.entries().await >= entries + 2);
        let mut tx = world.database.read(world.team).await.unwrap();
        for id in [page, program] {
            assert_eq!(tx.posted(&format!("id {id}")).await.unwrap().unwrap().stage, Stage::Done);
        }
    }
}

/// The names of the schemas that a body which is posted may hold, one within the other, that have an `id` of their own.
fn with_ids(described: &Value, schema: &Value, path: &str, found: &mut Vec<String>) {
    if let Some(name) = schema["$ref"].as_str() {
        let name = name.rsplit('/').next().unwrap();
        let of = &described["components"]["schemas"][name];
        if !path.contains(&format!("/{name}/")) {
            with_ids(described, of, &format!("{path}{name}/"), found);
        }
        return;
    }
    if !schema["properties"]["id"].is_null() {
        found.push(path.trim_end_matches('/').to_owned());
    }
    match schema {
        Value::Object(parts) => parts
            .values()
            .for_each(|part| with_ids(described, part, path, found)),
        Value::Array(parts) => parts
            .iter()
            .for_each(|part| with_ids(described, part, path, found)),
        _ => {}
    }
}

#[test]
fn what_brings_ids_within_its_body_is_known() {
    let described = serde_json::to_value(description()).unwrap();
    let mut found = Vec::new();
    for (path, methods) in described["paths"].as_object().unwrap() {
        let body = &methods["post"]["requestBody"];
        with_ids(&described, body, &format!("{path} /"), &mut found);
    }
    found.dedup();
    // The ids of its lines are held against what they made: see above. What is added here needs the same.
    assert_eq!(found, ["/api/v1/jobs/{id}/kit/lines /NewLines/NewLine"]);
}
