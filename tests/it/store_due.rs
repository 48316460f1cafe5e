//! The day on which an item falls due is one day: on its badge, in the list, in its filter and in the counts, whatever
//! has changed it.

use axum::http::{Method, StatusCode};
use ropeloft::store::{Direction, ItemFilter, ItemSort};
use serde_json::{Value, json};
use time::{Date, macros::date};

use crate::{
    item_given::{Given, ROPE, examine, item, model, one_rope, rope_fields, with},
    store_rebuild::{again, tamper},
    world::World,
};

/// A rope that passed on 20 September, and one that passed a month later and was given half a year alone.
async fn two_ropes(world: &World) -> Given {
    let given = one_rope(world).await;
    let half = model(&given.officer, &with(&ROPE, &[("name", "Line 10")])).await;
    let fields = with(
        &rope_fields(&half, &given.store),
        &[("mark", "RL-0010"), ("serial", "Z10")],
    );
    let second = item(&given.officer, &fields).await;
    let passed = |on| [("kind", "periodic"), ("on", on), ("verdict", "fit")];
    examine(&given.officer, &given.item, &passed("2025-09-20")).await;
    let mut set = passed("2025-10-20").to_vec();
    set.push(("next_due_on", "2026-04-20"));
    examine(&given.officer, &second, &set).await;
    given
}

/// What the list holds that is due before a day, the first due first.
async fn due(world: &World, before: Date) -> String {
    let filter = ItemFilter {
        due_before: Some(before),
        ..ItemFilter::default()
    };
    let order = (ItemSort::Due, Direction::Up);
    let mut tx = world.database.read(world.team).await.unwrap();
    let page = tx.items(&filter, order, None, 50).await.unwrap();
    let marks: Vec<String> = page.rows.into_iter().map(|item| item.mark).collect();
    marks.join(", ")
}

/// The items of the list in service, the first due first, each with the day on its badge.
async fn badges(given: &Given) -> Vec<(String, String)> {
    let list = given.officer.get("/items?sort=due").await.text;
    let rows = list.split("<th scope=\"row\">").skip(1);
    rows.map(|row| {
        let mark = row
            .split("</a>")
            .next()
            .unwrap()
            .rsplit('>')
            .next()
            .unwrap();
        let cell = row.split("data-label=\"Next examination\"").nth(1).unwrap();
        let from = cell.find("202").expect("a day stands in the cell");
        (mark.to_owned(), cell[from..from + 10].to_owned())
    })
    .collect()
}

fn pairs(rows: &[(&str, &str)]) -> Vec<(String, String)> {
    let rows = rows.iter();
    rows.map(|(mark, day)| ((*mark).to_owned(), (*day).to_owned()))
        .collect()
}

/// The team works by another rulebook from now on.
pub async fn work_by(world: &World, rulebook: &str) {
    let admin = world.visitor(&world.admin).await;
    let team = json!({"name": "North shaft team", "rulebook": rulebook});
    let done = admin.json_if(Method::PUT, "/api/v1/team", "*", &team).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
}

/// The rulebook `valley`: the European one with another interval.
fn valley(months: u32) -> Value {
    let sheet = format!(
        "key = \"valley\"\ntitle = \"Valley\"\nbased_on = \"european\"\n\n[[interval]]\nof = \"fall-protection gear\"\n\
         months = {months}\nfrom = {{ source = \"team order 4\", known = \"setting\" }}\n"
    );
    json!({"sheet": sheet})
}

on_both_databases! {
    async fn a_team_that_works_by_another_rulebook_sees_its_days_everywhere(world) {
        let given = two_ropes(&world).await;
        assert_eq!(due(&world, date!(2026 - 09 - 21)).await, "RL-0010, RL-0042");
        assert_eq!(due(&world, date!(2026 - 09 - 20)).await, "RL-0010");
        assert_eq!(badges(&given).await, pairs(&[("RL-0010", "2026-04-20"), ("RL-0042", "2026-09-20")]));
        // Lifting law asks for six months.
        work_by(&world, "uk-lifting").await;
        assert_eq!(due(&world, date!(2026 - 04 - 20)).await, "RL-0042");
        assert_eq!(badges(&given).await, pairs(&[("RL-0042", "2026-03-20"), ("RL-0010", "2026-04-20")]));
        let start = given.officer.get("/").await.text;
        assert!(start.contains("1 falls due within 30 days"), "{start}");
        assert_eq!(again(&world).await.differences, []);
        work_by(&world, "european").await;
        assert_eq!(badges(&given).await, pairs(&[("RL-0010", "2026-04-20"), ("RL-0042", "2026-09-20")]));
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_new_version_of_the_own_rulebook_moves_the_days(world) {
        let given = two_ropes(&world).await;
        let made = given.officer.json(Method::POST, "/api/v1/rulebooks", &valley(8)).await;
        assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        assert_eq!(due(&world, date!(2026 - 09 - 20)).await, "RL-0010", "nobody works by it yet");
        work_by(&world, "valley").await;
        assert_eq!(badges(&given).await, pairs(&[("RL-0010", "2026-04-20"), ("RL-0042", "2026-05-20")]));
        let revised = given.officer.json_if(Method::PUT, "/api/v1/rulebooks/valley", "*", &valley(3)).await;
        assert_eq!(revised.status, StatusCode::OK, "{}", revised.text);
        assert_eq!(badges(&given).await, pairs(&[("RL-0042", "2025-12-20"), ("RL-0010", "2026-01-20")]));
        let start = given.officer.get("/").await.text;
        assert!(start.contains("2 items are overdue"), "{start}");
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.counts(crate::world::START, 30).await.unwrap().overdue, 2);
        drop(tx);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_interval_of_a_model_moves_the_days_of_its_items_alone(world) {
        let given = two_ropes(&world).await;
        let path = format!("/models/{}", given.model);
        let fields = with(&ROPE, &[("examine_every_months", "4"), ("revision", "1")]);
        let done = given.officer.post(&path, &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(badges(&given).await, pairs(&[("RL-0042", "2026-01-20"), ("RL-0010", "2026-04-20")]));
        assert_eq!(due(&world, date!(2026 - 03 - 01)).await, "RL-0042");
        // An item that is examined or added after that follows the same interval.
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-02-20"), ("verdict", "fit")]).await;
        assert_eq!(due(&world, date!(2026 - 06 - 21)).await, "RL-0010, RL-0042");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_database_from_before_the_intervals_is_brought_up_to_date(world) {
        let given = two_ropes(&world).await;
        work_by(&world, "uk-lifting").await;
        tamper(&world, "UPDATE model SET interval_months = 0").await;
        tamper(&world, "UPDATE item SET due_order = '2030-01-01'").await;
        assert_eq!(due(&world, date!(2026 - 04 - 20)).await, "");
        world.database.migrate().await.unwrap();
        assert_eq!(due(&world, date!(2026 - 04 - 20)).await, "RL-0042");
        assert_eq!(badges(&given).await, pairs(&[("RL-0042", "2026-03-20"), ("RL-0010", "2026-04-20")]));
        assert_eq!(again(&world).await.differences, []);
    }
}
