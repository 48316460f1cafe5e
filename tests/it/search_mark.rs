//! Who types a mark finds that very item first, however many others have the same number.

use ropeloft::{
    domain::{Change, Kind},
    store::{Direction, ItemFilter, ItemSort},
};
use serde_json::json;

use crate::{fitness_case::connector, job_given::planned, stock, world::World};

/// Each of the marks is found by `s` and by `013`: the maker's name has the letter, and the mark the number.
const MARKS: [&str; 7] = [
    "G-013", "K-013", "S-013", "S-0131", "S-0132", "B-013", "T-013",
];

async fn shelved(world: &World) {
    let model = stock::model(Kind::Sling, "Steinwerk", "Round 2");
    let place = stock::store("Van");
    world.record(Change::ModelAdded(model.clone())).await;
    world.record(Change::StoreAdded(place.clone())).await;
    for mark in MARKS {
        let item = stock::item(mark, &model, &place);
        world.record(Change::ItemAdded(item)).await;
    }
}

/// The marks that a search finds, page after page.
async fn found(world: &World, search: &str, limit: u32) -> Vec<String> {
    let filter = ItemFilter {
        search: search.into(),
        ..ItemFilter::default()
    };
    let mut tx = world.database.read(world.team).await.unwrap();
    let (mut marks, mut after) = (Vec::new(), None);
    loop {
        let order = (ItemSort::Mark, Direction::Up);
        let page = tx
            .items(&filter, order, after.as_ref(), limit)
            .await
            .unwrap();
        assert!(page.rows.len() <= limit as usize);
        assert_eq!(page.cursors.len(), page.rows.len());
        marks.extend(page.rows.into_iter().map(|item| item.mark));
        after = page.next;
        if after.is_none() {
            return marks;
        }
    }
}

on_both_databases! {
    async fn the_mark_that_is_typed_stands_before_all_that_have_its_number(world) {
        shelved(&world).await;
        let wanted = ["S-013", "S-0131", "S-0132", "B-013", "G-013", "K-013", "T-013"];
        for search in ["S-013", "s-013", " S-013 "] {
            assert_eq!(found(&world, search, 50).await, wanted, "{search}");
        }
        // What begins a mark stands first too; what begins none leaves the order of the marks.
        assert_eq!(found(&world, "k-0", 50).await[0], "K-013");
        assert_eq!(found(&world, "013", 50).await[0], "B-013");
        let crew = world.visitor(&world.crew).await;
        let page = crew.get("/api/v1/items?q=S-013").await.json();
        assert_eq!(page["rows"][0]["mark"], "S-013", "{page}");
    }

    async fn every_page_of_a_search_goes_on_where_the_one_before_it_ended(world) {
        shelved(&world).await;
        let whole = found(&world, "S-013", 50).await;
        assert_eq!(whole.len(), MARKS.len());
        for limit in 1..=8 {
            assert_eq!(found(&world, "S-013", limit).await, whole, "{limit} a page");
        }
    }

    async fn at_a_position_the_mark_that_is_typed_stands_first_though_it_may_not_go(world) {
        let mut spoilt = connector("C-2", "head-connector");
        spoilt.item.markings_readable = None;
        world.shelve(&[connector("C-22", "head-connector"), spoilt]).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let rows = async |search: &str| {
            let page = crew.get(&format!("/jobs/{job}/positions/head-connector?q={search}")).await.text;
            let at = |mark: &str| page.find(&format!(">{mark}</a>")).unwrap_or_else(|| panic!("{mark}: {page}"));
            at("C-2") < at("C-22")
        };
        assert!(rows("C-2").await);
        assert!(!rows("C").await, "what may go stands first where no mark is typed");
    }
}
