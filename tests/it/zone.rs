//! The time zone of a team: where it is set, and that times, days and today follow it.

use axum::http::{Method, StatusCode, header};
use ropeloft::domain::{RefusalCode, Zone};
use serde_json::json;
use time::Duration;

use crate::{
    fitness_case::{Case, LAST_DAY, foot},
    item_given::{examine, one_rope},
    job_given::{plan, planned},
    store_rebuild::again,
    world::World,
};

/// UTC+13:00 in March; the clock of the tests, 09:30 UTC, is 22:30 there.
const AUCKLAND: &str = "Pacific/Auckland";
const BERLIN: &str = "Europe/Berlin";

async fn settle(world: &World, zone: &str) {
    let admin = world.visitor(&world.admin).await;
    let fields = [
        ("name", "North shaft team"),
        ("rulebook", "european"),
        ("time_zone", zone),
    ];
    let done = admin.post("/team", &fields).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
}

/// The fields of a plan as its form sends them.
fn typed(from: &str, until: &str) -> Vec<(String, String)> {
    let plan = plan(
        &json!({"starts_at": from, "ends_at": until, "head_gap": "2 m", "block_length": "1 m",
        "tail": "3 m", "knots": "1 m", "pull_each": "0.25 kN"}),
    );
    let fields = plan.as_object().unwrap().iter();
    fields
        .map(|(name, value)| (name.clone(), value.as_str().unwrap().to_owned()))
        .collect()
}

on_both_databases! {
    async fn an_admin_sets_the_zone_and_the_ledger_says_so(world) {
        let admin = world.visitor(&world.admin).await;
        let page = admin.get("/team").await.text;
        assert!(page.contains("<option value=\"UTC\" selected>") && page.contains("<option value=\"Europe/Berlin\">"), "{page}");
        let before = world.entries().await;
        let fields = [("name", "North shaft team"), ("rulebook", "european"), ("time_zone", "Mars/<Base>")];
        let wrong = admin.post("/team", &fields).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        let sentence = "such as Europe/Berlin or UTC, not &#34;Mars/&#60;Base&#62;&#34;";
        assert!(wrong.text.contains("id=\"f-time_zone-wrong-1\"") && wrong.text.contains(sentence), "{}", wrong.text);
        assert!(wrong.text.contains("<option value=\"Mars/&#60;Base&#62;\" selected>"), "what was typed is kept");
        assert_eq!(world.entries().await, before);
        settle(&world, BERLIN).await;
        let newest = admin.get("/api/v1/history").await.json()["entries"][0].clone();
        assert_eq!(newest["kind"], "team-revised");
        assert!(newest["payload"].as_str().unwrap().contains("\"time_zone\":\"Europe/Berlin\""), "{newest}");
        let history = admin.get("/history").await.text;
        assert!(history.contains("time zone Europe/Berlin"), "{history}");
        let crew = world.visitor(&world.crew).await;
        assert!(crew.get("/").await.text.contains("Days and times are those of Europe/Berlin."));
        let south = world.visitor(&world.outsider).await;
        assert!(south.get("/").await.text.contains("Days and times are those of UTC."));
    }

    async fn a_program_reads_and_sets_the_zone_and_one_that_knows_none_leaves_it(world) {
        let admin = world.visitor(&world.admin).await;
        let set = async |body: &serde_json::Value| {
            let tag = admin.get("/api/v1/team").await.header(header::ETAG).to_owned();
            admin.json_if(Method::PUT, "/api/v1/team", &tag, body).await
        };
        let new = json!({"name": "Shaft team", "rulebook": "european", "time_zone": "america/denver"});
        assert_eq!(set(&new).await.json()["time_zone"], "America/Denver");
        let old = json!({"name": "Old client's team", "rulebook": "european"});
        assert_eq!(set(&old).await.json()["time_zone"], "America/Denver");
        let wrong = set(&json!({"name": "x", "rulebook": "european", "time_zone": "Denver"})).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(wrong.json()["fields"][0]["field"], "time_zone");
    }

    async fn times_are_typed_and_shown_on_the_clocks_of_the_team(world) {
        settle(&world, BERLIN).await;
        let crew = world.visitor(&world.crew).await;
        let form = crew.get("/jobs/new").await.text;
        assert!(form.contains("From (Europe/Berlin)") && form.contains("Until (Europe/Berlin)"), "{form}");
        let fields = typed("2026-03-28T08:00", "2026-03-30T16:00");
        let fields: Vec<_> = fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        let done = crew.post("/jobs", &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = crew.get(done.location()).await.text;
        assert!(page.contains("2026-03-28 08:00 CET to 2026-03-30 16:00 CEST"), "{page}");
        let edit = crew.get(&format!("{}/edit", done.location())).await.text;
        assert!(edit.contains("value=\"2026-03-28T08:00\"") && edit.contains("value=\"2026-03-30T16:00\""), "{edit}");
        let api = crew.get(&format!("/api/v1{}", done.location())).await.json();
        assert_eq!(api["job"]["starts_at"], "2026-03-28T07:00:00Z");
        assert_eq!(api["job"]["ends_at"], "2026-03-30T14:00:00Z");
        let file = crew.get("/jobs.csv").await.text;
        assert!(file.contains("2026-03-28T07:00:00Z,2026-03-30T14:00:00Z"), "{file}");
    }

    async fn a_time_that_never_comes_is_refused_and_one_that_comes_twice_holds_for_longer(world) {
        settle(&world, BERLIN).await;
        let crew = world.visitor(&world.crew).await;
        let send = async |from: &str, until: &str| {
            let fields = typed(from, until);
            let fields: Vec<_> = fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            crew.post("/jobs", &fields).await
        };
        let refused = send("2026-03-29T02:30", "2026-03-29T16:00").await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text.contains("id=\"f-starts_at-wrong-1\""), "{}", refused.text);
        assert!(refused.text.contains("There is no 02:30 on 2026-03-29 in Europe/Berlin"), "{}", refused.text);
        assert!(refused.text.contains("value=\"2026-03-29T02:30\"") && refused.text.contains("value=\"Pump well\""));
        let twice = send("2026-10-25T02:30", "2026-10-25T02:30").await;
        assert_eq!(twice.status, StatusCode::SEE_OTHER, "{}", twice.text);
        let page = crew.get(twice.location()).await.text;
        assert!(page.contains("2026-10-25 02:30 CEST to 2026-10-25 02:30 CET"), "{page}");
    }

    async fn a_program_tells_a_time_by_its_offset_and_without_one_in_utc(world) {
        settle(&world, BERLIN).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"starts_at": "2026-03-02T08:00:00+05:30", "ends_at": "2026-03-02T16:00"})).await;
        let shown = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(shown["job"]["starts_at"], "2026-03-02T02:30:00Z");
        assert_eq!(shown["job"]["ends_at"], "2026-03-02T16:00:00Z");
    }

    async fn today_is_that_of_the_team(world) {
        let given = one_rope(&world).await;
        let tomorrow = [("kind", "periodic"), ("on", "2026-03-02"), ("verdict", "fit"), ("rest", "pass")];
        let path = format!("/items/{}/examinations", given.item);
        world.clock.advance(Duration::hours(2));
        let early = given.officer.post(&path, &tomorrow).await;
        assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY, "it is the first in UTC");
        settle(&world, AUCKLAND).await;
        let form = given.officer.get(&format!("{path}/new")).await.text;
        assert!(form.contains("value=\"2026-03-02\""), "{form}");
        examine(&given.officer, &given.item, &[
            ("kind", "periodic"), ("on", "2026-03-02"), ("verdict", "fit"), ("next_due_on", "2026-03-03"), ("rest", "pass"),
        ]).await;
        let list = given.officer.get("/items?due=30").await.text;
        assert!(list.contains("tomorrow"), "{list}");
        // 2026-03-03 11:30 UTC is 2026-03-04 00:30 there.
        world.clock.advance(Duration::days(2));
        let list = given.officer.get("/items?due=overdue").await.text;
        assert!(list.contains("RL-0042") && list.contains("yesterday"), "{list}");
        assert!(given.officer.get("/").await.text.contains("1 item is overdue"));
        let api = given.officer.get(&format!("/api/v1/items/{}", given.item)).await.json();
        assert_eq!(api["due"]["state"], "overdue");
        let name = given.officer.get("/items.csv").await.header(header::CONTENT_DISPOSITION).to_owned();
        assert!(name.contains("ropeloft-items-2026-03-04.csv"), "{name}");
        settle(&world, "UTC").await;
        assert!(!given.officer.get("/items?due=overdue").await.text.contains("RL-0042"));
    }

    async fn a_look_from_the_day_before_brings_nothing_back_wherever_the_team_is(world) {
        let given = one_rope(&world).await;
        settle(&world, AUCKLAND).await;
        // 2026-03-01 11:30 UTC is 2026-03-02 00:30 there.
        world.clock.advance(Duration::hours(2));
        let step = [("step", "quarantine"), ("reason", "soft spot")];
        let done = given.officer.post(&format!("/items/{}/step", given.item), &step).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = format!("/items/{}", given.item);
        assert!(given.officer.get(&page).await.text.contains("in quarantine since 2026-03-02"));
        let look = |on| [("kind", "periodic"), ("on", on), ("verdict", "fit"), ("rest", "pass"), ("findings", "no soft spot")];
        examine(&given.officer, &given.item, &look("2026-03-01")).await;
        assert!(given.officer.get(&page).await.text.contains("in quarantine since 2026-03-02"));
        examine(&given.officer, &given.item, &look("2026-03-02")).await;
        assert!(!given.officer.get(&page).await.text.contains("in quarantine since"));
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_history_is_narrowed_by_the_days_of_the_team(world) {
        let given = one_rope(&world).await;
        settle(&world, AUCKLAND).await;
        world.clock.advance(Duration::hours(2));
        let step = [("step", "quarantine"), ("reason", "soft spot")];
        given.officer.post(&format!("/items/{}/step", given.item), &step).await;
        let page = given.officer.get("/history?from=2026-03-02&until=2026-03-02").await.text;
        assert!(page.contains("soft spot") && page.contains("2026-03-02 00:30 NZDT"), "{page}");
        assert!(!page.contains("added to the register"), "{page}");
        let file = given.officer.get("/history.csv?from=2026-03-02").await.text;
        assert!(file.contains("2026-03-01T11:30:00Z") && !file.contains("added to the register"), "{file}");
    }
}

#[test]
fn a_job_ends_on_the_day_that_it_is_for_the_team() {
    // The job ends on 2026-03-12 at 16:00 UTC, which is 05:00 of the 13th in Auckland.
    let mut foot = foot();
    foot.item.next_due_on = Some(LAST_DAY);
    let mut case = Case::of(foot);
    case.is_fit();
    case.zone = Zone::read(AUCKLAND).unwrap();
    case.refused(&[RefusalCode::Overdue]);
    let evidence = &case.refusals()[0].evidence;
    assert!(evidence.contains("2026-03-13"), "{evidence}");
}
