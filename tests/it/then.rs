//! What was on a day in the past, read from the entries about it alone, is what the tables held that night and what they
//! would hold had everything been recorded in time.

use std::collections::BTreeMap;

use axum::http::StatusCode;
use ropeloft::{
    domain::{
        Change, Entry, Issue, Item, ItemId, ItemMoved, ItemState, Job, JobId, Zone,
        then::{Fact, Fold, ITEM_KINDS, ItemsThen, JOB_KINDS, JobThen, Reckoning, side_by_side},
    },
    store::{Database, Direction, EntryFilter, ItemFilter, ItemSort, JobFilter},
};
use serde_json::json;
use time::{Date, Duration};

use crate::{
    item_given::{examine, one_rope},
    past_given::{DAYS, entries, is_ground, late, replayed},
    stock,
    world::{START, World},
};

async fn every_item(database: &Database, world: &World) -> BTreeMap<ItemId, Item> {
    let mut tx = database.read(world.team).await.unwrap();
    let by_mark = (ItemSort::Mark, Direction::Up);
    let page = tx
        .items(&ItemFilter::default(), by_mark, None, 100_000)
        .await
        .unwrap();
    page.rows.into_iter().map(|item| (item.id, item)).collect()
}

async fn every_job(database: &Database, world: &World) -> Vec<Job> {
    let mut tx = database.read(world.team).await.unwrap();
    tx.jobs(JobFilter::default(), Direction::Up, None, 100_000)
        .await
        .unwrap()
        .rows
}

async fn zone(world: &World) -> Zone {
    world
        .database
        .read(world.team)
        .await
        .unwrap()
        .zone()
        .await
        .unwrap()
}

/// Days on which something was done or recorded, their neighbours, and one before everything.
fn days(entries: &[Entry<Change>], zone: &Zone) -> Vec<Date> {
    let late: Vec<&Entry<Change>> = entries.iter().filter(|entry| !is_ground(entry)).collect();
    let at = |share: usize| late[(late.len() - 1) * share / 10].recorded_on(zone);
    let first = at(0) - Duration::days(1);
    vec![
        first,
        at(0),
        at(2),
        at(5),
        at(5) - Duration::days(40),
        at(8),
        at(10),
    ]
}

/// The entries about some things alone, as the ledger finds them by its subjects.
async fn found(
    world: &World,
    subjects: &[uuid::Uuid],
    kinds: &'static [&'static str],
) -> Vec<Entry<Change>> {
    let mut tx = world.database.read(world.team).await.unwrap();
    let kept = tx.entries_about(subjects, kinds).await.unwrap();
    kept.into_iter().map(|kept| kept.entry).collect()
}

fn folded<F: Fold>(mut fold: F, entries: &[Entry<Change>]) -> F {
    for entry in entries {
        fold.apply(entry);
    }
    fold
}

/// What is known of the entries about an item: its own, those of the ropes that it was part of, and the team's.
async fn line_of(world: &World, item: &Item) -> Vec<Entry<Change>> {
    let ropes = item.whole_ropes().iter().map(|rope| rope.item.0);
    let ids: Vec<uuid::Uuid> = ropes.chain([item.id.0, world.team.0]).collect();
    found(world, &ids, ITEM_KINDS).await
}

on_both_databases! {
    async fn an_item_as_it_was_known_is_what_the_tables_held_that_night(world) {
        let entries = late(&world, crate::past_given::seed(), 300).await;
        let (zone, now) = (zone(&world).await, every_item(&world.database, &world).await);
        let mut held = 0;
        for on in days(&entries, &zone) {
            let until = entries.iter().filter(|entry| is_ground(entry) || entry.recorded_on(&zone) <= on).cloned();
            let (_folder, database) = replayed(&world, until).await;
            let then = every_item(&database, &world).await;
            for item in now.values() {
                let line = line_of(&world, item).await;
                let past = folded(ItemsThen::new(on, Reckoning::Then, zone.clone()), &line);
                assert_eq!(past.item(item.id), then.get(&item.id), "{} on {on}", item.mark);
            }
            held += then.len();
        }
        assert!(held > 30 && now.len() > 10, "the past says something: {held}");
    }

    async fn an_item_as_it_is_known_is_what_the_tables_would_hold_had_nothing_come_late(world) {
        let entries = late(&world, crate::past_given::seed(), 260).await;
        let (zone, now) = (zone(&world).await, every_item(&world.database, &world).await);
        for on in days(&entries, &zone).into_iter().skip(2) {
            // What was counted back is told by its issue, which may be of another day.
            let done = entries.iter().filter(|entry| match &entry.change {
                Change::ItemAdded(_) => true,
                Change::KitIssued(_) | Change::KitReturned(_) | Change::IssueTakenBack(_) => false,
                _ => is_ground(entry) || entry.done_on(&zone) <= on,
            });
            let (_folder, database) = replayed(&world, done.cloned()).await;
            let would = every_item(&database, &world).await;
            for item in now.values() {
                let mut line = line_of(&world, item).await;
                line.retain(|entry| !matches!(entry.change, Change::KitIssued(_) | Change::KitReturned(_)));
                let past = folded(ItemsThen::new(on, Reckoning::Now, zone.clone()), &line);
                let Some(past) = past.item(item.id) else { continue };
                let would = &would[&item.id];
                // What a thing is, is so whenever it was written down.
                let would = Item {
                    model: item.model,
                    serial: past.serial.clone(),
                    lot: past.lot.clone(),
                    bought_on: past.bought_on,
                    revision: past.revision,
                    look_asked: past.look_asked.clone(),
                    // Issues, which show use too, are left out on both sides; what a revision carries of them is not.
                    use_shown: past.use_shown,
                    // The entry of its cut has another number there.
                    cut_from: past.cut_from.clone(),
                    ..would.clone()
                };
                assert_eq!(*past, would, "{} on {on}", item.mark);
                if item.whole_ropes().is_empty() {
                    assert_eq!((&past.lot, past.bought_on), (&item.lot, item.bought_on), "{} on {on}", item.mark);
                }
            }
        }
    }

    async fn behind_all_that_was_done_both_clocks_tell_the_record_as_it_stands(world) {
        let entries = late(&world, crate::past_given::seed(), 300).await;
        let (zone, on) = (zone(&world).await, entries.last().unwrap().recorded_on(&Zone::UTC) + Duration::days(2));
        for item in every_item(&world.database, &world).await.values() {
            let line = line_of(&world, item).await;
            for by in [Reckoning::Then, Reckoning::Now] {
                let past = folded(ItemsThen::new(on, by, zone.clone()), &line);
                assert_eq!(past.item(item.id), Some(item), "{by:?}");
            }
        }
        for job in every_job(&world.database, &world).await {
            let line = found(&world, &[job.id.0], JOB_KINDS).await;
            for by in [Reckoning::Then, Reckoning::Now] {
                let past = folded(JobThen::new(job.id, on, by, zone.clone()), &line);
                assert_eq!(past.job.as_ref(), Some(&job), "{by:?}");
            }
        }
    }

    async fn a_job_as_it_was_known_is_what_the_tables_held_that_night(world) {
        let entries = late(&world, crate::past_given::seed(), 500).await;
        let zone = zone(&world).await;
        let all = every_job(&world.database, &world).await;
        let mut issued = 0;
        for on in days(&entries, &zone).into_iter().skip(1) {
            let until = entries.iter().filter(|entry| is_ground(entry) || entry.recorded_on(&zone) <= on).cloned();
            let (_folder, database) = replayed(&world, until).await;
            let mut tx = database.read(world.team).await.unwrap();
            for job in &all {
                let line = found(&world, &[job.id.0], JOB_KINDS).await;
                let past = folded(JobThen::new(job.id, on, Reckoning::Then, zone.clone()), &line);
                assert_eq!(past.job, tx.job(job.id).await.unwrap(), "{} on {on}", job.title);
                assert_eq!(past.lines.into_values().collect::<Vec<_>>(), tx.kit(job.id).await.unwrap());
                let issues: Vec<Issue> = tx.issues(job.id).await.unwrap();
                issued += issues.len();
                assert_eq!(past.issues.into_values().collect::<Vec<_>>(), issues);
                let states = past.out.into_keys().collect::<Vec<_>>();
                assert_eq!(states, tx.out_on(job.id).await.unwrap());
            }
        }
        assert!(issued > 0 && all.len() > 5, "the past says something: {issued}");
    }

    async fn a_difference_names_the_entry_that_made_it(world) {
        late(&world, crate::past_given::seed(), 400).await;
        let zone = zone(&world).await;
        let mut differing = 0;
        let items = every_item(&world.database, &world).await;
        let days = [5, 20, 60, 180];
        for (item, back) in items.values().flat_map(|item| days.map(|back| (item, back))) {
            let line = line_of(&world, item).await;
            let on = line.last().unwrap().recorded_on(&zone) - Duration::days(back);
            let facts = |past: &ItemsThen| past.item(item.id).map_or_else(Vec::new, |item| vec![
                Fact::new("State", item.state.word()),
                Fact::new("Passed", format!("{:?}", item.last_passed_on)),
            ]);
            let new = |by| ItemsThen::new(on, by, zone.clone());
            let sides = side_by_side(&mut (new(Reckoning::Then), new(Reckoning::Now)), &line, (on, &zone), facts);
            for side in sides {
                assert_eq!(side.differs(), !side.by.is_empty(), "{side:?}");
                for seq in &side.by {
                    let entry = line.iter().find(|entry| entry.seq == *seq).unwrap();
                    assert!(entry.recorded_on(&zone) > on, "{entry:?}");
                }
                let Some(last) = side.by.last() else { continue };
                differing += 1;
                // Without that entry and what came behind it, the fact is not what it is.
                let before: Vec<Entry<Change>> = line.iter().filter(|entry| entry.seq < *last).cloned().collect();
                let was = facts(&folded(new(Reckoning::Now), &before));
                let was = was.iter().find(|fact| fact.title == side.title).map(|fact| fact.value.clone());
                assert_ne!(was, side.now, "{side:?}");
            }
        }
        assert!(differing > 0, "something came late");
    }

    async fn a_store_has_what_lived_in_it_by_both_clocks(world) {
        let all = late(&world, crate::past_given::seed(), 260).await;
        let (zone, now) = (zone(&world).await, every_item(&world.database, &world).await);
        let client = world.visitor(&world.auditor).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let stores = tx.stores().await.unwrap();
        drop(tx);
        let on = START.date() - Duration::days(DAYS / 3);
        for store in stores {
            let mut expected: BTreeMap<String, (bool, bool)> = BTreeMap::new();
            for item in now.values() {
                let lived = |by| {
                    let past = folded(ItemsThen::new(on, by, zone.clone()), &all);
                    past.item(item.id).is_some_and(|past| past.store == store.id && past.state != ItemState::Retired)
                };
                let was = (lived(Reckoning::Then), lived(Reckoning::Now));
                if was.0 || was.1 {
                    expected.insert(item.id.to_string(), was);
                }
            }
            let mut told: BTreeMap<String, (bool, bool)> = BTreeMap::new();
            let mut after = String::new();
            loop {
                let api = client.get(&format!("/api/v1/stores/{}/then?on={on}&after={after}", store.id)).await;
                assert_eq!(api.status, StatusCode::OK, "{}", api.text);
                let api = api.json();
                for row in api["rows"].as_array().unwrap() {
                    let here = |side: &str| row[side].as_str().is_some_and(|words| words.starts_with("here"));
                    told.insert(row["item_id"].as_str().unwrap().to_owned(), (here("then"), here("now")));
                    assert_eq!(row["difference"] == "the same", row["entry"].is_null(), "{row}");
                }
                let Some(next) = api["next"].as_str() else { break };
                after = next.into();
            }
            assert_eq!(told, expected, "{}", store.name);
        }
    }

    async fn what_is_asked_of_a_day_is_answered_by_every_door(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-02-10"), ("verdict", "quarantine"), ("findings", "cut <deep>")]).await;
        let item = &given.item;
        let page = given.officer.get(&format!("/items/{item}")).await;
        assert!(page.text.contains(&format!("href=\"/items/{item}/then\"")), "the page leads to it");
        let then = given.officer.get(&format!("/items/{item}/then?on=2026-02-20")).await;
        assert_eq!(then.status, StatusCode::OK, "{}", then.text);
        for words in [
            "On 2026-02-20 nothing was known of RL-0042; as we know now it was quarantined",
            "As it was known then", "As we know now that it was", "differs: ", "Two clocks",
        ] {
            assert!(then.text.contains(words), "{words}: {}", then.text);
        }
        let api = given.officer.get(&format!("/api/v1/items/{item}/then?on=2026-02-20")).await.json();
        let state = api["rows"].as_array().unwrap().iter().find(|row| row["fact"] == "State").unwrap();
        assert_eq!((&state["then"], &state["now"]), (&json!(null), &json!("quarantined")));
        assert!(state["entry"].as_u64().unwrap() > 1 && state["recorded_by"] == "The equipment officer of the north", "{state}");
        let today = given.officer.get(&format!("/api/v1/items/{item}/then")).await.json();
        assert_eq!((&today["same"], &today["on"]), (&json!(true), &json!("2026-03-01")), "{today}");
        let before = given.officer.get(&format!("/items/{item}/then?on=2020-01-01")).await;
        assert!(before.text.contains("Nothing was known of RL-0042 on 2020-01-01"), "{}", before.text);
        let file = given.officer.get(&format!("/items/{item}/then.csv?on=2026-02-20")).await;
        assert!(file.text.starts_with("\u{feff}fact,then,now,difference,entry,recorded_by,recorded_at,key,end\r\n"), "{}", file.text);
        for (on, words) in [("2026-03-02", "to come"), ("2026-02-30", "not &#34;2026-02-30&#34;"), ("soon", "not &#34;soon&#34;"), ("1066-01-01", "1066")] {
            let wrong = given.officer.get(&format!("/items/{item}/then?on={on}")).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(wrong.text.contains(words), "{on}: {}", wrong.text);
            let file = given.officer.get(&format!("/items/{item}/then.csv?on={on}")).await;
            assert_eq!(file.status, StatusCode::UNPROCESSABLE_ENTITY, "{on}");
            for door in [format!("/api/v1/items/{item}/then?on={on}"), format!("/api/v1/stores/{}/then?on={on}", given.store)] {
                let wrong = given.officer.get(&door).await;
                assert_eq!((wrong.status, &wrong.json()["fields"][0]["field"]), (StatusCode::UNPROCESSABLE_ENTITY, &json!("on")), "{door}");
            }
        }
    }

    async fn how_the_items_of_a_job_stood_is_told_by_both_clocks(world) {
        let given = one_rope(&world).await;
        let item: ItemId = given.item.parse().unwrap();
        let item = every_item(&world.database, &world).await.remove(&item).unwrap();
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        world.record(Change::KitLineAdded(stock::line(&job, &item, None))).await;
        let day = START.date();
        let then = async || given.officer.get(&format!("/api/v1/jobs/{}/then?on={day}", job.id)).await.json();
        let fact = |past: &serde_json::Value, fact: &str| {
            past["rows"].as_array().unwrap().iter().find(|row| row["fact"] == fact).unwrap().clone()
        };
        let told = then().await;
        assert_eq!(told["same"], json!(true), "{told}");
        let state = fact(&told, "RL-0042: state");
        assert_eq!(state["then"], state["now"]);
        let was = state["then"].clone();
        // Ten days later it comes out that something was wrong with it that day.
        world.clock.advance(Duration::days(10));
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", &day.to_string()), ("verdict", "quarantine"), ("findings", "cut")]).await;
        let told = then().await;
        assert_eq!(told["same"], json!(false), "{told}");
        let state = fact(&told, "RL-0042: state");
        assert_eq!((&state["then"], &state["now"]), (&was, &json!("quarantined")));
        assert!(state["entry"].as_u64().unwrap() > 1 && state["difference"].as_str().unwrap().starts_with("differs: "), "{state}");
        fact(&told, "RL-0042: examination on that day");
        let page = given.officer.get(&format!("/jobs/{}/then?on={day}", job.id)).await;
        let sentence = "RL-0042 was known to be in service, without a passed thorough examination; as we know now it was quarantined";
        assert!(page.text.contains(sentence) && !page.text.contains("Both are the same"), "{}", page.text);
    }

    async fn another_teams_past_is_not_there(world) {
        let stock = world.stock().await;
        let job = stock::rigged("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let outsider = world.visitor(&world.outsider).await;
        let own = world.visitor(&world.crew).await;
        for record in [format!("items/{}", stock.first.id), format!("jobs/{}", job.id), format!("stores/{}", stock.store.id)] {
            for door in [format!("/{record}/then"), format!("/{record}/then.csv"), format!("/api/v1/{record}/then")] {
                assert_eq!(outsider.get(&door).await.status, StatusCode::NOT_FOUND, "{door}");
                let answer = own.get(&door).await;
                assert_eq!(answer.status, StatusCode::OK, "{door}: {}", answer.text);
            }
        }
        let of_job = own.get(&format!("/jobs/{}/then", job.id)).await;
        assert!(of_job.text.contains("On 2026-03-01 Shaft 3 was planned, as it was known then and as we know now"), "{}", of_job.text);
        // What was moved shows where it lived on each day.
        let other = stock::store("Bay");
        world.record(Change::StoreAdded(other.clone())).await;
        world.clock.advance(Duration::days(10));
        world.record(Change::ItemMoved(ItemMoved { item: stock.first.id, from: stock.store.id, to: other.id })).await;
        let lived = async |on: &str| own.get(&format!("/api/v1/stores/{}/then?on={on}", stock.store.id)).await.json();
        assert_eq!(lived("2026-03-10").await["rows"].as_array().unwrap().len(), 2);
        assert_eq!(lived("2026-03-11").await["rows"].as_array().unwrap().len(), 1);
        assert_eq!(entries(&world.database, &world).await.last().unwrap().change.kind(), "item-moved");
        let filter = EntryFilter { kinds: &["item-moved"], ..EntryFilter::default() };
        let mut tx = world.database.read(world.team).await.unwrap();
        let span = tx.entry_span(&filter).await.unwrap();
        assert_eq!(tx.entries(&filter, span, Direction::Up, 10).await.unwrap().len(), 1);
        assert_eq!(JobThen::new(JobId::new(), START.date(), Reckoning::Now, Zone::UTC).job, None);
    }
}
