//! A crew's day through its doors: what is out is away for everybody, and what a page says of a kit holds.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Issue};
use ropeloft::domain::{ItemStep, ItemStepped, function_asks, function_sheet};
use ropeloft::rigging::shipped;
use serde_json::{Value, json};
use time::macros::date;

use crate::{
    client::Client,
    fitness_case::{Thing, head},
    issue::{issued, passing, strong_kit},
    job_given::{fill, plan, planned},
    kit_since::count_back,
    paper_reader::{flat, text_of},
    world::World,
};

/// A plan of a day of March.
fn on(day: u8, title: &str) -> Value {
    json!({
        "title": title,
        "starts_at": format!("2026-03-{day:02}T08:00"), "ends_at": format!("2026-03-{day:02}T16:00"),
    })
}

fn retired(thing: &Thing) -> Change {
    Change::ItemStepped(ItemStepped {
        item: thing.item.id,
        step: ItemStep::Retire,
        reason: "core shot seen".into(),
        on: date!(2026 - 03 - 01),
        retired_for: None,
    })
}

/// A job of the fifth, whose kit is out since the first.
async fn out_early(world: &World, crew: &Client) -> (String, Vec<Thing>, Value) {
    let kit = strong_kit();
    world.shelve(&kit).await;
    let job = planned(crew, on(5, "After pump")).await;
    fill(crew, &job, &kit).await;
    let issue = issued(world, crew, &job).await;
    (job, kit, issue)
}

async fn otherwise(crew: &Client, job: &str, query: &str) -> (Value, String) {
    let answer = crew
        .get(&format!("/api/v1/jobs/{job}/what-if?{query}"))
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    let page = crew.get(&format!("/jobs/{job}/what-if?{query}")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    (answer.json(), page.text)
}

#[test]
fn the_belay_is_asked_by_what_it_shares() {
    let sheet = function_sheet();
    let asks = |key: &str| sheet.check.iter().find(|line| line.key == key).unwrap();
    assert!(asks("belay-apart").asks.contains("stands alone"));
    assert!(!asks("belay-shares").asks.contains("stands alone"));
    // The tripod with a belay hangs both ropes from one head.
    let tripod = shipped()
        .iter()
        .find(|rig| rig.key() == "tripod-with-belay");
    assert_ne!(tripod.unwrap().shared_with_belay(), Vec::<&str>::new());
}

on_both_databases! {
    async fn another_load_holds_every_item_against_itself(world) {
        let mut kit = strong_kit();
        let once = ["EN 12278||8 mm|13 mm||||1", "EN 567||8 mm|13 mm|low-stretch, dynamic"];
        kit[1] = head().approved(&once).rated(&["axle|36 kN|breaking", "becket|12 kN|breaking"]);
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "120 kg", "case": "one-person"})).await;
        fill(&crew, &job, &kit).await;
        let (answer, page) = otherwise(&crew, &job, "case=two-persons&load=120%20kg").await;
        assert_eq!(answer["planned"]["passes"], true, "{answer}");
        let other = &answer["otherwise"];
        assert_eq!((&other["passes"], &other["verdict"]["passes"]), (&json!(false), &json!(false)), "{other}");
        assert_eq!(other["verdict"]["outcome"], "strong-enough");
        assert_eq!(other["refused"][0]["reasons"][0]["code"], "rated-load", "{other}");
        assert!(other["sentence"].as_str().unwrap().starts_with("1 item on the list may not go"), "{other}");
        for words in ["1 item on the list may not go", "for 1 person at once", "Least to spare", "1 of 6 items may not", "without a belay"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        // Less than two people weigh is said in the answer itself.
        assert!(page.contains("The load that was typed in is 120 kg, less than the 240 kg"), "{page}");
    }

    async fn another_day_and_what_became_unfit_count_too(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let later = "starts_at=2027-06-01T08:00&ends_at=2027-06-01T16:00";
        let (answer, page) = otherwise(&crew, &job, later).await;
        assert_eq!(answer["otherwise"]["refused"].as_array().unwrap().len(), kit.len(), "{answer}");
        assert!(page.contains("6 items on the list may not go"), "{page}");
        world.record(retired(&kit[0])).await;
        let (answer, page) = otherwise(&crew, &job, "wet=yes").await;
        assert_eq!((&answer["planned"]["passes"], &answer["otherwise"]["passes"]), (&json!(false), &json!(false)));
        assert_eq!(page.matches("1 item on the list may not go").count(), 2, "{page}");
    }

    async fn a_lost_belay_is_no_plain_yes(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _) = passing(&world, &crew).await;
        let belayed = plan(&json!({"rig": "tripod-with-belay", "between_anchors": "3 m"}));
        let put = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{job}"), "\"1\"", &belayed).await;
        assert_eq!(put.status, StatusCode::OK, "{}", put.text);
        let (answer, page) = otherwise(&crew, &job, "rig=four-to-one-pull-down").await;
        let other = &answer["otherwise"];
        assert_eq!((&other["loses_belay"], &other["passes"]), (&json!(true), &json!(false)), "{other}");
        assert!(page.contains("The belay of the plan is lost."), "{page}");
        assert!(page.contains("This rig has no belay"), "{page}");
    }

    async fn what_is_out_is_in_no_set_until_its_job_is_over_and_it_is_back(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _, issue) = out_early(&world, &crew).await;
        let read = async || crew.get(&format!("/api/v1/readiness?job={job}")).await.json();
        let sets = read().await;
        assert_eq!((&sets["steps"][0]["sets"], &sets["today"]), (&json!(0), &json!([])), "{sets}");
        assert_eq!((&sets["steps"][1]["from"], &sets["steps"][1]["sets"]), (&json!("2026-03-06"), &json!(1)), "{sets}");
        let page = crew.get(&format!("/readiness/sets?job={job}")).await.text;
        assert!(page.contains("6 items of the kinds that the rig takes are out with crews"), "{page}");
        // Late and not counted back: today at least.
        world.clock.advance(time::Duration::days(7));
        let crew = world.visitor(&world.crew).await;
        let late = crew.get(&format!("/api/v1/readiness?job={job}")).await.json();
        assert_eq!((&late["steps"][0]["sets"], &late["steps"][1]["from"]), (&json!(0), &json!("2026-03-09")), "{late}");
        count_back(&crew, &job, &issue).await;
        let back = crew.get(&format!("/api/v1/readiness?job={job}")).await.json();
        assert_eq!(back["steps"][0]["sets"], 1, "{back}");
    }

    async fn what_is_out_is_proposed_only_where_its_job_ends_before(world) {
        let crew = world.visitor(&world.crew).await;
        out_early(&world, &crew).await;
        let before = planned(&crew, on(3, "Before")).await;
        let proposal = crew.get(&format!("/api/v1/jobs/{before}/proposal")).await.json();
        assert_eq!(proposal["picks"], json!([]), "{proposal}");
        let after = planned(&crew, on(6, "Afterwards")).await;
        let proposal = crew.get(&format!("/api/v1/jobs/{after}/proposal")).await.json();
        assert_eq!(proposal["picks"].as_array().unwrap().len(), 6, "{proposal}");
        assert!(proposal["picks"][0]["why"].to_string().contains("It must be counted back"), "{proposal}");
    }

    async fn whoever_takes_from_a_sooner_job_is_told_and_so_is_that_job(world) {
        let crew = world.visitor(&world.crew).await;
        let kit = strong_kit();
        world.shelve(&kit).await;
        let sooner = planned(&crew, on(3, "Sooner")).await;
        fill(&crew, &sooner, &kit[..2]).await;
        let later = planned(&crew, on(5, "After pump")).await;
        fill(&crew, &later, &kit).await;
        let before = crew.get(&format!("/api/v1/jobs/{later}/issues")).await.json();
        let marks = [&kit[0].item.mark, &kit[1].item.mark];
        assert_eq!((&before["held"][0]["title"], &before["held"][0]["marks"]), (&json!("Sooner"), &json!(marks)), "{before}");
        let page = crew.get(&format!("/jobs/{later}/issues")).await.text;
        assert!(page.contains("but takes what 1 other job plans with") && page.contains("2026-03-03 08:00"), "{page}");
        // The other way round nothing is taken: the first job is over before the second begins.
        assert_eq!(crew.get(&format!("/api/v1/jobs/{sooner}/issues")).await.json()["held"], json!([]));
        issued(&world, &crew, &later).await;
        let robbed = crew.get(&format!("/jobs/{sooner}")).await.text;
        assert!(robbed.contains("2 items on the list may not go") && robbed.contains("(out with another crew)"), "{robbed}");
        assert!(crew.get("/").await.text.contains("(out with another crew)"));
        // What speaks against the item itself is not hidden behind that.
        let officer = world.visitor(&world.officer).await;
        let step = json!({"step": "quarantine", "reason": "sheath cut"});
        let done = officer.json(Method::POST, &format!("/api/v1/items/{}/steps", kit[0].item.id), &step).await;
        assert!(done.status.is_success(), "{}", done.text);
        let robbed = crew.get(&format!("/jobs/{sooner}")).await.text;
        assert!(robbed.contains("(in quarantine; out with another crew)"), "{robbed}");
    }

    async fn the_record_of_an_issue_keeps_what_the_crew_needs_and_the_paper_what_came_since(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let before = crew.get(&format!("/jobs/{job}/issues")).await.text;
        let issue = issued(&world, &crew, &job).await;
        let page = crew.get(&format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap())).await.text;
        for words in ["Pull at the hand to haul", "at least", "Length needed", "people with 0.25 kN each"] {
            assert!(before.contains(words) && page.contains(words), "{words}: {page}");
        }
        world.record(retired(&kit[0])).await;
        let file = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        let Some(text) = text_of(&file.bytes) else { return };
        let text = flat(&text);
        for words in ["Since then: not fit any more", "It is retired, and that is for good", "NOT FIT", "Pull at the hand to haul", "Length needed"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }

    async fn a_belay_that_shares_is_asked_what_is_true_of_it(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _) = passing(&world, &crew).await;
        let mut issue: Issue = serde_json::from_value(issued(&world, &crew, &job).await).unwrap();
        let asked = |issue: &Issue| {
            let asks = function_asks(issue).into_iter().map(|line| line.key.as_str());
            asks.filter(|key| key.starts_with("belay-")).collect::<Vec<_>>()
        };
        assert_eq!(asked(&issue), Vec::<&str>::new());
        issue.verdict.belayed = true;
        assert_eq!(asked(&issue), ["belay-apart", "belay-hands"]);
        issue.verdict.belay_shares = vec!["Head of the tripod".into()];
        assert_eq!(asked(&issue), ["belay-shares", "belay-hands"]);
    }

    async fn what_is_out_is_missing_in_no_bag_and_not_there_on_its_page(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, kit, _) = out_early(&world, &crew).await;
        let stores = crew.get("/api/v1/stores").await.json();
        let stores = stores["stores"].as_array().unwrap().clone();
        let bay = stores.iter().find(|store| store["name"] == "Bay").unwrap()["id"].as_str().unwrap();
        let page = crew.get(&format!("/stores/{bay}")).await.text;
        assert!(page.contains("6 with crews, not here") && page.contains("not here: with the crew of"), "{page}");
        let item = crew.get(&format!("/items/{}", kit[0].item.id)).await.text;
        assert!(item.contains("Not there now. Fit to be chosen"), "{item}");
        let form = crew.get(&format!("/stores/{bay}/check")).await.text;
        assert!(form.contains("not looked for here"), "{form}");
        let looked = crew.json(Method::POST, &format!("/api/v1/stores/{bay}/checks"), &json!({"note": "empty"})).await;
        assert_eq!(looked.status, StatusCode::CREATED, "{}", looked.text);
        // A list of which nothing is left is left out.
        assert_eq!(looked.json().get("missing"), None, "{}", looked.text);
    }

    async fn what_a_look_did_not_find_is_not_there_though_it_lives_there(world) {
        let kit = strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let officer = world.visitor(&world.officer).await;
        let stores = crew.get("/api/v1/stores").await.json();
        let stores = stores["stores"].as_array().unwrap().clone();
        let bay = stores.iter().find(|store| store["name"] == "Bay").unwrap()["id"].as_str().unwrap();
        let list = [("revision", "0"), ("within", ""), ("list", "1 rope")];
        let written = officer.post(&format!("/stores/{bay}/bag"), &list).await;
        assert_eq!(written.status, StatusCode::SEE_OTHER, "{}", written.text);
        let seen: Vec<String> = kit[1..].iter().map(|thing| thing.item.id.to_string()).collect();
        let looked = crew.json(Method::POST, &format!("/api/v1/stores/{bay}/checks"), &json!({"seen": seen.join(",")})).await;
        assert_eq!(looked.json()["missing"], json!([kit[0].item.id.to_string()]), "{}", looked.text);
        let page = crew.get(&format!("/stores/{bay}")).await.text;
        assert!(page.contains("Not complete: 1 piece of its list not there") && page.contains("1 not there"), "{page}");
        let item = crew.get(&format!("/items/{}", kit[0].item.id)).await.text;
        assert!(item.contains("Not found in its store."), "{item}");
    }

    async fn whoever_was_second_is_told_on_the_page_of_the_job(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let hands = [("by", world.officer.person.to_string()), ("to", world.crew.person.to_string())];
        let hands: Vec<(&str, &str)> = hands.iter().map(|(name, id)| (*name, id.as_str())).collect();
        let second = crew.post(&format!("/jobs/{job}/issues"), &hands).await;
        assert_eq!(second.status, StatusCode::CONFLICT, "{}", second.text);
        assert!(second.text.contains(issue["id"].as_str().unwrap()) && second.text.contains("Pump well"), "{}", second.text);
        let draft = plan(&json!({"note": "bring the long ladder"}));
        let fields: Vec<(&str, &str)> = draft.as_object().unwrap().iter().map(|(name, text)| (name.as_str(), text.as_str().unwrap())).collect();
        let edit = crew.post(&format!("/jobs/{job}/edit?revision=1"), &fields).await;
        assert_eq!(edit.status, StatusCode::CONFLICT, "{}", edit.text);
        assert!(edit.text.contains("bring the long ladder") && edit.text.contains("Nothing of this was saved"), "{}", edit.text);
    }

    async fn a_job_that_is_over_is_not_judged_by_today_and_what_is_missing_was_not_used(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let path = format!("/jobs/{job}/issues/{}/returns", issue["id"].as_str().unwrap());
        let gone = kit[2].item.id.to_string();
        let count = json!({"hours": "2", "uses": "1", "rest": "fine", "lines": {gone: {"condition": "missing"}}});
        let done = crew.json(Method::POST, &format!("/api/v1{path}"), &count).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let minutes = async |thing: &Thing| {
            let read = crew.get(&format!("/api/v1/items/{}", thing.item.id)).await.json();
            assert_eq!(read["item"]["id"], thing.item.id.to_string(), "{read}");
            // What has no use behind it says nothing of it.
            read["item"].get("usage").map_or(json!(0), |usage| usage["minutes"].clone())
        };
        assert_eq!((minutes(&kit[0]).await, minutes(&kit[2]).await), (json!(120), json!(0)));
        let end = crew.post(&format!("/jobs/{job}/end"), &[("state", "closed"), ("reason", "done")]).await;
        assert_eq!(end.status, StatusCode::SEE_OTHER, "{}", end.text);
        for page in [format!("/jobs/{job}"), format!("/jobs/{job}/verdict")] {
            let page = crew.get(&page).await.text;
            assert!(page.contains("This job is closed") && !page.contains("may not go"), "{page}");
        }
    }

    async fn an_empty_load_says_what_it_waits_for(world) {
        let crew = world.visitor(&world.crew).await;
        let wrong = crew.json(Method::POST, "/api/v1/jobs", &plan(&json!({"load": ""}))).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("Choose for whom it is planned, or write the load"), "{}", wrong.text);
    }
}
