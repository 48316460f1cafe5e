//! What the team keeps itself is withdrawn and taken up again: new jobs cannot name it, the others keep it and say so.

use axum::http::{Method, StatusCode};
use ropeloft::{
    domain::{Change, RulebookOffer, rulebook::TeamRulebook},
    store::StoreError,
};
use serde_json::{Value, json};

use crate::{
    client::Client,
    job_given::{fill, plan, planned},
    own_rig::added as rig_added,
    stock,
    store_rebuild::again,
    world::World,
};

const WHY: [(&str, &str); 1] = [("reason", "the council has new orders")];

/// The rulebook `valley` on the books.
async fn valley(client: &Client) {
    let draft = json!({"key": "valley", "title": "Valley", "based_on": "european"});
    let made = client.json(Method::POST, "/api/v1/rulebooks", &draft).await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
}

/// A job under it, with a kit that passes.
async fn passing_job(world: &World, officer: &Client) -> String {
    let kit = world.shelved_kit().await;
    valley(officer).await;
    let job = planned(officer, json!({"rulebook": "valley"})).await;
    fill(officer, &job, &kit).await;
    job
}

fn verdict(sheet: &Value) -> Value {
    json!([sheet["passes"], sheet["sentence"], sheet["verdict"]])
}

on_both_databases! {
    async fn no_new_job_names_a_withdrawn_rulebook_and_the_others_say_so(world) {
        let officer = world.visitor(&world.officer).await;
        let job = passing_job(&world, &officer).await;
        let path = format!("/api/v1/jobs/{job}");
        let before = officer.get(&path).await.json();
        assert_eq!(before["withdrawn"], json!({"rig": false, "rulebook": false}));
        let page = officer.get("/rulebooks/valley").await;
        assert!(page.text.contains("Withdraw this rulebook"), "{}", page.text);
        let silent = officer.post("/rulebooks/valley/withdraw", &[("reason", " ")]).await;
        assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(silent.text.contains("#f-reason"), "{}", silent.text);
        let gone = officer.post("/rulebooks/valley/withdraw", &WHY).await;
        assert_eq!(gone.location(), "/rulebooks/valley", "{}", gone.text);
        assert!(!officer.get("/jobs/new").await.text.contains("valley@1"));
        for rulebook in ["valley", "valley@1"] {
            let refused = officer.json(Method::POST, "/api/v1/jobs", &plan(&json!({"rulebook": rulebook}))).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{rulebook}");
            assert!(refused.text.contains("\\\"Valley\\\" is withdrawn: choose another"), "{}", refused.text);
        }
        let after = officer.get(&path).await.json();
        assert_eq!(verdict(&after), verdict(&before));
        assert_eq!(after["withdrawn"]["rulebook"], true);
        for page in ["", "/verdict"] {
            let page = officer.get(&format!("/jobs/{job}{page}")).await;
            assert!(page.text.contains("withdrawn since; this job keeps it"), "{}", page.text);
        }
        // Its plan may still change, and keep the rulebook that it was planned under.
        let same = officer.json_if(Method::PUT, &path, "*", &plan(&json!({"rulebook": "valley@1", "note": "changed"}))).await;
        assert_eq!(same.status, StatusCode::OK, "{}", same.text);
        let list = officer.get("/rulebooks").await;
        assert!(list.text.contains("withdrawn"), "{}", list.text);
        assert_eq!(officer.get("/api/v1/rulebooks").await.json()["own"][0]["withdrawn"], true);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_is_withdrawn_is_not_changed_until_it_is_taken_up_again(world) {
        let officer = world.visitor(&world.officer).await;
        valley(&officer).await;
        let why = json!({"reason": "new orders"});
        let path = "/api/v1/rulebooks/valley";
        let early = officer.json(Method::POST, &format!("{path}/take-up"), &why).await;
        assert_eq!(early.status, StatusCode::CONFLICT, "{}", early.text);
        let gone = officer.json(Method::POST, &format!("{path}/withdraw"), &why).await;
        assert_eq!((gone.status, &gone.json()["withdrawn"]), (StatusCode::OK, &json!(true)), "{}", gone.text);
        let twice = officer.json(Method::POST, &format!("{path}/withdraw"), &why).await;
        assert_eq!(twice.status, StatusCode::CONFLICT);
        let draft = json!({"key": "valley", "title": "Valley", "based_on": "european", "numbers": {"factor": "12"}});
        let change = officer.json_if(Method::PUT, path, "*", &draft).await;
        assert_eq!(change.status, StatusCode::CONFLICT, "{}", change.text);
        assert!(change.text.contains("Take it up again before you change it"), "{}", change.text);
        assert_eq!(officer.get("/rulebooks/valley/edit").await.status, StatusCode::CONFLICT);
        let page = officer.get("/rulebooks/valley").await.text;
        assert!(!page.contains("/rulebooks/valley/edit") && page.contains("Take this rulebook up again"), "{page}");
        let back = officer.post("/rulebooks/valley/take-up", &WHY).await;
        assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text);
        let change = officer.json_if(Method::PUT, path, "*", &draft).await;
        assert_eq!(change.json()["reference"], "valley@2", "{}", change.text);
        planned(&officer, json!({"rulebook": "valley"})).await;
        let history = officer.get("/history").await.text;
        for words in ["Rulebook Valley withdrawn", "Rulebook Valley taken up again", "the council has new orders"] {
            assert!(history.contains(words), "{words}\n{history}");
        }
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_rulebook_that_the_team_works_by_stays(world) {
        let admin = world.visitor(&world.admin).await;
        valley(&admin).await;
        let work_by = async |rulebook: &str| {
            let team = json!({"name": "North shaft team", "rulebook": rulebook});
            admin.json_if(Method::PUT, "/api/v1/team", "*", &team).await
        };
        assert_eq!(work_by("valley").await.status, StatusCode::OK);
        let page = admin.get("/rulebooks/valley").await.text;
        assert!(page.contains("your team works by it") && !page.contains("Withdraw this"), "{page}");
        let refused = admin.post("/rulebooks/valley/withdraw", &WHY).await;
        assert_eq!(refused.status, StatusCode::CONFLICT);
        assert!(refused.text.contains("Choose another one for the team first"), "{}", refused.text);
        assert_eq!(work_by("european").await.status, StatusCode::OK);
        assert_eq!(admin.post("/rulebooks/valley/withdraw", &WHY).await.status, StatusCode::SEE_OTHER);
        assert!(!admin.get("/team").await.text.contains("value=\"valley\""));
        assert_eq!(work_by("valley").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }

    async fn a_rig_is_taken_up_again_and_its_jobs_say_that_it_was_withdrawn(world) {
        let officer = world.visitor(&world.officer).await;
        rig_added(&officer, "our-lift").await;
        let job = planned(&officer, json!({"rig": "our-lift"})).await;
        assert_eq!(officer.post("/rigs/our-lift/withdraw", &WHY).await.status, StatusCode::SEE_OTHER);
        assert_eq!(officer.get(&format!("/api/v1/jobs/{job}")).await.json()["withdrawn"]["rig"], true);
        assert!(officer.get(&format!("/jobs/{job}")).await.text.contains("withdrawn since; this job keeps it"));
        assert_eq!(officer.get("/rigs/our-lift/edit").await.status, StatusCode::CONFLICT);
        let page = officer.get("/rigs/our-lift").await.text;
        assert!(page.contains("Take this rig up again"), "{page}");
        let silent = officer.post("/rigs/our-lift/take-up", &[("reason", "")]).await;
        assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
        let path = "/api/v1/rigs/our-lift/take-up";
        let back = officer.json(Method::POST, path, &json!({"reason": "the post is back"})).await;
        assert_eq!(back.json()["own"]["withdrawn"], false, "{}", back.text);
        let twice = officer.json(Method::POST, path, &json!({"reason": "again"})).await;
        assert_eq!(twice.status, StatusCode::CONFLICT);
        planned(&officer, json!({"rig": "our-lift", "starts_at": "2026-04-02T08:00", "ends_at": "2026-04-02T16:00"})).await;
        assert_eq!(officer.get(&format!("/api/v1/jobs/{job}")).await.json()["withdrawn"]["rig"], false);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn crew_and_other_teams_withdraw_nothing(world) {
        let officer = world.visitor(&world.officer).await;
        valley(&officer).await;
        rig_added(&officer, "our-lift").await;
        for (who, status) in [(&world.crew, StatusCode::FORBIDDEN), (&world.outsider, StatusCode::NOT_FOUND)] {
            let client = world.visitor(who).await;
            for path in ["/rulebooks/valley/withdraw", "/rulebooks/valley/take-up", "/rigs/our-lift/withdraw", "/rigs/our-lift/take-up"] {
                assert_eq!(client.post(path, &WHY).await.status, status, "{path}");
            }
        }
        assert_eq!(officer.post("/rulebooks/european/withdraw", &WHY).await.status, StatusCode::CONFLICT);
    }

    async fn every_version_of_a_withdrawn_rulebook_is_marked(world) {
        let own = stock::rulebook("valley");
        let next = TeamRulebook { revision: 2, ..own.clone() };
        let offer = || RulebookOffer { rulebook: own.id, title: "Valley".into(), reason: "x".into() };
        for change in [Change::RulebookAdded(own.clone()), Change::RulebookRevised(next.clone()), Change::RulebookWithdrawn(offer())] {
            world.record(change).await;
        }
        let third = TeamRulebook { revision: 3, ..next };
        for change in [Change::RulebookWithdrawn(offer()), Change::RulebookRevised(third)] {
            let refused = world.record_as(&world.officer, change).await.unwrap_err();
            assert!(matches!(refused, StoreError::Stale { table: "rulebook" }), "{refused:?}");
        }
        let named = ropeloft::domain::Edition::read("valley@1");
        let mut tx = world.database.read(world.team).await.unwrap();
        assert!(tx.rulebook_named(&named).await.unwrap().unwrap().withdrawn);
        drop(tx);
        world.record(Change::RulebookTakenUp(offer())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert!(!tx.rulebook_named(&named).await.unwrap().unwrap().withdrawn);
    }
}
