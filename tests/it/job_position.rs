//! What may go at a position: what all that may not have against them is told once, and what a verdict would
//! lack is told where the item is chosen.

use axum::http::{Method, StatusCode};
use serde_json::json;

use crate::{
    fitness_case::{Thing, foot, full_kit, head, rope},
    job_given::planned,
};

/// Pulleys that no job takes at the load, for want of an approval; the last one has no serial either.
fn unfit() -> Vec<Thing> {
    let marks = ["P-21", "P-22", "P-23"];
    let pulleys = marks.map(|mark| {
        let mut pulley = foot().approved(&["EN 567||8 mm|13 mm"]);
        pulley.item.id = ropeloft::domain::ItemId::new();
        pulley.model.id = ropeloft::domain::ModelId::new();
        pulley.model.name = format!("Model {mark}");
        pulley.item.model = pulley.model.id;
        pulley.item.mark = mark.into();
        pulley
    });
    let mut pulleys = Vec::from(pulleys);
    pulleys[2].item.serial = None;
    pulleys[2].item.lot = None;
    pulleys
}

on_both_databases! {
    async fn what_all_have_against_them_stands_once_above_them(world) {
        world.shelve(&unfit()).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/positions/foot")).await.text;
        assert!(page.contains("None of 3 items may go here"), "{page}");
        let shared = "The rulebook asks for an approval to EN 12278";
        assert_eq!(page.matches(shared).count(), 1, "{page}");
        // Counted above, and told in full where it holds.
        assert_eq!(page.matches("Neither its serial nor its lot is known").count(), 2, "{page}");
        assert_eq!(page.matches("the reasons above").count(), 2, "{page}");
        assert!(page.contains("1 more reason against it") && !page.contains("<details open>"), "{page}");
        assert!(page.contains("All 3: The rulebook asks") && page.contains("1 of 3: Neither its serial nor its lot is known"), "{page}");
        assert!(page.contains("<summary>Why not: The serial or lot is unknown</summary>"), "{page}");
        assert!(!page.contains("Put it on"), "{page}");
    }

    async fn where_one_may_go_each_keeps_its_own_reasons(world) {
        let mut pulleys = unfit();
        pulleys.push(foot());
        world.shelve(&pulleys).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/positions/foot")).await.text;
        assert!(!page.contains("may go here"), "{page}");
        assert_eq!(page.matches("The rulebook asks for an approval to EN 12278").count(), 3, "{page}");
        assert_eq!(page.matches("Put it on: ").count(), 1, "{page}");
    }

    async fn what_the_verdict_will_lack_is_told_before_the_item_is_put_on(world) {
        let mut lacking = head();
        lacking.model.attributes.0.remove("efficiency");
        lacking.model.attributes.0.remove("one-way-sheave");
        world.shelve(std::slice::from_ref(&lacking)).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let at = format!("/jobs/{job}/positions/head");
        let edit = format!("href=\"/models/{}/edit", lacking.model.id);
        let efficiency = "The efficiency of pulley P-1";
        let turning = "Whether the sheave of pulley P-1 turns only one way, so that it stands still when rope is let out, is not known";
        let told = |page: &str| {
            assert!(page.contains("may go; the verdict lacks 2 things"), "{page}");
            assert!(page.contains(efficiency) && page.contains(turning), "{page}");
        };
        let page = officer.get(&at).await.text;
        told(&page);
        assert!(page.contains("Put it on: P-1") && page.contains(&edit), "{page}");
        let crew = world.visitor(&world.crew).await;
        let page = crew.get(&at).await.text;
        told(&page);
        assert!(!page.contains(&edit), "the crew may not change a model: {page}");
        let api = crew.get(&format!("/api/v1/jobs/{job}/candidates?position=head")).await.json();
        assert_eq!(api["rows"][0]["gaps"].as_array().unwrap().len(), 2, "{api}");
        let put = officer.post(&format!("/jobs/{job}/kit"), &[("item", "P-1"), ("position", "head")]).await;
        assert_eq!(put.status, StatusCode::SEE_OTHER, "{}", put.text);
        told(&officer.get(&format!("/jobs/{job}")).await.text);
        let verdict = officer.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(verdict.contains(&edit) && verdict.contains(efficiency) && verdict.contains(turning), "{verdict}");
        assert!(verdict.contains(&format!("href=\"/jobs/{job}/positions/foot\">Choose an item")), "{verdict}");
        let item = officer.get(&format!("/items/{}", lacking.item.id)).await.text;
        assert!(item.contains("Fit to be chosen; a verdict on the kit lacks 2 things") && item.contains(&edit), "{item}");
    }

    async fn all_that_a_model_lacks_is_told_once_and_written_in_one_form_that_leads_back(world) {
        let mut pulleys = Vec::new();
        for mark in ["P-31", "P-32"] {
            let mut bare = head();
            for known in ["sheaves", "becket", "capture", "efficiency", "one-way-sheave"] {
                bare.model.attributes.0.remove(known);
            }
            bare.model.approvals.clear();
            bare.item.id = ropeloft::domain::ItemId::new();
            bare.item.mark = mark.into();
            pulleys.push(bare);
        }
        pulleys[1].item.model = pulleys[0].model.id;
        pulleys[1].model = pulleys[0].model.clone();
        // One sheave where two are asked: it has no place here, whatever is written on its record.
        let mut single = foot().with(&[("sheaves", "1")]);
        single.model.approvals.clear();
        single.item.mark = "P-40".into();
        pulleys.push(single);
        world.shelve(&pulleys).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let at = format!("/jobs/{job}/positions/head");
        let page = officer.get(&at).await.text;
        let told = page.split(&format!("2 items of {}: ", pulleys[0].model.title())).nth(1).expect(&page);
        let told = told.split('<').next().unwrap();
        for lack in ["number of sheaves", "whether it has a becket", "whether it has a progress capture", "approval to EN 12278", "efficiency of its sheaves",
            "whether its sheave turns one way only"] {
            assert_eq!(told.matches(lack).count(), 1, "{lack}: {told}");
        }
        let form = format!("/models/{}/edit?back={at}", pulleys[0].model.id);
        assert_eq!(page.matches("Write all of it on the model&#39;s record").count(), 1, "one link for all of it: {page}");
        assert!(page.contains("None of 3 items may go here") && !page.contains("1 item of"), "{page}");
        assert!(page.contains(&format!("href=\"{form}\"")), "{page}");
        let edit = officer.get(&form).await.text;
        let action = format!("/models/{}?back={at}", pulleys[0].model.id);
        assert!(edit.contains(&format!("action=\"{action}\"")) && edit.contains(&format!("<a href=\"{at}\">Back")), "{edit}");
        let outside = officer.get(&form.replace(&at, "//bad.test/x")).await.text;
        assert!(!outside.contains("bad.test"), "{outside}");
    }

    async fn what_lies_where_the_rest_of_the_kit_does_stands_first(world) {
        let kit = full_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let at = format!("/jobs/{job}/positions/foot");
        let page = crew.get(&at).await.text;
        assert!(page.contains("The ones that may go stand first.") && page.contains("<td data-label=\"Lives in\">Bay</td>"), "{page}");
        let rope = &kit[0].item.mark;
        let put = crew.post(&format!("/jobs/{job}/kit"), &[("item", rope), ("position", "rope")]).await;
        assert_eq!(put.status, StatusCode::SEE_OTHER, "{}", put.text);
        let page = crew.get(&at).await.text;
        assert!(page.contains("of those what lives in Bay: 1 of the 1 item on the kit list comes from there"), "{page}");
    }

    async fn a_position_that_is_filled_names_its_item_and_what_may_take_its_place(world) {
        let mut kit = full_kit();
        let mut other = foot();
        other.item.id = ropeloft::domain::ItemId::new();
        other.item.mark = "P-9".into();
        other.model = kit[2].model.clone();
        other.item.model = other.model.id;
        kit.extend([other, unfit().swap_remove(2)]);
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let at = format!("/jobs/{job}/positions/foot");
        let mark = &kit[2].item.mark;
        let put = crew.post(&format!("/jobs/{job}/kit"), &[("item", mark), ("position", "foot")]).await;
        assert_eq!(put.status, StatusCode::SEE_OTHER, "{}", put.text);
        let page = crew.get(&at).await.text;
        assert!(page.contains(&format!("{mark} is here")) && page.contains("To have another here, take it off first."), "{page}");
        assert!(page.contains(&format!("<button>Take {mark} off</button>")), "{page}");
        assert!(page.contains(&format!("may go once {mark} is off")) && page.contains(&format!("take {mark} off first")), "{page}");
        for not in ["None of", "is filled already", "Put it on: "] {
            assert!(!page.contains(not), "{not}: {page}");
        }
        // Where nothing else may go there, that is said of the others.
        let page = crew.get(&format!("{at}?q=P-2")).await.text;
        assert!(page.contains(&format!("{mark} is here")) && page.contains("Neither its serial nor its lot is known"), "{page}");
        let line = page.split(&format!("action=\"/jobs/{job}/kit/")).nth(1).unwrap();
        let off = crew.post(&format!("/jobs/{job}/kit/{}", line.split('"').next().unwrap()), &[]).await;
        assert_eq!(off.status, StatusCode::SEE_OTHER, "{}", off.text);
        let page = crew.get(&at).await.text;
        assert!(!page.contains("is here") && page.contains("Put it on: P-9"), "{page}");
    }

    async fn a_rope_that_is_too_short_is_told_the_sum(world) {
        let short = rope().with(&[("length", "60 m")]);
        world.shelve(std::slice::from_ref(&short)).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/positions/rope")).await.text;
        let sum = "4 strands x (15 m depth + 2.1 m above the edge - 0.6 m pulleys and connectors) + 3 m tail + 1 m knots = 70.0 m";
        assert!(page.contains(&format!("It must be at least as long as {sum}.")), "{page}");
        assert_eq!(page.matches("= 70.0 m").count(), 2, "on top, and with the reason: {page}");
    }

    async fn a_refused_line_offers_what_may_go_there_and_one_press_puts_it_there(world) {
        let kit = crate::issue::strong_kit();
        let mut other = foot();
        other.item.id = ropeloft::domain::ItemId::new();
        other.item.mark = "P-9".into();
        other.item.model = kit[2].model.id;
        other.model = kit[2].model.clone();
        let mut shelf = kit.clone();
        shelf.push(other.clone());
        world.shelve(&shelf).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        crate::job_given::fill(&crew, &job, &kit).await;
        let home = format!("/jobs/{job}");
        assert!(!crew.get(&home).await.text.contains("instead"));
        let step = json!({"step": "quarantine", "reason": "bent"});
        let held = crew.json(Method::POST, &format!("/api/v1/items/{}/steps", kit[2].item.id), &step).await;
        assert!(held.status.is_success(), "{}", held.text);
        let page = crew.get(&home).await.text;
        assert!(page.contains("P-9 instead</button>") && page.contains("Choose another"), "{page}");
        let (_, form) = page.split_once("/swap?id=").unwrap();
        let new = form[..36].to_owned();
        let (before, _) = page.split_once("/swap?id=").unwrap();
        let swap = format!("{}/swap?id={new}", &before[before.rfind("/jobs/").unwrap()..]);
        // What may not go there either is refused, and the list stays as it is.
        let refused = crew.post(&swap, &[("item", "R-1")]).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        let at_foot = async || {
            let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
            let kit = read["kit"].as_array().unwrap().clone();
            let mut there = kit.iter().filter(|entry| entry["line"]["position"] == "foot");
            let mark = there.next().unwrap()["item"]["mark"].clone();
            assert!(there.next().is_none());
            mark
        };
        assert_eq!(at_foot().await, "P-2");
        let entries = world.entries().await;
        for _ in 0..2 {
            let done = crew.post(&swap, &[("item", &other.item.id.to_string())]).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        assert_eq!((at_foot().await, world.entries().await), (json!("P-9"), entries + 2));
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.post(&swap, &[("item", "P-9")]).await.status, StatusCode::NOT_FOUND);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn what_may_go_is_found_behind_many_that_may_not(world) {
        let kit = crate::issue::strong_kit();
        let twin = |of: &Thing, mark: String| {
            let mut twin = Thing { item: of.item.clone(), model: of.model.clone(), position: None };
            twin.item.id = ropeloft::domain::ItemId::new();
            twin.item.serial = Some(mark.clone());
            twin.item.mark = mark;
            twin
        };
        let bare = unfit().remove(0);
        let mut shelf: Vec<Thing> = (0..60).map(|number| twin(&bare, format!("A-{number:02}"))).collect();
        shelf.push(twin(&kit[2], "Z-99".to_owned()));
        world.shelve(&shelf).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = format!("/jobs/{job}/positions/foot");
        let api = format!("/api/v1/jobs/{job}/candidates?position=foot&kind=pulley");
        // One that may go stands first, though it is the last of the list; each of the others stands on some page.
        let first = crew.get(&api).await.json();
        let rows = first["rows"].as_array().unwrap();
        assert_eq!((rows.len(), &rows[0]["item"]["mark"], &rows[0]["refusals"]), (41, &json!("Z-99"), &json!([])));
        let found = crew.get(&page).await.text;
        assert!(!found.contains("None of") && found.contains("41 items of 61 that were looked at"), "{found}");
        let next = first["next"].as_str().unwrap();
        let rest = crew.get(&format!("{api}&after={next}")).await.json();
        assert_eq!(rest["rows"].as_array().unwrap().len(), 21);
        let step = json!({"step": "quarantine", "reason": "bent"});
        let held = crew.json(Method::POST, &format!("/api/v1/items/{}/steps", shelf[60].item.id), &step).await;
        assert!(held.status.is_success(), "{}", held.text);
        let none = crew.get(&page).await.text;
        assert!(none.contains("None of 61 items may go here") && none.contains("Only the 40 that are shown here are counted."), "{none}");
        let second = crew.get(&format!("{page}?after={next}")).await.text;
        assert!(second.contains("None of 21 items of this page may go here"), "{second}");
    }

    async fn lines_that_take_the_same_kind_are_each_offered_the_first_that_may_go_there(world) {
        let kit = crate::issue::strong_kit();
        let twin = |of: &Thing, mark: &str| {
            let mut twin = Thing { item: of.item.clone(), model: of.model.clone(), position: None };
            twin.item.id = ropeloft::domain::ItemId::new();
            twin.item.mark = mark.into();
            twin.item.serial = Some(mark.into());
            twin
        };
        // One whose cam captures, as the head asks and the foot forbids, and four without.
        let mut shelf = kit.clone();
        shelf.push(twin(&kit[1], "P-3"));
        shelf.extend(["P-6", "P-7", "P-8", "P-9"].map(|mark| twin(&kit[2], mark)));
        world.shelve(&shelf).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        crate::job_given::fill(&crew, &job, &kit).await;
        for refused in &kit[1..3] {
            let step = json!({"step": "quarantine", "reason": "bent"});
            let held = crew.json(Method::POST, &format!("/api/v1/items/{}/steps", refused.item.id), &step).await;
            assert!(held.status.is_success(), "{}", held.text);
        }
        let page = crew.get(&format!("/jobs/{job}")).await.text;
        let offered = ["P-1", "P-2", "P-3", "P-6", "P-7", "P-8", "P-9"].map(|mark| page.matches(&format!("{mark} instead</button>")).count());
        assert_eq!(offered, [0, 0, 1, 1, 1, 1, 0], "{page}");
    }

    async fn a_scan_goes_where_the_item_may_go_unless_a_position_was_chosen(world) {
        let kit = crate::issue::strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let put = format!("/jobs/{job}/kit");
        let page = crew.get(&format!("/jobs/{job}")).await.text;
        assert!(page.contains("name=\"offered\"") && !page.contains("autofocus"), "{page}");
        // The rope is offered first; a tripod goes to its own place.
        let chosen = crew.post(&put, &[("item", "T-1"), ("position", "rope"), ("offered", "")]).await;
        assert_eq!(chosen.status, StatusCode::CONFLICT, "{}", chosen.text);
        let done = crew.post(&put, &[("item", "T-1"), ("position", "rope"), ("offered", "rope")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let next = crew.follow(&done).await.text;
        assert!(next.contains("T-1 is on: ") && next.contains("autofocus"), "{next}");
        let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(read["kit"][0]["line"]["position"], "anchor");
        let none = crew.post(&put, &[("item", "no such"), ("position", "rope"), ("offered", "rope")]).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", none.text);
    }
}
