//! The list of items: search, filters, sort, pages.

use axum::http::StatusCode;

use crate::{
    client::Client,
    item_given::{Given, examine, item, model, one_rope, rope_fields, with},
    world::World,
};

/// The marks of a list, in its order.
async fn marks(client: &Client, path: &str) -> Vec<String> {
    let answer = client.get(path).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    let rows = answer.text.split("<th scope=\"row\">").skip(1);
    rows.map(|row| {
        let text = row.split("</a>").next().unwrap();
        text.rsplit('>').next().unwrap().to_owned()
    })
    .collect()
}

async fn five_items(world: &World) -> Given {
    let given = one_rope(world).await;
    let helmet = model(
        &given.officer,
        &[
            ("kind", "helmet"),
            ("maker", "Beck"),
            ("name", "Dome"),
            ("life_support", "no"),
        ],
    )
    .await;
    for (mark, serial, made) in [("RL-0007", "Z1", "2019-05"), ("RL-0100", "Z2", "")] {
        let fields = with(
            &rope_fields(&given.model, &given.store),
            &[
                ("mark", mark),
                ("serial", serial),
                ("made", made),
                ("first_used_on", ""),
            ],
        );
        item(&given.officer, &fields).await;
    }
    for mark in ["H-1", "H-2"] {
        let fields = [
            ("mark", mark),
            ("model", helmet.as_str()),
            ("store", given.store.as_str()),
            ("made", "2024"),
        ];
        item(&given.officer, &fields).await;
    }
    given
}

on_both_databases! {
    async fn an_item_is_found_by_mark_serial_lot_maker_and_model(world) {
        let given = five_items(&world).await;
        for (search, found) in [
            ("0042", vec!["RL-0042"]),
            ("rl0007", vec!["RL-0007"]),
            ("z2", vec!["RL-0100"]),
            ("l9%20rl-0042", vec!["RL-0042"]),
            ("beck", vec!["H-1", "H-2"]),
            ("dome%20h-2", vec!["H-2"]),
            ("nothing", vec![]),
            ("%25", vec!["H-1", "H-2", "RL-0007", "RL-0042", "RL-0100"]),
        ] {
            assert_eq!(marks(&given.officer, &format!("/items?q={search}")).await, found, "{search}");
        }
    }

    async fn filters_leave_out_what_does_not_fit(world) {
        let given = five_items(&world).await;
        let step = [("step", "retire"), ("reason", "cut")];
        given.officer.post(&format!("/items/{}/step", given.item), &step).await;
        for (query, found) in [
            ("", vec!["H-1", "H-2", "RL-0007", "RL-0100"]),
            ("kind=helmet", vec!["H-1", "H-2"]),
            ("state=retired", vec!["RL-0042"]),
            ("state=all&kind=rope", vec!["RL-0007", "RL-0042", "RL-0100"]),
            ("state=quarantined", vec![]),
            ("due=overdue", vec![]),
        ] {
            assert_eq!(marks(&given.officer, &format!("/items?{query}")).await, found, "{query}");
        }
        let path = format!("/items?store={}&model={}", given.store, given.model);
        assert_eq!(marks(&given.officer, &path).await, ["RL-0007", "RL-0100"]);
    }

    async fn what_is_due_is_listed_by_its_day(world) {
        let given = five_items(&world).await;
        examine(&given.officer, &given.item, &[
            ("kind", "periodic"), ("on", "2025-03-10"), ("verdict", "fit"),
        ]).await;
        assert_eq!(marks(&given.officer, "/items?due=30").await, ["RL-0042"]);
        assert_eq!(marks(&given.officer, "/items?due=overdue").await, Vec::<String>::new());
        let list = given.officer.get("/items?q=0042").await.text;
        assert!(list.contains("due soon") && list.contains("2026-03-10") && list.contains("in 9 days"), "{list}");
        world.clock.advance(time::Duration::days(10));
        assert_eq!(marks(&given.officer, "/items?due=overdue").await, ["RL-0042"]);
        let list = given.officer.get("/items?q=0042").await.text;
        assert!(list.contains("overdue") && list.contains("yesterday"), "{list}");
    }

    async fn the_list_is_sorted_both_ways(world) {
        let given = five_items(&world).await;
        for (query, found) in [
            ("down=yes", vec!["RL-0100", "RL-0042", "RL-0007", "H-2", "H-1"]),
            ("sort=made&kind=rope", vec!["RL-0007", "RL-0042", "RL-0100"]),
            ("sort=made&kind=rope&down=yes", vec!["RL-0100", "RL-0042", "RL-0007"]),
            ("sort=kind&down=yes", vec!["RL-0100", "RL-0042", "RL-0007", "H-2", "H-1"]),
        ] {
            assert_eq!(marks(&given.officer, &format!("/items?{query}")).await, found, "{query}");
        }
        let list = given.officer.get("/items?sort=made&q=rl").await.text;
        assert!(list.contains("aria-sort=\"ascending\"><a href=\"/items?q=rl&#38;sort=made&#38;down=yes\">Made"), "{list}");
    }

    async fn pages_follow_each_other_without_gap(world) {
        let given = one_rope(&world).await;
        for at in 0..60 {
            let (mark, serial) = (format!("P-{at:03}"), format!("N{at}"));
            let fields = with(
                &rope_fields(&given.model, &given.store),
                &[("mark", mark.as_str()), ("serial", serial.as_str())],
            );
            item(&given.officer, &fields).await;
        }
        let first = given.officer.get("/items?kind=rope").await.text;
        let next = first.split(" rel=\"next\"").next().unwrap();
        let next = next.rsplit("href=\"").next().unwrap().trim_end_matches('"');
        let next = next.replace("&#38;", "&");
        assert!(next.contains("kind=rope"), "{next}");
        let mut all = marks(&given.officer, "/items?kind=rope").await;
        assert_eq!(all.len(), 50);
        all.extend(marks(&given.officer, &next).await);
        let mut sorted = all.clone();
        sorted.sort();
        sorted.dedup();
        assert_eq!((all.len(), &sorted), (61, &all), "in order, each once");
        // A cursor of one order is none of another.
        let answer = given.officer.get(&format!("{next}&sort=kind")).await;
        assert_eq!(answer.status, StatusCode::BAD_REQUEST);
    }

    async fn an_address_that_asks_for_nothing_of_ours_is_told_so(world) {
        let officer = world.visitor(&world.officer).await;
        for query in ["kind=balloon", "state=lost", "store=x", "model=1", "due=someday", "due=99999999", "life=someday", "sort=colour", "down=maybe", "after=%00"] {
            let answer = officer.get(&format!("/items?{query}")).await;
            assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{query}");
        }
        let long = "a".repeat(5000);
        assert_eq!(officer.get(&format!("/items?q={long}")).await.status, StatusCode::OK);
        assert_eq!(officer.get("/items?q=%00%27%22%3Cb%3E").await.status, StatusCode::OK);
        let page = officer.get("/items").await.text;
        assert!(page.contains("No items yet."), "{page}");
    }
}
