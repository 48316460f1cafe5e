//! Bags: their lists, looking through them, moving items by scan; pages, files, the API, on both databases.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Bag, BagCheck, BagCheckId, BagPart, Belonging, Change, ItemMoved, Kind};
use serde_json::json;

use crate::{
    client::Client,
    fitness_case::{Thing, connector},
    proposal::strong_kit,
    stock::store,
    store_rebuild::again,
    world::{START, World},
};

/// A team with a whole kit in the bay, and a van with a bag.
struct Given {
    officer: Client,
    crew: Client,
    bay: String,
    van: String,
    bag: String,
    kit: Vec<Thing>,
}

async fn given(world: &World) -> Given {
    let mut kit = strong_kit();
    kit.push(connector("C-3", "load-connector").rated(&["major-axis|60 kN|breaking"]));
    world.shelve(&kit).await;
    let (van, bag) = (store("Van"), store("Bag 3"));
    world.record(Change::StoreAdded(van.clone())).await;
    world.record(Change::StoreAdded(bag.clone())).await;
    let officer = world.visitor(&world.officer).await;
    let stores = officer.get("/api/v1/stores").await.json();
    let stores = stores["stores"].as_array().unwrap().clone();
    let bay = stores.iter().find(|store| store["name"] == "Bay").unwrap();
    Given {
        crew: world.visitor(&world.crew).await,
        bay: bay["id"].as_str().unwrap().to_owned(),
        van: van.id.to_string(),
        bag: bag.id.to_string(),
        officer,
        kit,
    }
}

on_both_databases! {
    async fn a_bag_gets_its_list_and_its_gear_and_is_looked_through(world) {
        let Given { officer, crew, van, bag, kit, .. } = given(&world).await;
        let page = officer.get(&format!("/stores/{bag}")).await.text;
        assert!(page.contains("Nothing lives here"), "{page}");
        let list = format!("2 connector\r\n1 {}\r\n\r\nR-1", kit[1].model.title());
        let fields = [("revision", "0"), ("within", van.as_str()), ("list", &list)];
        let done = officer.post(&format!("/stores/{bag}/bag"), &fields).await;
        assert_eq!(done.location(), format!("/stores/{bag}"), "{}", done.text);
        let moved = crew.post(&format!("/stores/{bag}/move"), &[("codes", "C-1\r\nP-1\r\nC-3\r\nc-1")]).await;
        assert_eq!(moved.status, StatusCode::SEE_OTHER, "{}", moved.text);
        let page = crew.get(&format!("/stores/{bag}")).await.text;
        assert!(page.contains("Not complete: 1 piece of its list not there"), "{page}");
        assert!(page.contains("Bag 3 (in Van)"), "{page}");
        let page = crew.get(&format!("/stores/{van}")).await.text;
        assert!(page.contains(&format!("/stores/{bag}")), "{page}");
        let page = crew.get("/stores").await.text;
        assert!(page.contains("in Van"), "{page}");
        // P-1 and C-1 are ticked, the rope of the bay is scanned, C-3 is nowhere.
        let form = crew.get(&format!("/stores/{bag}/check")).await.text;
        assert!(form.contains("C-3"), "{form}");
        let (tick, also) = (kit[1].item.id.to_string(), kit[4].item.id.to_string());
        let fields = [("seen", tick.as_str()), ("seen", &also), ("codes", "R-1"), ("note", "wet <bag>")];
        let action = format!("/stores/{bag}/check?id=0190a000-0000-7000-8000-00000000000a");
        let before = world.entries().await;
        for _ in 0..2 {
            let done = crew.post(&action, &fields).await;
            assert_eq!(done.location(), format!("/stores/{bag}"), "{}", done.text);
        }
        assert_eq!(world.entries().await, before + 1);
        let page = crew.get(&format!("/stores/{bag}")).await.text;
        for words in ["2 present, 1 missing, 1 that lived elsewhere, 1 of its list not there", "wet &#60;bag&#62;", "Missing then: <a"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        let history = officer.get("/history").await.text;
        for words in ["Bag 3 looked through: 2 present, 1 missing", "C-1 moved from Bay to Bag 3", "List of Bag 3 written (version 1): 4 pieces in 3 lines; it lies in Van"] {
            assert!(history.contains(words), "{words}: {history}");
        }
        assert_eq!(again(&world).await.differences, []);
        let pdf = officer.get(&format!("/stores/{bag}/list.pdf")).await;
        assert_eq!(pdf.status, StatusCode::OK);
    }

    async fn what_is_not_fit_stands_there_with_its_reasons(world) {
        let Given { crew, bay, kit, .. } = given(&world).await;
        let page = crew.get(&format!("/stores/{bay}")).await.text;
        assert!(page.contains("Of 7 items all are fit"), "{page}");
        let step = [("step", "quarantine"), ("reason", "dropped <far>")];
        let done = crew.post(&format!("/items/{}/step", kit[0].item.id), &step).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = crew.get(&format!("/stores/{bay}")).await.text;
        assert!(page.contains("Of 7 items 1 not fit"), "{page}");
        assert!(page.contains("It is in quarantine") && page.contains("dropped &#60;far&#62;"), "{page}");
        let told = crew.get(&format!("/api/v1/stores/{bay}/contents")).await.json();
        let unfit: Vec<_> = told["items"].as_array().unwrap().iter().filter(|one| !one["refusals"].as_array().unwrap().is_empty()).collect();
        assert_eq!(unfit.len(), 1, "{told}");
        assert_eq!(unfit[0]["refusals"][0]["code"], "quarantined");
    }

    async fn what_does_not_hold_is_named_and_nothing_is_written(world) {
        let Given { officer, crew, bag, van, bay, .. } = given(&world).await;
        let before = world.entries().await;
        let fields = [("revision", "0"), ("within", bag.as_str()), ("list", "0 connector\r\nsky hook")];
        let wrong = officer.post(&format!("/stores/{bag}/bag"), &fields).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in ["A bag does not lie in itself.", "Line 1: ", "sky hook"] {
            assert!(wrong.text.contains(words), "{words}: {}", wrong.text);
        }
        let fields = [("revision", "0"), ("list", "2 R-1\r\nsky hook")];
        let wrong = officer.post(&format!("/stores/{bag}/bag"), &fields).await;
        assert!(wrong.text.contains("Line 1: R-1 is one item") && wrong.text.contains("Line 2: "), "{}", wrong.text);
        for codes in ["", "R-1\r\nX-99"] {
            let wrong = crew.post(&format!("/stores/{bag}/move"), &[("codes", codes)]).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{codes}");
            assert!(wrong.text.contains(codes.lines().next_back().unwrap_or("Scan or write")), "{}", wrong.text);
        }
        let wrong = crew.post(&format!("/stores/{bag}/check"), &[("codes", "X-99"), ("note", "kept text")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("X-99") && wrong.text.contains("kept text"), "{}", wrong.text);
        assert_eq!(world.entries().await, before);
        // A bag lies in a store, and not in a bag that lies in one.
        let list = |within: &str| json!({"within": within, "list": "1 connector"});
        let put = async |client: &Client, id: &str, within: &str, seen: &str| {
            client.json_if(Method::PUT, &format!("/api/v1/stores/{id}/bag"), seen, &list(within)).await
        };
        assert_eq!(put(&officer, &bag, &van, "\"0\"").await.status, StatusCode::OK);
        assert_eq!(put(&officer, &bag, &van, "\"0\"").await.status, StatusCode::PRECONDITION_FAILED);
        assert_eq!(put(&officer, &bay, &bag, "\"0\"").await.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(put(&officer, &van, &bay, "\"0\"").await.status, StatusCode::UNPROCESSABLE_ENTITY);
        // Two who change one list: the second is told.
        let fields = [("revision", "0"), ("list", "3 connector")];
        let stale = officer.post(&format!("/stores/{bag}/bag"), &fields).await;
        assert_eq!(stale.status, StatusCode::CONFLICT);
        assert!(stale.text.contains("3 connector"), "{}", stale.text);
    }

    async fn who_may_do_what(world) {
        let Given { crew, bag, .. } = given(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(auditor.get(&format!("/stores/{bag}")).await.status, StatusCode::OK);
        assert_eq!(auditor.post(&format!("/stores/{bag}/move"), &[("codes", "R-1")]).await.status, StatusCode::FORBIDDEN);
        assert_eq!(crew.get(&format!("/stores/{bag}/bag")).await.status, StatusCode::FORBIDDEN);
        assert_eq!(outsider.get(&format!("/stores/{bag}")).await.status, StatusCode::NOT_FOUND);
        let moved = outsider.json(Method::POST, &format!("/api/v1/stores/{bag}/moves"), &json!({"codes": "R-1"})).await;
        assert_eq!(moved.status, StatusCode::NOT_FOUND);
    }

    async fn programs_check_and_move(world) {
        let Given { crew, bag, kit, .. } = given(&world).await;
        let moved = crew.json(Method::POST, &format!("/api/v1/stores/{bag}/moves"), &json!({"codes": "R-1\nC-1"})).await;
        assert_eq!(moved.json()["items"].as_array().unwrap().len(), 2, "{}", moved.text);
        let seen = kit[0].item.id.to_string();
        let checked = crew.json(Method::POST, &format!("/api/v1/stores/{bag}/checks"), &json!({"seen": seen})).await;
        assert_eq!(checked.status, StatusCode::CREATED, "{}", checked.text);
        assert_eq!(checked.json()["missing"], json!([kit[4].item.id.to_string()]));
        let told = crew.get(&format!("/api/v1/stores/{bag}/contents")).await.json();
        assert_eq!(told["checked"]["present"], json!([seen]), "{told}");
        // What was not found is no green answer, though the register says that it lives there.
        let page = crew.get(&format!("/stores/{bag}")).await.text;
        assert!(page.contains("Not found when it was last looked through: 1 item"), "{page}");
    }

    async fn what_was_not_found_is_not_told_as_being_in_it_and_nothing_found_is_asked_first(world) {
        let Given { officer, crew, bag, kit, .. } = given(&world).await;
        let fields = [("revision", "0"), ("within", ""), ("list", "1 connector")];
        officer.post(&format!("/stores/{bag}/bag"), &fields).await;
        crew.post(&format!("/stores/{bag}/move"), &[("codes", "C-1\r\nC-3")]).await;
        let look = format!("/stores/{bag}/check");
        let before = world.entries().await;
        let asked = crew.post(&look, &[("note", "kept text")]).await;
        assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", asked.text);
        for words in ["Nothing was ticked or scanned, and 2 items live here", "name=\"empty\"", "kept text"] {
            assert!(asked.text.contains(words), "{words}: {}", asked.text);
        }
        assert_eq!(world.entries().await, before);
        // C-1 is not there: the other one is what its list asks for.
        let there = kit[6].item.id.to_string();
        crew.post(&look, &[("seen", &there)]).await;
        let page = crew.get(&format!("/stores/{bag}")).await.text;
        assert!(!page.contains("In it, but not on its list"), "{page}");
        assert!(page.contains("Lives here, not on its list, and out or not found") && page.contains("data-label=\"There\" class=\"num\">1<"), "{page}");
        let done = crew.post(&look, &[("empty", "yes")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let told = crew.get(&format!("/api/v1/stores/{bag}/contents")).await.json();
        assert_eq!((told["checked"]["missing"].as_array().unwrap().len(), &told["lacking"]), (2, &json!(1)), "{told}");
    }

    async fn what_is_out_with_a_crew_says_so_where_it_is_moved(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = crate::issue::passing(&world, &crew).await;
        crate::issue::issued(&world, &crew, &job).await;
        let place = store("Bag 9");
        world.record(Change::StoreAdded(place.clone())).await;
        let done = crew.post(&format!("/stores/{}/move", place.id), &[("codes", &kit[1].item.mark)]).await;
        let next = crew.follow(&done).await.text;
        assert!(next.contains(&format!("Moved here: 1 item. {} is with the crew of", kit[1].item.mark)), "{next}");
        let moves = format!("/api/v1/stores/{}/moves", place.id);
        let moved = crew.json(Method::POST, &moves, &json!({"codes": kit[2].item.mark})).await.json();
        assert_eq!(moved["out"], json!([kit[2].item.id]), "{moved}");
    }

    async fn bags_come_back_from_the_store(world) {
        let stock = world.stock().await;
        let parts = vec![BagPart { what: Belonging::Kind(Kind::Rope), count: 2 }];
        let place = stock.first.store;
        let mut bag = Bag { store: place, revision: 1, within: None, parts };
        world.record(Change::BagListed(bag.clone())).await;
        bag.revision = 2;
        world.record(Change::BagListed(bag.clone())).await;
        assert!(world.record_as(&world.admin, Change::BagListed(bag.clone())).await.is_err(), "it is there already");
        let check = |present| BagCheck {
            id: BagCheckId::new(),
            store: place,
            name: "Bay".into(),
            on: START.date(),
            present,
            missing: Vec::new(),
            others: Vec::new(),
            lacking: Some(1),
            note: String::new(),
        };
        let (first, second) = (check(vec![stock.first.id]), check(vec![stock.second.id]));
        for one in [&first, &second] {
            world.record(Change::BagChecked(one.clone())).await;
        }
        let other = store("Other");
        world.record(Change::StoreAdded(other.clone())).await;
        let moved = ItemMoved { item: stock.first.id, from: place, to: other.id };
        world.record(Change::ItemMoved(moved)).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.bag(place).await.unwrap().as_ref(), Some(&bag));
        assert_eq!(tx.bags().await.unwrap(), [bag]);
        assert_eq!(tx.bag_check(first.id).await.unwrap(), Some(first));
        assert_eq!(tx.last_bag_check(place).await.unwrap(), Some(second));
        assert_eq!(tx.item(stock.first.id).await.unwrap().unwrap().store, other.id);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.bag(place).await.unwrap(), None);
        assert!(tx.bags().await.unwrap().is_empty());
        drop(tx);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_proposal_comes_from_few_stores_and_then_from_few_of_their_bags(world) {
        let Given { officer, crew, van, bag, kit, .. } = given(&world).await;
        let fields = [("revision", "0"), ("within", van.as_str()), ("list", "1 rope")];
        officer.post(&format!("/stores/{bag}/bag"), &fields).await;
        // All in the van but C-3, which stays in the bay; the rope and the head pulley in the bag of the van.
        for (place, codes) in [(&bag, "R-1\r\nP-1"), (&van, "P-2\r\nT-1\r\nC-1\r\nC-2")] {
            let moved = crew.post(&format!("/stores/{place}/move"), &[("codes", codes)]).await;
            assert_eq!(moved.status, StatusCode::SEE_OTHER, "{}", moved.text);
        }
        assert_eq!(kit.len(), 7);
        let job = crate::job_given::planned(&crew, json!({})).await;
        let read = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        assert_eq!((&read["stores"], &read["bags"], &read["is_least"]), (&json!([van]), &json!([bag]), &json!(true)), "{read}");
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("The new items come from Van, with 1 bag opened: Bag 3; no fewer stores would do, and no fewer bags of as few."), "{page}");
        // With something of the van on the list, its bag is all that is opened beside.
        crate::job_given::fill(&crew, &job, &kit[3..4]).await;
        let read = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        assert_eq!((&read["stores"], &read["bags"]), (&json!([]), &json!([bag])), "{read}");
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("from 1 bag where the others lie: Bag 3"), "{page}");
    }
}
