//! Who does what on a job: a starting set that may be changed, people named, and warnings with their source.

use std::collections::BTreeSet;

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    CrewNeed, CrewPlan, CrewPlanDraft, CrewPlanId, Job, JobId, Known, Load, crew_sheet,
};
use ropeloft::rigging::Mass;
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{fitness_case::job, issue::under, job_given::planned, store_rebuild::again};

#[test]
fn the_sheet_reads_and_says_where_each_rule_is_from() {
    let sheet = crew_sheet();
    let keys: BTreeSet<&str> = sheet.role.iter().map(|role| role.key.as_str()).collect();
    assert_eq!(keys.len(), sheet.role.len());
    // HANDBOOK, section 6.
    for key in [
        "supervisor",
        "attendant",
        "entrant",
        "rigger",
        "main-line",
        "belay",
        "haul",
        "edge",
        "air",
        "rescue-entrant",
    ] {
        assert!(keys.contains(key), "{key}");
    }
    for apart in &sheet.apart {
        assert!(
            apart.roles.iter().all(|role| keys.contains(role.as_str())),
            "{:?}",
            apart.roles
        );
        assert!(apart.roles[0] != apart.roles[1] && !apart.why.is_empty());
        assert_eq!(apart.from.known, Known::Practice);
    }
}

/// A plan with these people in these roles.
fn crew(of: &[(&str, &str)]) -> CrewPlan {
    let mut draft = CrewPlanDraft::starting(&job(|_| {}), None);
    for duty in &mut draft.duties {
        let people: Vec<&str> = of
            .iter()
            .filter(|(role, _)| *role == duty.role)
            .map(|(_, name)| *name)
            .collect();
        duty.people = people.join("\n");
        duty.count = people.len().to_string();
    }
    draft
        .check(CrewPlanId::new(), JobId::new(), None, &[])
        .unwrap()
}

/// What is said against it, with one hauler asked for and a load of one person of 100 kg.
fn said(plan: &CrewPlan, load: u8) -> Vec<String> {
    let kilograms = |kilograms| Mass::from_kilograms(kilograms).unwrap();
    let job = Job {
        load: Load::Persons(load),
        ..job(|_| {})
    };
    let need = CrewNeed {
        job: &job,
        mass: kilograms(100.0 * f64::from(load)),
        person: kilograms(100.0),
        haulers: Some(1),
    };
    plan.warnings(&need)
        .into_iter()
        .map(|one| one.sentence)
        .collect()
}

#[test]
fn one_person_in_two_roles_that_do_not_go_together_is_told() {
    let good = crew(&[
        ("belay", "Ada"),
        ("main-line", "Bo"),
        ("haul", "Cy"),
        ("haul", "Di"),
    ]);
    assert_eq!(said(&good, 1), Vec::<String>::new());
    let both = crew(&[
        ("belay", "Ada"),
        ("main-line", " ada "),
        ("haul", "Cy"),
        ("haul", "Di"),
    ]);
    let told = said(&both, 1);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].starts_with("Ada is named as Main line and brake and as Belay")
            || told[0].starts_with("Ada is named as Belay and as Main line"),
        "{told:?}"
    );
    let watch = crew(&[("attendant", "Ada"), ("haul", "Ada"), ("haul", "Di")]);
    assert!(
        said(&watch, 1)[0].contains("Who pulls does not watch the opening"),
        "{:?}",
        said(&watch, 1)
    );
    // The rigger may well belay.
    let fine = crew(&[
        ("rigger", "Ada"),
        ("belay", "Ada"),
        ("haul", "Cy"),
        ("haul", "Di"),
    ]);
    assert_eq!(said(&fine, 1), Vec::<String>::new());
}

#[test]
fn roles_that_one_person_does_not_hold_together_are_told_and_the_start_has_a_spare() {
    // HANDBOOK, section 6.
    for (one, other) in [
        ("entrant", "haul"),
        ("entrant", "edge"),
        ("belay", "rescue-entrant"),
        ("main-line", "rescue-entrant"),
        ("attendant", "belay"),
        ("attendant", "main-line"),
        ("supervisor", "belay"),
        ("edge", "belay"),
    ] {
        let both = crew(&[(one, "Ada"), (other, "Ada"), ("haul", "Cy"), ("haul", "Di")]);
        let told = said(&both, 1);
        assert_eq!(told.len(), 1, "{one} and {other}: {told:?}");
        assert!(told[0].starts_with("Ada is named as"), "{told:?}");
    }
    for (haulers, count) in [
        (None, "3"),
        (Some(1), "2"),
        (Some(4), "5"),
        (Some(90), "30"),
    ] {
        let start = CrewPlanDraft::starting(&job(|_| {}), haulers);
        let mut duties = start.duties.iter();
        let haul = duties.find(|duty| duty.role == "haul").unwrap();
        assert_eq!(haul.count, count, "{haulers:?}");
    }
}

#[test]
fn a_rescue_with_the_load_of_one_and_too_few_haulers_are_told() {
    let mut plan = crew(&[("haul", "Cy")]);
    assert!(
        said(&plan, 1)[0].contains("asks for 1 to haul, and 1 are planned"),
        "{:?}",
        said(&plan, 1)
    );
    plan.case = ropeloft::domain::LoadCase::Rescue;
    let told = said(&plan, 1);
    assert!(
        told[0].contains("with 200 kg, and the load of the job is 1 person (100 kg)"),
        "{told:?}"
    );
    assert!(!said(&plan, 2)[0].contains("kg"), "{:?}", said(&plan, 2));
}

on_both_databases! {
    async fn a_crew_is_planned_from_the_starting_set_and_changed(world) {
        let client = world.visitor(&world.crew).await;
        let job = planned(&client, json!({})).await;
        let (page, api) = (format!("/jobs/{job}/crew"), format!("/api/v1/jobs/{job}/crew"));
        let first = client.get(&page).await;
        assert!(first.text.contains("No crew is planned yet") && first.text.contains("Entry supervisor"), "{}", first.text);
        let mut draft = client.get(&api).await.json()["start"].clone();
        draft["duties"][1]["people"] = json!("the crew of the NORTH\nBo from the works");
        draft["duties"][1]["count"] = json!("2");
        draft["duties"].as_array_mut().unwrap().push(json!({"title": "Traffic", "count": "1", "people": ""}));
        draft["duties"].as_array_mut().unwrap().push(json!({}));
        let id = Uuid::now_v7();
        for _ in 0..2 {
            let done = client.json(Method::POST, &format!("{api}?id={id}"), &draft).await;
            assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
            let people = done.json()["duties"][1]["people"].clone();
            assert_eq!(people[0], json!({"person": world.crew.person, "name": "The crew of the north"}));
            assert_eq!(people[1], json!({"name": "Bo from the works"}));
        }
        let read = client.get(&api).await.json();
        assert_eq!(read["plan"]["duties"].as_array().unwrap().len(), 11);
        assert!(read["warnings"].as_array().unwrap().iter().any(|one| one["sentence"] == "Traffic: 1 planned, 0 named."), "{read}");
        let shown = client.get(&page).await;
        assert!(shown.text.contains("Bo from the works") && shown.text.contains("open points"), "{}", shown.text);
        // Whoever saw an older plan does not write over it.
        let stale = client.json(Method::POST, &api, &draft).await;
        assert!(under(&stale.json(), "seen")[0].contains("Somebody else changed the crew"), "{}", stale.text);
        draft["seen"] = read["plan"]["id"].clone();
        assert_eq!(client.json(Method::POST, &api, &draft).await.status, StatusCode::CREATED);
        let history = client.get(&format!("/api/v1/jobs/{job}/history")).await.json();
        assert_eq!(history["entries"][0]["kind"], "crew-planned");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn every_wrong_field_of_a_crew_is_named_and_nothing_is_lost(world) {
        let client = world.visitor(&world.crew).await;
        let job = planned(&client, json!({})).await;
        let before = world.entries().await;
        let fields = [
            ("case", "ten"), ("duties[0][role]", "king"), ("duties[0][title]", "<b>King</b>"), ("duties[0][count]", "many"), ("duties[0][people]", "Ada"),
            ("duties[1][title]", ""), ("duties[1][count]", ""), ("duties[1][people]", "Bo"),
        ];
        let page = client.post(&format!("/jobs/{job}/crew"), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        for said in ["Choose one person", "no role &#34;king&#34;", "not &#34;many&#34;", "take its people out", "&#60;b&#62;King&#60;/b&#62;", "Bo</textarea>"] {
            assert!(page.text.contains(said), "{said}: {}", page.text);
        }
        let none = client.json(Method::POST, &format!("/api/v1/jobs/{job}/crew"), &json!({"case": "rescue"})).await;
        assert_eq!(under(&none.json(), "duties"), ["Keep at least one role."]);
        assert_eq!(world.entries().await, before);
        let auditor = world.visitor(&world.auditor).await;
        assert!(!auditor.get(&format!("/jobs/{job}/crew")).await.text.contains("Keep the crew"));
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/jobs/{job}/crew")).await.status, StatusCode::NOT_FOUND);
        client.post(&format!("/jobs/{job}/end"), &[("state", "cancelled"), ("reason", "flooded")]).await;
        let late: Value = client.get(&format!("/api/v1/jobs/{job}/crew")).await.json()["start"].clone();
        assert_eq!(client.json(Method::POST, &format!("/api/v1/jobs/{job}/crew"), &late).await.status, StatusCode::CONFLICT);
    }
}
