//! A kit put together for a job, as crews and programs ask for it and take it in one go.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, ItemId, StoreId};
use serde_json::json;

use crate::{
    fitness_case::{foot, rope},
    job_given::{fill, planned},
    proposal::strong_kit,
};

/// The values that a page sends for what is ticked.
fn ticked(page: &str) -> Vec<String> {
    page.split("name=\"take\" value=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap().to_owned())
        .collect()
}

on_both_databases! {
    async fn a_kit_is_proposed_and_taken_with_two_presses(world) {
        let kit = strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}")).await;
        assert!(page.text.contains(&format!("/jobs/{job}/proposal")));
        let page = crew.get(&format!("/jobs/{job}/proposal")).await;
        assert!(page.text.contains("6 items would do"), "{}", page.text);
        let ticked = ticked(&page.text);
        let fields: Vec<(&str, &str)> = ticked.iter().map(|one| ("take", one.as_str())).collect();
        let done = crew.post(&format!("/jobs/{job}/proposal"), &fields).await;
        assert_eq!(done.location(), format!("/jobs/{job}/verdict"));
        // Sent twice, it is done once.
        let again = crew.post(&format!("/jobs/{job}/proposal"), &fields).await;
        assert_eq!(again.status, StatusCode::SEE_OTHER);
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["kit"].as_array().unwrap().len(), 6, "{sheet}");
        let page = crew.get(&format!("/jobs/{job}/proposal")).await;
        assert!(page.text.contains("Every position that must be filled has its item."));
    }

    async fn while_a_position_stays_empty_the_rest_is_judged_on_the_page_and_for_programs(world) {
        let mut kit = strong_kit();
        kit.remove(3);
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        for said in [
            "1 position cannot be filled", "5 items for the others stand below", "How strong the others are",
            "As far as it can be judged, the rest is strong enough: the weakest link is the",
            "Not judged, since nothing is there yet: ",
        ] {
            assert!(page.contains(said), "{said}: {page}");
        }
        let proposal = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        assert_eq!(proposal["rest"]["fails"], json!(false), "{proposal}");
        assert!(!proposal["rest"]["assessment"]["checks"].as_array().unwrap().is_empty(), "{proposal}");
        // What is too weak whatever is put there stands in the answer, once.
        let heavy = planned(&crew, json!({"load": "2000 kg"})).await;
        let page = crew.get(&format!("/jobs/{heavy}/proposal")).await.text;
        let weak = "Whatever is put at what is empty, this is not strong enough: the ";
        assert_eq!(page.matches(weak).count(), 1, "{page}");
        let proposal = crew.get(&format!("/api/v1/jobs/{heavy}/proposal")).await.json();
        assert_eq!(proposal["rest"]["fails"], json!(true), "{proposal}");
    }

    async fn what_keeps_a_kit_from_being_whole_leads_to_the_record_and_back(world) {
        let mut kit = strong_kit();
        let bare = 1;
        for approval in &mut kit[bare].model.approvals {
            approval.rope_range = None;
        }
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let at = format!("/jobs/{job}/proposal");
        let page = officer.get(&at).await.text;
        assert!(page.contains("outside the range of the device, or one of the two is not known"), "{page}");
        let form = format!("/models/{}/edit?back={at}", kit[bare].model.id);
        assert!(page.contains(&format!("href=\"{form}\"")), "{page}");
        assert!(officer.get(&form).await.text.contains(&format!("<a href=\"{at}\">Back")));
    }

    async fn what_another_crew_took_meanwhile_puts_nothing_on_and_is_told(world) {
        let kit = strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        let other = planned(&crew, json!({"title": "The other shaft"})).await;
        fill(&crew, &other, &kit[1..2]).await;
        let ticked = ticked(&page);
        let fields: Vec<(&str, &str)> = ticked.iter().map(|one| ("take", one.as_str())).collect();
        let refused = crew.post(&format!("/jobs/{job}/proposal"), &fields).await;
        assert_eq!(refused.status, StatusCode::CONFLICT);
        assert!(refused.text.contains("may not go any more"), "{}", refused.text);
        assert!(refused.text.contains("The other shaft"));
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert!(sheet["kit"].as_array().unwrap().is_empty());
    }

    async fn programs_ask_and_take_too(world) {
        let kit = strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let proposal = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        assert_eq!(proposal["is_whole"], true, "{proposal}");
        assert_eq!(proposal["verdict"]["outcome"], "strong-enough");
        let picks = proposal["picks"].as_array().unwrap();
        let lines: Vec<_> = picks
            .iter()
            .map(|pick| json!({"item": pick["item"], "position": pick["position"]}))
            .collect();
        let path = format!("/api/v1/jobs/{job}/kit/lines");
        let taken = crew.json(Method::POST, &path, &json!({"lines": lines})).await;
        assert_eq!(taken.status, StatusCode::CREATED, "{}", taken.text);
        assert_eq!(taken.json().as_array().unwrap().len(), 6);
        // None of another store; and a store that is none of ours is no wildcard.
        let nowhere = format!("/api/v1/jobs/{job}/proposal?store={}", StoreId::new());
        assert_eq!(crew.get(&nowhere).await.json()["looked_at"], 0);
    }

    async fn a_job_says_from_which_store_it_takes_first(world) {
        world.shelve(&strong_kit()).await;
        let crew = world.visitor(&world.crew).await;
        let stores = crew.get("/api/v1/stores").await.json();
        let bay = &stores["stores"][0];
        let (id, name) = (bay["id"].as_str().unwrap(), bay["name"].as_str().unwrap());
        let job = planned(&crew, json!({"first_from": id})).await;
        let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(read["job"]["first_from"], id, "{read}");
        let page = crew.get(&format!("/jobs/{job}")).await.text;
        assert!(page.contains("Takes from first") && page.contains(name), "{page}");
        let form = crew.get(&format!("/jobs/{job}/edit")).await.text;
        assert!(form.contains(&format!("<option value=\"{id}\" selected>")), "{form}");
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains(&format!("This job takes from {name} first")) && page.contains("It lies where this job takes from first."), "{page}");
        assert!(page.contains(&format!("The new items come from {name}; no fewer stores beside {name}, which the job takes from first, would do.")), "{page}");
        for wrong in ["somewhere".to_owned(), StoreId::new().to_string()] {
            let plan = crate::job_given::plan(&json!({"first_from": wrong}));
            let refused = crew.json(Method::POST, "/api/v1/jobs", &plan).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert_eq!(refused.json()["fields"][0]["field"], "first_from", "{}", refused.text);
        }
    }

    async fn nonsense_is_refused_with_a_sentence(world) {
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let here = format!("/jobs/{job}/proposal");
        for take in ["", "x", "x/y/z", "//"] {
            let answer = crew.post(&here, &[("take", take)]).await;
            assert!(answer.status.is_client_error(), "{take}: {}", answer.status);
        }
        assert!(crew.post(&here, &[]).await.text.contains("Nothing was ticked"));
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.get(&here).await.status, StatusCode::OK);
        assert_eq!(auditor.post(&here, &[]).await.status, StatusCode::FORBIDDEN);
    }

    async fn what_is_on_a_full_list_and_may_not_go_is_proposed_another_for(world) {
        let kit = strong_kit();
        let mut other = foot().rated(&["axle|60 kN|breaking"]);
        other.item.mark = "P-9".into();
        let mut shelf = kit.clone();
        shelf.push(other);
        world.shelve(&shelf).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        fill(&crew, &job, &kit).await;
        let home = format!("/jobs/{job}");
        assert!(!crew.get(&home).await.text.contains("Propose a kit"));
        let step = json!({"step": "quarantine", "reason": "bent"});
        let held = crew.json(Method::POST, &format!("/api/v1/items/{}/steps", kit[2].item.id), &step).await;
        assert!(held.status.is_success(), "{}", held.text);
        assert!(crew.get(&home).await.text.contains("Propose a kit"));
        let proposal = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        let picks = proposal["picks"].as_array().unwrap();
        assert_eq!((picks.len(), &picks[0]["position"], proposal["is_whole"].as_bool()), (1, &json!("foot"), Some(true)), "{proposal}");
        let page = crew.get(&format!("{home}/proposal")).await.text;
        assert!(page.contains("On the list and refused: P-2 (") && page.contains("in the place of P-2"), "{page}");
        let ticked = ticked(&page);
        assert!(ticked.len() == 1 && ticked[0].ends_with(picks[0]["instead_of"].as_str().unwrap()), "{ticked:?}");
        let entries = world.entries().await;
        for _ in 0..2 {
            let done = crew.post(&format!("{home}/proposal"), &[("take", ticked[0].as_str())]).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        assert_eq!(world.entries().await, entries + 2, "one off, one on");
        let marks = async || {
            let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
            let kit = read["kit"].as_array().unwrap().clone();
            let marks = kit.iter().map(|entry| entry["item"]["mark"].as_str().unwrap().to_owned());
            marks.collect::<Vec<_>>()
        };
        let now = marks().await;
        assert!(now.len() == 6 && now.contains(&"P-9".to_owned()) && !now.contains(&"P-2".to_owned()), "{now:?}");
        // Where nothing may go in its place, it is said why, and the list stays.
        let held = crew.json(Method::POST, &format!("/api/v1/items/{}/steps", shelf[6].item.id), &step).await;
        assert!(held.status.is_success(), "{}", held.text);
        let page = crew.get(&format!("{home}/proposal")).await.text;
        assert!(page.contains("On the list and refused: P-9 (") && page.contains("may go here and is fit until"), "{page}");
        assert_eq!(marks().await, now);
        // Programs put it on likewise, and may not name a line that is not there.
        let put = json!({"lines": [{"item": "P-2", "position": "foot", "instead_of": uuid::Uuid::now_v7()}]});
        let none = crew.json(Method::POST, &format!("/api/v1/jobs/{job}/kit/lines"), &put).await;
        assert_eq!(none.status, StatusCode::NOT_FOUND, "{}", none.text);
    }

    async fn a_swap_whose_line_is_gone_meanwhile_says_so_beside_a_new_proposal(world) {
        let kit = strong_kit();
        let mut shelf = kit.clone();
        for mark in ["P-8", "P-9"] {
            let mut other = foot().rated(&["axle|60 kN|breaking"]);
            other.item.mark = mark.into();
            shelf.push(other);
        }
        world.shelve(&shelf).await;
        let crew = world.visitor(&world.crew).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&crew, json!({})).await;
        fill(&crew, &job, &kit).await;
        let step = json!({"step": "quarantine", "reason": "bent"});
        let hold = async |id: ItemId| {
            let held = officer.json(Method::POST, &format!("/api/v1/items/{id}/steps"), &step).await;
            assert!(held.status.is_success(), "{}", held.text);
        };
        hold(kit[2].item.id).await;
        let here = format!("/jobs/{job}/proposal");
        let old = ticked(&crew.get(&here).await.text);
        let picks = crew.get(&format!("/api/v1{here}")).await.json()["picks"].clone();
        // Somebody else was faster, with another one.
        let (line, taken) = (picks[0]["instead_of"].as_str().unwrap(), picks[0]["item"].as_str().unwrap());
        let other = shelf[6..].iter().find(|one| one.item.id.to_string() != taken).unwrap();
        let swap = json!({"item": other.item.mark});
        let swapped = officer.json(Method::POST, &format!("/api/v1/jobs/{job}/kit/{line}/swap"), &swap).await;
        assert!(swapped.status.is_success(), "{}", swapped.text);
        let entries = world.entries().await;
        let put = [("take", old[0].as_str())];
        let answer = crew.post(&here, &put).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        let (mark, who) = (&other.item.mark, "The equipment officer of the north");
        for words in [
            "Nothing of this was done: the kit list is not as it was".to_owned(),
            format!(": P-2 is off the list. {who} took it off at "),
            format!(" (another item was put in its place). {mark} is there now."),
            "Every position that must be filled has its item.".to_owned(),
        ] {
            assert!(answer.text.contains(&words), "{words}: {}", answer.text);
        }
        assert_eq!(world.entries().await, entries, "nothing of it is recorded");
        // Programs are told alike.
        let lines = json!({"lines": [{"item": taken, "position": "foot", "instead_of": line}]});
        let told = crew.json(Method::POST, &format!("/api/v1/jobs/{job}/kit/lines"), &lines).await;
        assert_eq!(told.status, StatusCode::CONFLICT, "{}", told.text);
        assert!(told.json()["detail"].as_str().unwrap().contains("is there now."), "{}", told.text);
        // What is there now may not go either, and another one is proposed beside what was ticked before.
        hold(other.item.id).await;
        let answer = crew.post(&here, &put).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        let anew = ticked(&answer.text);
        assert!(anew.len() == 1 && anew != old, "{anew:?}");
        let done = crew.post(&here, &[("take", anew[0].as_str())]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    }

    async fn of_a_rope_and_a_device_that_refuse_each_other_one_stays(world) {
        let kit = strong_kit();
        let mut shelf = kit.clone();
        let mut other = rope();
        other.item.mark = "R-2".into();
        shelf.push(other);
        world.shelve(&shelf).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        fill(&crew, &job, &kit).await;
        // The rope turns out to be thicker than the device takes: both are refused now.
        let mut thick = kit[0].clone().with(&[("diameter", "15 mm")]).model;
        thick.revision += 1;
        world.record(Change::ModelRevised(thick)).await;
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let refused = sheet["kit"].as_array().unwrap().iter().filter(|entry| !entry["refusals"].as_array().unwrap().is_empty());
        assert!(refused.count() > 1, "{sheet}");
        // The rope alone is enough to go, since there is another; the devices stay, and it is said.
        let proposal = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        let picks = proposal["picks"].as_array().unwrap();
        assert!(picks.len() == 1 && picks[0]["position"] == "rope" && !proposal["stays"].as_array().unwrap().is_empty(), "{proposal}");
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains(" stays at &#34;") && page.contains("it is enough that one of the two goes"), "{page}");
        let take = ticked(&page);
        let done = crew.post(&format!("/jobs/{job}/proposal"), &[("take", take[0].as_str())]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert!(sheet["kit"].as_array().unwrap().iter().all(|entry| entry["refusals"].as_array().unwrap().is_empty()), "{sheet}");
    }

    async fn a_whole_kit_says_why_its_belay_is_not_judged(world) {
        let kit = crate::strength_of_kit_coverage::belayed().into_iter();
        let kit: Vec<_> = kit.map(|thing| match thing.position.as_deref() {
            Some("tripod") => thing.with(&[("height", "2.3 m")]),
            _ => thing,
        }).collect();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"rig": "tripod-with-belay", "between_anchors": "4 m"})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("Left open: the belay is not judged. ") && page.contains("The rig counts with 15 degrees"), "{page}");
    }
}
