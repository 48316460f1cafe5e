//! Jobs, their kit lists and verdicts, through their doors.

use axum::http::{Method, StatusCode, header};
use serde_json::json;

use crate::{
    fitness_case::{head, tripod},
    job_given::{fill, plan, planned},
};

/// Computed apart with numpy: 4:1 pulled down, 4 sheaves, e = 0.92, W = 2.000 kN; T0 to T4 in kN, to four
/// decimals, and the hand's advantage.
const HAULING: ([f64; 5], f64) = ([0.6132, 0.5642, 0.5190, 0.4775, 0.4393], 3.2615);
const LOWERING: ([f64; 5], f64) = ([0.4042, 0.4393, 0.4775, 0.5190, 0.5642], 4.9485);

on_both_databases! {
    async fn a_job_whose_time_is_over_says_so_while_it_is_planned(world) {
        let crew = world.visitor(&world.crew).await;
        let over = "The time of this job is over: it was planned until";
        let past = planned(&crew, json!({"starts_at": "1999-03-02T08:00", "ends_at": "1999-03-02T16:00"})).await;
        let page = crew.get(&format!("/jobs/{past}")).await.text;
        assert!(page.contains(&format!("{over} 1999-03-02 16:00")) && page.contains("judged by how the items stand today"), "{page}");
        let coming = planned(&crew, json!({})).await;
        assert!(!crew.get(&format!("/jobs/{coming}")).await.text.contains(over));
        let ended = crew.json(Method::POST, &format!("/api/v1/jobs/{past}/end"), &json!({"state": "cancelled", "reason": "a slip"})).await;
        assert!(ended.status.is_success(), "{}", ended.text);
        assert!(!crew.get(&format!("/jobs/{past}")).await.text.contains(over));
    }

    async fn a_planned_kit_gets_the_printed_forces_of_the_four_to_one(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "203.943242595587 kg"})).await;
        let path = format!("/api/v1/jobs/{job}");
        let empty = crew.get(&path).await.json();
        assert_eq!(empty["passes"], false);
        assert!(empty["sentence"].as_str().unwrap().starts_with("Cannot say yet"), "{empty}");
        fill(&crew, &job, &kit).await;
        let sheet = crew.get(&path).await.json();
        let phases = sheet["verdict"]["assessment"]["phases"].as_array().unwrap().clone();
        for (name, (tensions, advantage)) in [("hauling", HAULING), ("lowering", LOWERING)] {
            let forces = phases.iter().find(|forces| forces["phase"] == name).unwrap();
            for (part, printed) in forces["parts"].as_array().unwrap().iter().zip(tensions) {
                let likely = part["tension"]["likely"].as_f64().unwrap() / 1000.0;
                assert!((likely - printed).abs() <= 0.000_05, "{name}: {likely}, printed {printed}");
            }
            let likely = forces["advantage"]["likely"].as_f64().unwrap();
            assert!((likely - advantage).abs() <= 0.000_05, "{name}: {likely}, printed {advantage}");
        }
        let page = crew.get(&format!("/jobs/{job}/verdict")).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("weakest link"), "{}", page.text);
    }

    async fn a_verdict_that_passes_is_kept_word_for_word(world) {
        let mut kit = crate::fitness_case::full_kit();
        kit[1] = head().rated(&["axle|36 kN|breaking", "becket|12 kN|breaking"]);
        kit[3] = tripod().rated(&["body|22 kN|breaking"]);
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        fill(&crew, &job, &kit).await;
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["passes"], true, "{sheet}");
        let done = crew.post(&format!("/jobs/{job}/verdict"), &[]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let history = crew.get(&format!("/api/v1/jobs/{job}/history")).await.json();
        let newest = history["entries"][0].clone();
        assert_eq!(newest["kind"], "verdict-kept");
        let payload: serde_json::Value = serde_json::from_str(newest["payload"].as_str().unwrap()).unwrap();
        assert_eq!(payload["change"]["of"]["sentence"], sheet["sentence"]);
        assert_eq!(payload["change"]["of"]["passes"], true);
    }

    async fn a_refused_item_gets_every_reason_and_the_attempt_is_kept(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let officer = world.visitor(&world.officer).await;
        let rope = &kit[0].item;
        let step = json!({"step": "quarantine", "reason": "soft spot at 12 m"});
        officer.json(Method::POST, &format!("/api/v1/items/{}/steps", rope.id), &step).await;
        let job = planned(&crew, json!({"depth": "90 m"})).await;
        let fields = [("item", rope.mark.as_str()), ("position", "rope")];
        let page = crew.post(&format!("/jobs/{job}/kit"), &fields).await;
        assert_eq!(page.status, StatusCode::CONFLICT);
        assert!(page.text.contains("is refused: 2 reasons"), "{}", page.text);
        assert!(page.text.contains("soft spot at 12 m"), "{}", page.text);
        let answer = crew.json(Method::POST, &format!("/api/v1/jobs/{job}/kit"), &json!({"item": rope.mark, "position": "rope"})).await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        let codes: Vec<String> = answer.json()["refusals"].as_array().unwrap().iter()
            .map(|refusal| refusal["code"].as_str().unwrap().to_owned()).collect();
        assert_eq!(codes, ["quarantined", "rope-too-short"]);
        assert!(answer.json()["refusals"][0]["rule"]["source"].is_string());
        let history = crew.get(&format!("/api/v1/items/{}/history", rope.id)).await.json();
        assert_eq!(history["entries"][0]["kind"], "item-refused");
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["kit"].as_array().unwrap().len(), 0);
    }

    async fn of_two_crews_who_reach_for_one_item_exactly_one_gets_it(world) {
        let kit = world.shelved_kit().await;
        let (crew, officer) = (world.visitor(&world.crew).await, world.visitor(&world.officer).await);
        let first = planned(&crew, json!({"title": "First"})).await;
        let second = planned(&officer, json!({"title": "Second", "starts_at": "2026-03-02T12:00"})).await;
        let line = json!({"item": kit[1].item.mark, "position": "head"});
        let (paths, line) = ([first, second].map(|job| format!("/api/v1/jobs/{job}/kit")), &line);
        let (one, other) = tokio::join!(
            crew.json(Method::POST, &paths[0], line),
            officer.json(Method::POST, &paths[1], line)
        );
        let (won, lost) = if one.status == StatusCode::CREATED { (one, other) } else { (other, one) };
        assert_eq!(won.status, StatusCode::CREATED, "{}", won.text);
        assert_eq!(lost.status, StatusCode::CONFLICT, "{}", lost.text);
        let refusal = lost.json()["refusals"][0].clone();
        assert_eq!(refusal["code"], "on-another-job");
        // The other is told who has it.
        let (evidence, who) = (refusal["evidence"].as_str().unwrap(), refusal["who"].as_str().unwrap());
        assert!(evidence.starts_with('"') && who.contains("of the north"), "{refusal}");
    }

    async fn an_item_is_free_once_its_job_has_ended(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let first = planned(&crew, json!({})).await;
        let second = planned(&crew, json!({"title": "Second"})).await;
        fill(&crew, &first, &kit[1..2]).await;
        let end = crew.post(&format!("/jobs/{first}/end"), &[("state", "cancelled"), ("reason", "flooded")]).await;
        assert_eq!(end.status, StatusCode::SEE_OTHER);
        fill(&crew, &second, &kit[1..2]).await;
        let again = crew.post(&format!("/jobs/{first}/kit"), &[("item", "R-1"), ("position", "rope")]).await;
        assert_eq!(again.status, StatusCode::CONFLICT);
        let change = crew.get(&format!("/api/v1/jobs/{first}")).await;
        let mark = change.header(header::ETAG).to_owned();
        let revised = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{first}"), &mark, &plan(&json!({}))).await;
        assert_eq!(revised.status, StatusCode::CONFLICT, "{}", revised.text);
    }

    async fn a_bad_plan_names_every_wrong_field_and_keeps_the_text(world) {
        let crew = world.visitor(&world.crew).await;
        let before = world.entries().await;
        let long = "p".repeat(10_000);
        let fields = [
            ("title", "<b>Well</b>"), ("place", long.as_str()), ("starts_at", "2026-03-02T16:00"),
            ("ends_at", "2026-03-02T08:00"), ("depth", "NaN m"), ("load", "-5 kg"), ("rulebook", ""), ("rig", ""),
            ("head_gap", "2 kN"), ("block_length", ""), ("tail", "9999 m"), ("knots", "1"), ("pull_each", "1e9 kN"),
        ];
        let answer = crew.post("/jobs", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["place", "ends_at", "depth", "load", "rulebook", "rig", "head_gap", "block_length", "tail", "knots", "pull_each"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("value=\"&#60;b&#62;Well&#60;/b&#62;\""));
        assert!(answer.text.contains("value=\"NaN m\""));
        // How deep a shaft is, is no thickness of a rope.
        let told = "Write a number and its unit, such as &#34;15 m&#34;, not &#34;NaN m&#34;.";
        assert!(answer.text.contains(told), "{}", answer.text);
        assert_eq!(world.entries().await, before);
    }

    async fn a_plan_is_asked_for_the_lengths_that_its_rig_cannot_do_without(world) {
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/api/v1/jobs/{job}")).await;
        let mark = page.header(header::ETAG).to_owned();
        for (rig, field, what, given) in [
            ("tripod-with-belay", "between_anchors", "how far the anchor of the belay and the head of the tripod stand apart, straight along the rope", "3 m"),
            ("three-to-one", "throw", "goes before it is set back", "2 m"),
        ] {
            let mut asked = plan(&json!({"rig": rig}));
            let refused = crew.json(Method::POST, "/api/v1/jobs", &asked).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
            assert!(refused.text.contains(field) && refused.text.contains(what), "{}", refused.text);
            let revised = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{job}"), &mark, &asked).await;
            assert_eq!(revised.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", revised.text);
            asked[field] = json!(given);
            let taken = crew.json(Method::POST, "/api/v1/jobs", &asked).await;
            assert_eq!(taken.status, StatusCode::CREATED, "{}", taken.text);
        }
    }

    async fn a_load_that_is_written_as_a_weight_counts_with_its_mass(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "2 kN"})).await;
        fill(&crew, &job, &kit).await;
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["job"]["load"], json!({"force": {"value": 2.0, "unit": "kN"}}), "{sheet}");
        // F / g with the standard acceleration, 9.80665 m/s² (General Conference on Weights and Measures, 1901).
        let said = "2 kN: counted as the weight of 203.943 kg, with g = 9.80665 m/s²";
        let forces = &sheet["verdict"]["assessment"]["phases"];
        let hauling = forces.as_array().unwrap().iter().find(|forces| forces["phase"] == "hauling").unwrap();
        for (part, printed) in hauling["parts"].as_array().unwrap().iter().zip(HAULING.0) {
            let likely = part["tension"]["likely"].as_f64().unwrap() / 1000.0;
            assert!((likely - printed).abs() <= 0.000_05, "{likely}, printed {printed}");
        }
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains(said), "{page}");
        let form = crew.get(&format!("/jobs/{job}/edit")).await.text;
        assert!(form.contains("value=\"2 kN\""), "{form}");
        for (load, words) in [
            ("40 kN", "The load must be between 1 and 2000 kg, not 40 kN, counted as the weight of 4078.86 kg"),
            ("5 kPa", "Write the unit as kN, daN, N, lbf, kgf, kg or lb; \\\"kPa\\\" is not one of them."),
            ("1,200 kg", "write 1200, or 1.2 with a point."),
            ("1.2345 N", "between 1 and 2000 kg"),
        ] {
            let refused = crew.json(Method::POST, "/api/v1/jobs", &plan(&json!({"load": load}))).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{load}");
            let message = refused.json()["fields"][0]["message"].to_string();
            assert!(message.contains(words), "{load}: {message}");
        }
        for taken in ["1200 kg", "1.2 kg"] {
            planned(&crew, json!({"load": taken})).await;
        }
    }

    async fn a_load_in_words_and_a_pull_as_a_weight_are_taken(world) {
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "One person", "pull_each": "25 kg"})).await;
        let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json()["job"].clone();
        assert_eq!(read["load"], json!({"persons": 1}), "{read}");
        assert_eq!(read["setup"]["pull_each"], json!({"value": 25.0, "unit": "kgf"}), "{read}");
        let fields = [("title", ""), ("load", "ten people"), ("pull_each", "strong"), ("stuck_pull", "-1 kg")];
        let page = crew.post("/jobs", &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        // Each line above the form names its field by the label below it.
        for line in [
            "<a href=\"#f-title\">What is to be done: Write something here",
            "<a href=\"#f-load\">Load: Write 1 to 4 persons, not &#34;ten people&#34;.</a>",
            "<a href=\"#f-pull_each\">Pull of one hauler: Write a force with its unit, such as 0.25 kN or 56 lbf, or the mass that weighs as much, such as 25 kg, not &#34;strong&#34;.</a>",
            "<a href=\"#f-stuck_pull\">Pull of the whole crew on a stuck load: The mass must be between 0 and 100000 kg, not -1.</a>",
        ] {
            assert!(page.text.contains(line), "{line}: {}", page.text);
        }
    }

    async fn a_stale_plan_is_shown_beside_the_one_that_is_there(world) {
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let path = format!("/api/v1/jobs/{job}");
        let mark = crew.get(&path).await.header(header::ETAG).to_owned();
        let first = crew.json_if(Method::PUT, &path, &mark, &plan(&json!({"place": "North works"}))).await;
        assert_eq!(first.status, StatusCode::OK, "{}", first.text);
        let second = crew.json_if(Method::PUT, &path, &mark, &plan(&json!({"place": "West works"}))).await;
        assert_eq!(second.status, StatusCode::PRECONDITION_FAILED);
        let typed = plan(&json!({"place": "West works"}));
        let fields: Vec<(&str, &str)> = typed.as_object().unwrap().iter()
            .map(|(name, value)| (name.as_str(), value.as_str().unwrap())).collect();
        let mut whole = vec![("head_gap", "2.1 m"), ("block_length", "0.6 m"), ("tail", "3 m"), ("knots", "1 m"), ("pull_each", "0.25 kN")];
        whole.extend(fields);
        let page = crew.post(&format!("/jobs/{job}/edit?revision=1"), &whole).await;
        assert_eq!(page.status, StatusCode::CONFLICT);
        assert!(page.text.contains("value=\"West works\"") && page.text.contains("North works"), "{}", page.text);
    }

    async fn an_auditor_and_another_team_change_nothing(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let before = world.entries().await;
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get(&format!("/jobs/{job}")).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(!page.text.contains("Put it on"), "{}", page.text);
        let line = json!({"item": kit[0].item.mark, "position": "rope"});
        let path = format!("/api/v1/jobs/{job}/kit");
        assert_eq!(auditor.json(Method::POST, &path, &line).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        for page in ["", "/verdict", "/positions/head", "/edit"] {
            let answer = outsider.get(&format!("/jobs/{job}{page}")).await;
            assert_eq!(answer.status, StatusCode::NOT_FOUND, "{page}");
        }
        assert_eq!(outsider.json(Method::POST, &path, &line).await.status, StatusCode::NOT_FOUND);
        assert_eq!(world.entries().await, before);
    }
}
