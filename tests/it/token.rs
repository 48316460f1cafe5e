//! Tokens for machines.

use axum::http::{Method, StatusCode};
use ropeloft::domain::Role;
use time::Duration;

use crate::{
    client::{Answer, Client},
    world::World,
};

async fn make(visitor: &Client, role: &str) -> Answer {
    let fields = [("label", "label printer"), ("role", role), ("days", "30")];
    visitor.post("/settings/tokens", &fields).await
}

fn secret(page: &Answer) -> String {
    let rest = page.text.split("id=\"secret\">").nth(1).unwrap();
    rest.split('<').next().unwrap().to_owned()
}

fn machine(world: &World, token: &str) -> Client {
    let mut machine = world.stranger();
    machine.token = Some(token.to_owned());
    machine
}

on_both_databases! {
    async fn a_token_acts_in_its_role_and_is_shown_once(world) {
        let officer = world.visitor(&world.officer).await;
        let made = make(&officer, "crew").await;
        assert_eq!(made.status, StatusCode::OK, "{}", made.text);
        assert_eq!(made.header("cache-control"), "no-store");
        let secret = secret(&made);
        assert!(secret.starts_with("ropeloft_") && secret.len() == 73, "{secret}");
        assert!(!officer.get("/settings/tokens").await.text.contains(&secret));
        let me = machine(&world, &secret).get("/api/v1/me").await;
        assert_eq!(me.json()["role"], "crew");
        let wrong = machine(&world, "ropeloft_guess").get("/api/v1/me").await;
        assert_eq!(wrong.status, StatusCode::UNAUTHORIZED);
        assert_eq!(wrong.header("www-authenticate"), "Bearer");
    }

    async fn a_token_goes_never_beyond_its_maker(world) {
        let officer = world.visitor(&world.officer).await;
        let refused = make(&officer, "admin").await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let admin = world.visitor(&world.admin).await;
        let secret = secret(&make(&officer, "officer").await);
        let path = format!("/people/{}", world.officer.person);
        admin.post(&path, &[("name", "Officer"), ("role", "auditor"), ("active", "yes")]).await;
        let me = machine(&world, &secret).get("/api/v1/me").await;
        assert_eq!(me.json()["role"], "auditor", "a demoted maker has a stronger token");
        admin.post(&path, &[("name", "Officer"), ("role", "auditor"), ("active", "")]).await;
        let me = machine(&world, &secret).get("/api/v1/me").await;
        assert_eq!(me.status, StatusCode::UNAUTHORIZED);
    }

    async fn a_weaker_token_is_not_widened_by_what_its_maker_is_competent_for(world) {
        let given = crate::item_given::one_rope(&world).await;
        let machine = machine(&world, &secret(&make(&given.officer, "crew").await));
        let path = format!("/api/v1/items/{}/examinations", given.item);
        let look = serde_json::json!({"kind": "periodic", "on": "2026-02-20", "verdict": "fit", "rest": "pass"});
        let before = world.entries().await;
        let refused = machine.json(Method::POST, &path, &look).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN, "{}", refused.text);
        assert_eq!(world.entries().await, before);
        // A look before use is what such a token is for.
        let look = serde_json::json!({"kind": "pre-use", "on": "2026-02-20", "verdict": "fit"});
        let done = machine.json(Method::POST, &path, &look).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    }

    async fn a_token_cannot_keep_its_makers_account(world) {
        let admin = world.visitor(&world.admin).await;
        let machine = machine(&world, &secret(&make(&admin, "admin").await));
        assert_eq!(machine.get("/settings/tokens").await.status, StatusCode::FORBIDDEN);
        assert_eq!(make(&machine, "admin").await.status, StatusCode::FORBIDDEN);
    }

    async fn a_token_ends_on_its_day_and_when_it_is_revoked(world) {
        let officer = world.visitor(&world.officer).await;
        let (one, two) = (make(&officer, "crew").await, make(&officer, "crew").await);
        let (one, two) = (machine(&world, &secret(&one)), machine(&world, &secret(&two)));
        let id = world.database.read(world.team).await.unwrap().tokens().await.unwrap()[1].id;
        let crew = world.visitor(&world.crew).await;
        let path = format!("/settings/tokens/{id}/revoke");
        assert_eq!(crew.post(&path, &[]).await.status, StatusCode::NOT_FOUND, "not one's own");
        assert_eq!(officer.post(&path, &[]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(one.get("/api/v1/me").await.status, StatusCode::UNAUTHORIZED);
        assert_eq!(two.get("/api/v1/me").await.status, StatusCode::OK);
        world.clock.advance(Duration::days(30));
        assert_eq!(two.get("/api/v1/me").await.status, StatusCode::UNAUTHORIZED);
    }

    async fn wrong_fields_of_a_token_are_all_named(world) {
        let officer = world.visitor(&world.officer).await;
        for days in ["0", "367", "-1", "ten", "NaN", "1e99", ""] {
            let fields = [("label", ""), ("role", "x"), ("days", days)];
            let page = officer.post("/settings/tokens", &fields).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{days}");
            for id in ["f-label", "f-role", "f-days"] {
                assert!(page.text.contains(&format!("href=\"#{id}\"")), "{days}: {id}");
            }
        }
    }
}

#[test]
fn a_role_that_includes_another_may_do_all_it_may() {
    use ropeloft::domain::Deed;
    let deeds = [
        Deed::Read,
        Deed::Export,
        Deed::KeepRegister,
        Deed::Examine,
        Deed::ReportEvent,
        Deed::PlanJob,
        Deed::KeepPeople,
    ];
    for a in Role::ALL {
        for b in Role::ALL {
            let all = deeds.iter().all(|deed| a.may(*deed) || !b.may(*deed));
            assert_eq!(a.includes(b), all, "{a:?} and {b:?}");
        }
    }
}
