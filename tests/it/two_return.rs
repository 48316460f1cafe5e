//! Where two return an item from quarantine, they are two competent people, and what is learnt after the first asked ends that.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Holder, Qualification, QualificationId};
use serde_json::{Value, json};
use time::macros::date;

use crate::{
    client::{Answer, Client},
    item_given::{Given, one_rope},
    store_rebuild::again,
    world::World,
};

/// A team whose officer is competent, whose administrator is not, and where two return; a rope in quarantine.
async fn given(world: &World) -> (Given, Client) {
    let given = one_rope(world).await;
    let admin = world.visitor(&world.admin).await;
    let settle = [
        ("name", "North"),
        ("rulebook", "european"),
        ("return_by_two", "yes"),
    ];
    assert_eq!(
        admin.post("/team", &settle).await.status,
        StatusCode::SEE_OTHER
    );
    let all = admin.get("/api/v1/qualifications").await.json();
    let name = "The administrator of the north";
    for one in all["qualifications"].as_array().unwrap() {
        if one["name"] == name {
            let end = json!({"reason": "gave it up", "on": "2026-02-01"});
            let path = format!(
                "/api/v1/qualifications/{}/end",
                one["record"]["id"].as_str().unwrap()
            );
            let done = admin.json(Method::POST, &path, &end).await;
            assert!(done.status.is_success(), "{}", done.text);
        }
    }
    assert_eq!(
        step(&given.officer, &given.item, "quarantine").await.status,
        StatusCode::OK
    );
    (given, admin)
}

async fn step(client: &Client, item: &str, step: &str) -> Answer {
    let draft = json!({"step": step, "reason": "felt all along"});
    client
        .json(Method::POST, &format!("/api/v1/items/{item}/steps"), &draft)
        .await
}

async fn look(client: &Client, item: &str, (kind, verdict): (&str, &str), examiner: &str) -> Value {
    let mut draft = json!({"kind": kind, "on": "2026-03-01", "verdict": verdict, "rest": "pass", "findings": "seen and felt",
        "examiner": examiner});
    if verdict != "fit" {
        draft["answers"] = json!({"sheath": {"outcome": "fail", "note": "cut"}});
    }
    let done = client
        .json(
            Method::POST,
            &format!("/api/v1/items/{item}/examinations"),
            &draft,
        )
        .await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    done.json()
}

async fn stands(given: &Given) -> (String, bool) {
    let item = given
        .officer
        .get(&format!("/api/v1/items/{}", given.item))
        .await
        .json();
    let asked = item["item"]["return_asked"].is_object();
    (item["item"]["state"].as_str().unwrap().to_owned(), asked)
}

const OFFICER: &str = "The equipment officer of the north";
const FIT: (&str, &str) = ("periodic", "fit");

fn waiting(asked: bool) -> (String, bool) {
    ("quarantined".to_owned(), asked)
}

on_both_databases! {
    async fn whoever_writes_down_anothers_examination_is_no_second_person(world) {
        let (given, admin) = given(&world).await;
        // The one competent person asks, and her examination is written down by somebody who is not competent.
        assert_eq!(step(&given.officer, &given.item, "return-to-service").await.status, StatusCode::OK);
        look(&admin, &given.item, FIT, OFFICER).await;
        assert_eq!(stands(&given).await, waiting(true));
        look(&given.officer, &given.item, FIT, "").await;
        look(&admin, &given.item, FIT, OFFICER).await;
        assert_eq!(stands(&given).await, waiting(true));
        // Nor does she confirm what rests on her examination, though another one wrote it down.
        let refused = step(&given.officer, &given.item, "return-to-service").await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        let page = given.officer.get(&format!("/items/{}", given.item)).await.text;
        let asked = format!("The administrator of the north, who wrote down an examination by {OFFICER}, asked for its return");
        assert!(page.contains(&asked), "{page}");
        let form = given.officer.get(&format!("/items/{}/step?step=return-to-service", given.item)).await.text;
        assert!(form.contains(&asked), "{form}");
        // A second competent person does, signed in.
        let competent = Qualification {
            id: QualificationId::new(),
            holder: Holder::Person(world.crew.person),
            kinds: Vec::new(),
            from: date!(2026 - 01 - 01),
            until: None,
            evidence: "course".into(),
            address: String::new(),
            ended: None,
        };
        world.record(Change::QualificationRecorded(competent)).await;
        let crew = world.visitor(&world.crew).await;
        look(&crew, &given.item, FIT, "").await;
        assert_eq!(stands(&given).await.0, "in-service");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_fails_after_the_first_asked_ends_that(world) {
        let (given, _) = given(&world).await;
        let crew = world.visitor(&world.crew).await;
        for by in [&crew, &given.officer] {
            assert_eq!(step(&given.officer, &given.item, "return-to-service").await.status, StatusCode::OK);
            assert_eq!(stands(&given).await, waiting(true));
            look(by, &given.item, ("pre-use", "quarantine"), "").await;
            assert_eq!(stands(&given).await, waiting(false));
        }
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_notice_after_the_first_asked_ends_that(world) {
        let (given, _) = given(&world).await;
        assert_eq!(step(&given.officer, &given.item, "return-to-service").await.status, StatusCode::OK);
        let draft = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01",
            "maker": "Tarn & Fell", "lots": "L9", "action": "Pull the sheath."});
        let notice = given.officer.json(Method::POST, "/api/v1/notices", &draft).await.json()["id"].clone();
        let path = format!("/api/v1/notices/{}/items/{}", notice.as_str().unwrap(), given.item);
        let closed = given.officer.json(Method::POST, &path, &json!({"result": "the lot is fine"})).await;
        assert_eq!(closed.status, StatusCode::CREATED, "{}", closed.text);
        assert_eq!(stands(&given).await, waiting(false));
        let then = given.officer.get(&format!("/api/v1/items/{}/then?on=2026-03-01", given.item)).await.text;
        assert!(!then.contains("Return asked for"), "{then}");
        assert_eq!(again(&world).await.differences, []);
    }
}
