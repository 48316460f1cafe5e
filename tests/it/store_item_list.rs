//! The list of items: what is found, in which order, page by page.

use ropeloft::{
    domain::{Change, Item, ItemState, ItemStep, ItemStepped, Kind, Made},
    store::{Cursor, Direction, ItemFilter, ItemSort, StoreError},
};
use time::macros::{date, datetime};

use crate::{
    stock,
    world::{START, World},
};

/// Seven items of three models in two places, told by their marks.
async fn shelf(world: &World) {
    let rope = stock::model(Kind::Rope, "Fjordwerk", "Line 11");
    let pulley = stock::model(Kind::Pulley, "Fjordwerk", "Twin 60");
    let swivel = stock::model(Kind::Swivel, "Anvil", "Turn 5");
    let (van, attic) = (stock::store("Van"), stock::store("Attic"));
    for model in [&rope, &pulley, &swivel] {
        world.record(Change::ModelAdded(model.clone())).await;
    }
    for store in [&van, &attic] {
        world.record(Change::StoreAdded(store.clone())).await;
    }
    let made = |text: &str| Some(Made::read(text).unwrap());
    let items = [
        (
            "RL-0003",
            &rope,
            &van,
            made("2019-05"),
            Some(date!(2026 - 04 - 01)),
        ),
        (
            "RL-0001",
            &rope,
            &van,
            made("2019"),
            Some(date!(2026 - 02 - 01)),
        ),
        ("RL-0002", &rope, &attic, made("2020-01-31"), None),
        ("PU 17", &pulley, &van, None, Some(date!(2026 - 03 - 01))),
        ("pu 18", &pulley, &attic, None, Some(date!(2026 - 03 - 01))),
        ("Sw/1", &swivel, &attic, made("2021"), None),
        ("Sw/2", &swivel, &attic, made("2021"), None),
    ];
    for (mark, model, store, made, next_due_on) in items {
        let item = stock::item(mark, model, store);
        let item = Item {
            made,
            next_due_on,
            last_passed_on: next_due_on.map(|_| date!(2025 - 12 - 01)),
            serial: None,
            ..item
        };
        world.record(Change::ItemAdded(item)).await;
    }
}

async fn marks_in(
    world: &World,
    filter: &ItemFilter,
    sort: (ItemSort, Direction),
    at_once: u32,
) -> String {
    let mut tx = world.database.read(world.team).await.unwrap();
    let (mut seen, mut after): (Vec<String>, Option<Cursor>) = (Vec::new(), None);
    loop {
        let page = tx
            .items(filter, sort, after.as_ref(), at_once)
            .await
            .unwrap();
        assert!(page.rows.len() <= at_once as usize);
        seen.extend(page.rows.into_iter().map(|item| item.mark));
        let Some(next) = page.next else {
            return seen.join(", ");
        };
        after = Some(next.to_string().parse().unwrap());
    }
}

async fn found(world: &World, filter: ItemFilter) -> String {
    marks_in(world, &filter, (ItemSort::Mark, Direction::Up), 50).await
}

fn search(text: &str) -> ItemFilter {
    ItemFilter {
        search: text.into(),
        ..ItemFilter::default()
    }
}

async fn step(world: &World, mark: &str, step: ItemStep) {
    let mut tx = world.database.read(world.team).await.unwrap();
    let item = tx.item_marked(mark).await.unwrap().unwrap().id;
    drop(tx);
    let reason = "a reason".to_owned();
    let on = START.date();
    world
        .record(Change::ItemStepped(ItemStepped {
            item,
            step,
            reason,
            on,
            retired_for: None,
        }))
        .await;
}

on_both_databases! {
    async fn every_sort_goes_both_ways_in_pages_of_any_size(world) {
        shelf(&world).await;
        let by_id = ["RL-0002", "Sw/1", "Sw/2"];
        let expected = [
            (ItemSort::Mark, "PU 17, pu 18, RL-0001, RL-0002, RL-0003, Sw/1, Sw/2".to_owned()),
            (ItemSort::Kind, "PU 17, pu 18, RL-0001, RL-0002, RL-0003, Sw/1, Sw/2".to_owned()),
            (ItemSort::Due, format!("RL-0001, PU 17, pu 18, RL-0003, {}", by_id.join(", "))),
            (ItemSort::Made, "RL-0001, RL-0003, RL-0002, Sw/1, Sw/2, PU 17, pu 18".to_owned()),
        ];
        for (sort, up) in expected {
            let mut down: Vec<&str> = up.split(", ").collect();
            down.reverse();
            for at_once in [1, 2, 3, 50] {
                let all = ItemFilter::default();
                assert_eq!(marks_in(&world, &all, (sort, Direction::Up), at_once).await, up, "{sort:?}");
                assert_eq!(marks_in(&world, &all, (sort, Direction::Down), at_once).await, down.join(", "), "{sort:?}");
            }
        }
    }

    async fn items_are_found_by_words_of_mark_model_kind_and_serial(world) {
        shelf(&world).await;
        assert_eq!(found(&world, search("rl-0002")).await, "RL-0002");
        assert_eq!(found(&world, search("RL0002")).await, "RL-0002");
        assert_eq!(found(&world, search("0001")).await, "RL-0001");
        assert_eq!(found(&world, search("rl 000")).await, "RL-0001, RL-0002, RL-0003");
        assert_eq!(found(&world, search("twin")).await, "PU 17, pu 18");
        assert_eq!(found(&world, search("swivel")).await, "Sw/1, Sw/2");
        assert_eq!(found(&world, search("1 anvil")).await, "Sw/1");
        // Of a model's name any part is found, of a mark only how a word begins.
        assert_eq!(found(&world, search("11")).await, "RL-0001, RL-0002, RL-0003");
        assert_eq!(found(&world, search("002")).await, "");
        assert_eq!(found(&world, search("%")).await, found(&world, search("")).await);
        assert_eq!(found(&world, search("'; DROP TABLE item; --")).await, "");
        assert_eq!(found(&world, search(&"x".repeat(10_000))).await, "");
        assert_eq!(found(&world, search("rl\0 0002")).await, "RL-0002");
    }

    async fn a_serial_and_a_lot_are_found_until_they_change(world) {
        let stock = world.stock().await;
        let edit = Item { revision: 2, serial: None, lot: Some("B 77".into()), ..stock.first.clone() };
        assert_eq!(found(&world, search("s/p-1-9")).await, "P-1");
        world.record(Change::ItemRevised(edit)).await;
        assert_eq!(found(&world, search("s/p-1-9")).await, "");
        assert_eq!(found(&world, search("b77")).await, "P-1");
    }

    async fn filters_go_together(world) {
        shelf(&world).await;
        let all = ItemFilter::default;
        let mut tx = world.database.read(world.team).await.unwrap();
        let attic = tx.store_named("attic").await.unwrap().unwrap().id;
        let swivel = tx.model_named("Anvil", "Turn 5").await.unwrap().unwrap().id;
        drop(tx);
        assert_eq!(found(&world, ItemFilter { kind: Some(Kind::Rope), ..all() }).await, "RL-0001, RL-0002, RL-0003");
        assert_eq!(found(&world, ItemFilter { store: Some(attic), ..all() }).await, "pu 18, RL-0002, Sw/1, Sw/2");
        assert_eq!(found(&world, ItemFilter { store: Some(attic), kind: Some(Kind::Rope), ..all() }).await, "RL-0002");
        assert_eq!(found(&world, ItemFilter { model: Some(swivel), ..search("2") }).await, "Sw/2");
        let due = |day| ItemFilter { due_before: Some(day), ..all() };
        assert_eq!(found(&world, due(date!(2026 - 03 - 01))).await, "RL-0001");
        assert_eq!(found(&world, due(date!(2026 - 03 - 02))).await, "PU 17, pu 18, RL-0001");
        let cursor_of_kind = ItemSort::Kind;
        let mut tx = world.database.read(world.team).await.unwrap();
        let page = tx.items(&all(), (cursor_of_kind, Direction::Up), None, 1).await.unwrap();
        let wrong = tx.items(&all(), (ItemSort::Mark, Direction::Up), page.next.as_ref(), 1).await.unwrap_err();
        assert!(matches!(wrong, StoreError::Cursor), "{wrong:?}");
    }

    async fn states_are_filtered_and_the_retired_fall_due_no_more(world) {
        shelf(&world).await;
        step(&world, "RL-0001", ItemStep::Retire).await;
        step(&world, "PU 17", ItemStep::Quarantine).await;
        step(&world, "Sw/1", ItemStep::ReportMissing).await;
        let state = |state| ItemFilter { state: Some(state), ..ItemFilter::default() };
        assert_eq!(found(&world, state(ItemState::Retired)).await, "RL-0001");
        assert_eq!(found(&world, state(ItemState::Quarantined)).await, "PU 17");
        assert_eq!(found(&world, state(ItemState::Missing)).await, "Sw/1");
        assert_eq!(found(&world, state(ItemState::InService)).await, "pu 18, RL-0002, RL-0003, Sw/2");
        let kept = ItemFilter { without_retired: true, ..search("rl") };
        assert_eq!(found(&world, kept).await, "RL-0002, RL-0003");
        let due = ItemFilter { due_before: Some(date!(2030 - 01 - 01)), ..ItemFilter::default() };
        assert_eq!(found(&world, due).await, "PU 17, pu 18, RL-0003");
    }

    async fn another_team_finds_nothing(world) {
        shelf(&world).await;
        let mut tx = world.database.read(world.other_team).await.unwrap();
        for filter in [ItemFilter::default(), search("rl-0001"), search("twin")] {
            let page = tx.items(&filter, (ItemSort::Mark, Direction::Up), None, 50).await.unwrap();
            assert!(page.rows.is_empty() && page.next.is_none());
        }
    }

    async fn the_first_page_counts_what_matters_today(world) {
        shelf(&world).await;
        step(&world, "Sw/1", ItemStep::ReportMissing).await;
        step(&world, "PU 17", ItemStep::Quarantine).await;
        world.record(Change::JobPlanned(stock::job("coming", 3))).await;
        world.record(Change::JobPlanned(stock::job("now", -1))).await;
        world.record(Change::JobPlanned(stock::job("past", -5))).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let counts = tx.counts(START, 30).await.unwrap();
        // RL-0001 was due in February; pu 18 is due today; RL-0003 in 31 days; RL-0002 and Sw/2 never passed.
        assert_eq!((counts.overdue, counts.due_soon, counts.never_passed), (1, 1, 2));
        assert_eq!((counts.quarantined, counts.missing, counts.jobs_coming), (1, 1, 2));
        assert_eq!(tx.counts(START, 31).await.unwrap().due_soon, 2);
        let later = tx.counts(datetime!(2026-03-02 00:00 UTC), 30).await.unwrap();
        assert_eq!((later.overdue, later.due_soon), (2, 1));
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.counts(START, 30).await.unwrap(), ropeloft::store::Counts::default());
    }
}

#[test]
fn a_cursor_that_was_made_up_is_refused() {
    for made_up in ["", "zz", "00", "7b7d", "5b5d"] {
        assert!(made_up.parse::<Cursor>().is_err(), "{made_up}");
    }
}
