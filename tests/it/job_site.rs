//! What a plan says of the place and of the people on the rope: kept apart, shown everywhere, and counted.

use axum::http::{Method, StatusCode};
use ropeloft::domain::rulebook::{Rulebook, rulebook};
use ropeloft::domain::{
    FieldErrors, Job, JobDraft, JobId, LONGEST_NOTE, Load, LoadCase, RefusalCode, Zone,
    kit_strength::WhatIf,
};
use serde_json::{Value, json};

use crate::{
    fitness_case::{Case, full_kit, head, job, rope, tripod, verdict},
    issue::{issued, passing, under},
    job_given::{plan, planned},
    rulebook_own::sheet,
    store_rebuild::again,
};

const SITE: [(&str, &str); 3] = [
    ("hazards", "Sluice upstream; locked off"),
    ("edge", "Concrete lip, roller set"),
    ("anchors", "Tripod on level ground"),
];

/// The job of the fitness tests, planned for a case with the load as typed.
fn for_case(case: &str, load: &str) -> Result<Job, FieldErrors> {
    let mut draft: JobDraft = job(|_| {}).draft(&Zone::UTC);
    draft.case = case.into();
    draft.load = load.into();
    draft.check(JobId::new(), 1, &Zone::UTC)
}

#[test]
fn a_case_brings_its_people_where_no_load_is_typed() {
    for (case, people) in [
        (LoadCase::OnePerson, 1),
        (LoadCase::TwoPersons, 2),
        (LoadCase::Rescue, 2),
    ] {
        let planned = for_case(case.key(), " ").unwrap();
        assert_eq!(planned.load, Load::Persons(people));
        assert_eq!(planned.case, Some(case));
        // What it was typed as comes back, so that another rulebook counts them anew.
        let typed = planned.draft(&Zone::UTC);
        assert_eq!((typed.load.as_str(), typed.case.as_str()), ("", case.key()));
    }
    let weighed = for_case("rescue", "215 kg").unwrap();
    assert_eq!(weighed.people(), Some(2));
    assert_eq!(weighed.draft(&Zone::UTC).load, "215 kg");
}

#[test]
fn a_load_that_says_otherwise_than_its_case_is_refused_by_name() {
    let wrong = for_case("rescue", "1 person").unwrap_err();
    let said: Vec<_> = wrong.on("load").collect();
    assert!(
        said[0].contains("2 persons hang on the rope, not 1 person"),
        "{said:?}"
    );
    let wrong = for_case("three", "1 person").unwrap_err();
    let said: Vec<_> = wrong.on("case").collect();
    assert!(
        said[0].contains("one-person, two-persons, rescue") && said[0].contains("\"three\""),
        "{said:?}"
    );
    // Neither the one nor the other.
    assert!(for_case("", "").unwrap_err().on("load").next().is_some());
}

#[test]
fn the_people_of_a_case_count_beside_a_mass() {
    // EN 795 type B, 12 kN, and 1 kN more for each user beyond the first: CEN/TS 16415:2013, from memory.
    let anchor = || tripod().rated(&["body|12 kN|breaking"]);
    Case::of(anchor())
        .on(|draft| draft.load = "120 kg".into())
        .is_fit();
    let rescue = Case::of(anchor()).on(|draft| {
        draft.load = "120 kg".into();
        draft.case = "rescue".into();
    });
    let refused = rescue.refused(&[RefusalCode::StrengthBelowMinimum]);
    assert!(
        refused[0]
            .sentence
            .contains("1 kN more for each of 1 further person"),
        "{refused:?}"
    );
    // A mass of three is not counted as two because somebody chose "two".
    let heavy = Case::of(tripod().rated(&["body|13 kN|breaking"])).on(|draft| {
        draft.load = "300 kg".into();
        draft.case = "two-persons".into();
    });
    heavy.refused(&[RefusalCode::StrengthBelowMinimum]);
    // An approval for one person at once, and a mass that the verdict counts as two.
    let for_one = || {
        head().approved(&[
            "EN 12278||8 mm|13 mm||||1",
            "EN 567||8 mm|13 mm|low-stretch, dynamic",
        ])
    };
    let weighed = Case::of(for_one()).on(|draft| draft.load = "200 kg".into());
    let refused = weighed.refused(&[RefusalCode::RatedLoad]);
    assert!(
        refused[0]
            .sentence
            .contains("its load of 200 kg counts for 2 persons"),
        "{refused:?}"
    );
    let two = Case::of(for_one()).on(|draft| {
        draft.load = "200 kg".into();
        draft.case = "two-persons".into();
    });
    let refused = two.refused(&[RefusalCode::RatedLoad]);
    assert!(
        refused[0]
            .sentence
            .contains("for 1 person at once, and the job has 2 persons"),
        "{refused:?}"
    );
}

#[test]
fn a_rulebook_may_ask_another_class_for_more_than_one_person() {
    let more = r#"
[[approval]]
kind = "rope"
when = "several"
any_of = [{ standard = "NFPA 2500", classes = ["G"] }]
from = { source = "the team's own rule: class G for two", known = "practice" }
"#;
    let own = Rulebook::parse_own(&sheet(more).replace("\"european\"", "\"us-rescue\"")).unwrap();
    let technical = || {
        let rope = rope().approved(&["NFPA 2500|T"]);
        rope.with(&[("diameter", "11 mm")])
    };
    let ask = |load: &str| {
        let mut case = Case::of(technical()).on(|draft| {
            draft.rulebook = "us-rescue".into();
            draft.load = load.into();
        });
        case.rulebook = own.clone();
        case.refusals()
    };
    assert_eq!(ask("1 person"), []);
    let refused = ask("2 persons");
    assert_eq!(refused[0].code, RefusalCode::NotApproved);
    assert!(
        refused[0]
            .sentence
            .contains("since more than one person hangs on the rope"),
        "{refused:?}"
    );
}

#[test]
fn the_verdict_says_what_follows_from_the_people() {
    let of = |rulebook: &str, case: &str, load: &str| {
        let planned = job(|draft| {
            draft.rulebook = rulebook.into();
            draft.case = case.into();
            draft.load = load.into();
        });
        verdict(&planned, &full_kit()).asked
    };
    assert_eq!(of("european", "", "1 person").people, Vec::<String>::new());
    let rescue = of("european", "rescue", "");
    assert_eq!(rescue.persons, 2);
    let each = rulebook("european")
        .unwrap()
        .person()
        .mass
        .quantity()
        .kilograms();
    assert!((rescue.load_kg - 2.0 * each).abs() < 1e-9);
    let said = rescue.people.join(" ");
    assert!(
        said.contains("Planned for rescue: a casualty and a rescuer: 2 persons on the rope."),
        "{said}"
    );
    assert!(
        said.contains("must hold 1 kN more for each person beyond the first, here for 1"),
        "{said}"
    );
    assert!(
        said.contains("fewer than 2 persons at once is refused"),
        "{said}"
    );
    let light = of("european", "rescue", "150 kg").people.join(" ");
    assert!(light.contains("is 150 kg, less than the 240 kg"), "{light}");
    // The classes of the US sheet, from memory, told and not held.
    let american = of("us-rescue", "two-persons", "").people.join(" ");
    assert!(
        american.contains("whether class T carries two")
            && american.contains("from memory, not sure"),
        "{american}"
    );
    assert!(
        !of("us-rescue", "one-person", "")
            .people
            .join(" ")
            .contains("class T")
    );
}

#[test]
fn another_count_of_people_is_another_case() {
    let rescue = for_case("rescue", "").unwrap();
    let one = WhatIf {
        load: "1 person".into(),
        ..WhatIf::default()
    };
    let one = one.job(&rescue, &Zone::UTC).unwrap();
    assert_eq!((one.case, one.load), (None, Load::Persons(1)));
    let wet = WhatIf {
        wet: "yes".into(),
        ..WhatIf::default()
    };
    assert_eq!(
        wet.job(&rescue, &Zone::UTC).unwrap().case,
        Some(LoadCase::Rescue)
    );
}

/// A plan with a site, for a rescue.
fn with_site() -> Value {
    let mut changes = json!({"case": "rescue", "load": "120 kg"});
    for (field, text) in SITE {
        changes[field] = json!(text);
    }
    changes
}

on_both_databases! {
    async fn hazards_edge_and_anchors_are_kept_apart_and_shown_wherever_the_job_is(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _) = passing(&world, &crew).await;
        let put = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{job}"), "\"1\"", &plan(&with_site())).await;
        assert_eq!(put.status, StatusCode::OK, "{}", put.text);
        let issue = issued(&world, &crew, &job).await;
        let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let page = crew.get(&format!("/jobs/{job}")).await.text;
        let frozen = crew.get(&format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap())).await.text;
        let auditor = world.visitor(&world.auditor).await;
        let file = auditor.get("/jobs.csv").await.text;
        let history = crew.get(&format!("/jobs/{job}/history")).await.text;
        for (field, text) in SITE {
            assert_eq!(read["job"]["site"][field], text);
            assert_eq!(issue["job"]["site"][field], text);
            for (name, shown) in [("page", &page), ("issue", &frozen), ("file", &file), ("history", &history)] {
                assert!(shown.contains(text), "{name}: {field}: {shown}");
            }
            assert!(file.lines().next().unwrap().contains(field), "{file}");
        }
        assert!(page.contains("planned for rescue") && frozen.contains("planned for rescue"), "{page}");
        assert!(file.contains(",rescue,"), "{file}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_site_has_limits_and_a_page_keeps_what_was_typed(world) {
        let crew = world.visitor(&world.crew).await;
        let long = "x".repeat(LONGEST_NOTE + 1);
        let done = crew.json(Method::POST, "/api/v1/jobs", &plan(&json!({"edge": long, "hazards": "a\u{7}", "case": "many"}))).await;
        assert_eq!(done.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["edge", "hazards", "case"] {
            assert_eq!(under(&done.json(), field).len(), 1, "{field}: {}", done.text);
        }
        let form = crew.get("/jobs/new").await.text;
        for field in ["hazards", "edge", "anchors", "case"] {
            assert!(form.contains(&format!("name=\"{field}\"")), "{field}");
        }
        let job = planned(&crew, with_site()).await;
        let again = crew.get(&format!("/jobs/{job}/edit")).await.text;
        assert!(SITE.iter().all(|(_, text)| again.contains(text)), "{again}");
        assert!(again.contains("<option value=\"rescue\" selected"), "{again}");
        // The crew's roles begin with the case of the job, and a plan for another is told.
        let start = crew.get(&format!("/api/v1/jobs/{job}/crew")).await.json()["start"].clone();
        assert_eq!(start["case"], "rescue");
        let mut one = start;
        one["case"] = json!("one-person");
        crew.json(Method::POST, &format!("/api/v1/jobs/{job}/crew"), &one).await;
        let read = crew.get(&format!("/api/v1/jobs/{job}/crew")).await.json();
        assert!(read["warnings"].to_string().contains("planned for one person, and the job for rescue"), "{read}");
    }
}
