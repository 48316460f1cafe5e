//! The people of a team, through the pages and through the API.

use axum::http::{Method, StatusCode, header};
use ropeloft::domain::{Actor, Person};
use serde_json::json;

use crate::world::World;

async fn person(world: &World, actor: &Actor) -> Person {
    let mut tx = world.database.read(actor.team).await.unwrap();
    tx.person(actor.person).await.unwrap().unwrap()
}

const NEW: [(&str, &str); 4] = [
    ("name", "Ada Brook"),
    ("sign_in", "Ada.Brook"),
    ("role", "crew"),
    ("password", "a long rope on a short hook"),
];

on_both_databases! {
    async fn a_person_that_is_added_can_sign_in(world) {
        let admin = world.visitor(&world.admin).await;
        let done = admin.post("/people", &NEW).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = admin.get(done.location()).await;
        assert!(page.text.contains("signs in as ada.brook"), "{}", page.text);
        let entered = world
            .stranger()
            .post("/sign-in", &[("sign_in", "ada.brook"), ("password", NEW[3].1)])
            .await;
        assert_eq!(entered.status, StatusCode::SEE_OTHER);
    }

    async fn every_wrong_field_is_named_and_what_was_typed_stays(world) {
        let admin = world.visitor(&world.admin).await;
        let fields = [("name", ""), ("sign_in", "ada brook"), ("role", "boss"), ("password", "short")];
        let page = admin.post("/people", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        for id in ["f-name", "f-sign_in", "f-role", "f-password"] {
            assert!(page.text.contains(&format!("href=\"#{id}\"")), "{id} is not named");
        }
        assert!(page.text.contains("value=\"ada brook\""), "{}", page.text);
        assert!(!page.text.contains("value=\"short\""), "the password came back");
    }

    async fn a_sign_in_name_is_taken_once_on_the_server(world) {
        let admin = world.visitor(&world.admin).await;
        let mut fields = NEW;
        fields[1].1 = "officer-south";
        let page = admin.post("/people", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("signs in under this name already"), "{}", page.text);
    }

    async fn the_last_administrator_stays(world) {
        let admin = world.visitor(&world.admin).await;
        let path = format!("/people/{}", world.admin.person);
        for fields in [
            [("name", "The boss"), ("role", "crew"), ("active", "yes")],
            [("name", "The boss"), ("role", "admin"), ("active", "")],
        ] {
            let answer = admin.post(&path, &fields).await;
            assert_eq!(answer.status, StatusCode::CONFLICT);
            assert!(answer.text.contains("last active administrator"), "{}", answer.text);
        }
        assert!(person(&world, &world.admin).await.active);
    }

    async fn whoever_is_switched_off_is_out_at_once(world) {
        let admin = world.visitor(&world.admin).await;
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.get("/").await.status, StatusCode::OK);
        let path = format!("/people/{}", world.crew.person);
        let done = admin.post(&path, &[("name", "Crew"), ("role", "crew")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(crew.get("/").await.status, StatusCode::SEE_OTHER);
        admin.post(&path, &[("name", "Crew"), ("role", "crew"), ("active", "yes")]).await;
        assert_eq!(crew.get("/").await.status, StatusCode::SEE_OTHER, "the old session is back");
    }

    async fn a_change_of_what_somebody_else_changed_is_refused(world) {
        let admin = world.visitor(&world.admin).await;
        let path = format!("/people/{}", world.crew.person);
        let shown = admin.get(&path).await.text;
        let seen = shown.split("name=\"seen\" value=\"").nth(1).unwrap();
        let seen = seen.split('"').next().unwrap();
        let first = [("name", "One"), ("role", "crew"), ("active", "yes"), ("seen", seen)];
        assert_eq!(admin.post(&path, &first).await.status, StatusCode::SEE_OTHER);
        let second = [("name", "Two"), ("role", "crew"), ("active", "yes"), ("seen", seen)];
        assert_eq!(admin.post(&path, &second).await.status, StatusCode::CONFLICT);
        assert_eq!(person(&world, &world.crew).await.name, "One");
    }

    async fn a_person_of_another_team_does_not_exist(world) {
        let admin = world.visitor(&world.admin).await;
        let path = format!("/people/{}", world.outsider.person);
        assert_eq!(admin.get(&path).await.status, StatusCode::NOT_FOUND);
        let fields = [("name", "Mine"), ("role", "crew"), ("active", "yes")];
        assert_eq!(admin.post(&path, &fields).await.status, StatusCode::NOT_FOUND);
        let reset = [("password", "a long rope on a short hook")];
        let reset = admin.post(&format!("{path}/password"), &reset).await;
        assert_eq!(reset.status, StatusCode::NOT_FOUND);
        assert_eq!(admin.get("/people/not-an-id").await.status, StatusCode::NOT_FOUND);
    }

    async fn a_password_that_is_set_anew_ends_every_session(world) {
        let admin = world.visitor(&world.admin).await;
        let crew = world.visitor(&world.crew).await;
        let path = format!("/people/{}/password", world.crew.person);
        let short = admin.post(&path, &[("password", "short")]).await;
        assert_eq!(short.status, StatusCode::UNPROCESSABLE_ENTITY);
        let done = admin.post(&path, &[("password", "a long rope on a short hook")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER);
        assert_eq!(crew.get("/").await.status, StatusCode::SEE_OTHER);
    }
}

on_both_databases! {
    async fn the_api_keeps_the_people_too(world) {
        let admin = world.visitor(&world.admin).await;
        let new = json!({"name": "Ada Brook", "sign_in": "ada", "role": "crew", "password": NEW[3].1});
        let made = admin.json(Method::POST, "/api/v1/people", &new).await;
        assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        let id = made.json()["id"].as_str().unwrap().to_owned();
        let path = format!("/api/v1/people/{id}");
        let shown = admin.get(&path).await;
        assert_eq!(shown.json()["sign_in"], "ada");
        let list = admin.get("/api/v1/people").await.json();
        assert_eq!(list["people"].as_array().unwrap().len(), 5);

        let wrong = json!({"name": "", "role": "boss", "active": true});
        let without = admin.json(Method::PUT, &path, &wrong).await;
        assert_eq!(without.status, StatusCode::PRECONDITION_REQUIRED);
        let tag = shown.header(header::ETAG).to_owned();
        let answer = admin.json_if(Method::PUT, &path, &tag, &wrong).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let fields = answer.json()["fields"].clone();
        assert_eq!(fields[0]["field"], "name");
        assert_eq!(fields[1]["field"], "role");

        let right = json!({"name": "Ada Reed", "role": "officer", "active": true});
        let answer = admin.json_if(Method::PUT, &path, &tag, &right).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        let stale = admin.json_if(Method::PUT, &path, &tag, &right).await;
        assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED);
    }

    async fn a_post_with_a_key_is_done_once(world) {
        let admin = world.visitor(&world.admin).await;
        let new = json!({"name": "Ada Brook", "sign_in": "ada", "role": "crew", "password": NEW[3].1});
        let first = admin.json_once("/api/v1/people", "k-1", &new).await;
        let second = admin.json_once("/api/v1/people", "k-1", &new).await;
        assert_eq!(second.status, StatusCode::CREATED, "{}", second.text);
        assert_eq!(first.text, second.text);
        assert_eq!(second.header("idempotent-replayed"), "true");
        let other = json!({"name": "Tom Reed", "sign_in": "tom", "role": "crew", "password": NEW[3].1});
        let answer = admin.json_once("/api/v1/people", "k-1", &other).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(answer.json()["fields"][0]["field"], "Idempotency-Key");
    }

    async fn json_that_cannot_be_read_says_where(world) {
        let admin = world.visitor(&world.admin).await;
        let answer = admin.json(Method::POST, "/api/v1/people", &json!({"name": 7})).await;
        assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{}", answer.text);
        let detail = answer.json()["detail"].as_str().unwrap().to_owned();
        assert!(detail.contains("name"), "{detail}");
    }
}
