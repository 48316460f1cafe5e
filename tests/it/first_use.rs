//! From which day on use is counted, and the life that ends by it: the cautious end of what is known (common practice, no
//! source: what is not known is never counted in favour of an item).

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    Item, ItemDraft, Kind, Life, LifeLimit, LookAsked, Made, Model, PersonId, ShownBy, StoreId,
    UseShown, life, rulebook::rulebook,
};
use serde_json::json;
use time::{Date, macros::date};

use crate::{
    fitness_case::Thing,
    item_given::{ROPE, examine, item, model, one_rope, rope_fields, with},
    store_rebuild::{again, tamper},
};

/// A sling of a maker who allows years from made and from the first use.
fn sling(made: Option<u16>, first_use: Option<u16>) -> (Item, Model) {
    let thing = Thing::new(
        Kind::Sling,
        "S-1",
        &["EN 566"],
        &["straight|22 kN|breaking"],
    );
    let (mut item, mut model) = (thing.item, thing.model);
    model.life = LifeLimit {
        years_from_made: made,
        years_from_first_use: first_use,
        by_condition: false,
    };
    item.made = Some(Made::read("2020-03").unwrap());
    item.bought_on = Some(date!(2020 - 04 - 01));
    item.first_used_on = None;
    (item, model)
}

/// The end, with the rule that sets it.
fn ends(item: &Item, model: &Model) -> (Date, String) {
    match life(item, model, rulebook("european").unwrap()) {
        Life::Ends(end) => (end.on, end.rule),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_first_use_that_is_not_noted_counts_from_the_day_it_was_made() {
    let (mut item, model) = sling(Some(10), Some(3));
    let (on, rule) = ends(&item, &model);
    // 3 years from 2020-03-01, by the calendar.
    assert_eq!(on, date!(2023 - 03 - 01));
    assert!(
        rule.contains("first use not noted; counted from the day it was made")
            && rule.contains("only the month is known"),
        "{rule}"
    );
    // A log on its own would end it on 2023-05-05; what may have been before counts.
    item.use_shown = Some(UseShown {
        on: date!(2020 - 05 - 05),
        by: ShownBy::Log,
    });
    assert_eq!(ends(&item, &model).0, date!(2023 - 03 - 01));
    let (mut item, model) = (item, sling(None, Some(3)).1);
    item.made = None;
    let (on, rule) = ends(&item, &model);
    assert_eq!(on, date!(2023 - 04 - 01));
    assert!(
        rule.contains("first use not noted; counted from the day it was bought"),
        "{rule}"
    );
}

#[test]
fn a_rule_from_first_use_alone_is_the_makers_and_no_general_practice_stands_in_for_it() {
    let (item, model) = sling(None, Some(15));
    // The practice for makers who say nothing is 10 years from made; this maker says 15.
    assert_eq!(ends(&item, &model).0, date!(2035 - 03 - 01));
    let (mut item, model) = sling(None, Some(5));
    assert_eq!(ends(&item, &model).0, date!(2025 - 03 - 01));
    (item.made, item.bought_on) = (None, None);
    item.use_shown = Some(UseShown {
        on: date!(2021 - 05 - 05),
        by: ShownBy::Issue,
    });
    match life(&item, &model, rulebook("european").unwrap()) {
        Life::Unknown(why) => assert!(
            why.contains("5 years of life count from the first use") && why.contains("2021-05-05"),
            "{why}"
        ),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_first_use_that_is_noted_stands_at_its_cautious_end() {
    let (mut item, model) = sling(None, Some(3));
    for (noted, end) in [
        ("2021-07-01", date!(2024 - 07 - 01)),
        ("2021-07", date!(2024 - 07 - 01)),
        ("2021", date!(2024 - 01 - 01)),
        // Not before it was made.
        ("2020", date!(2023 - 03 - 01)),
    ] {
        item.first_used_on = Some(Made::read(noted).unwrap());
        assert_eq!(ends(&item, &model).0, end, "{noted}");
    }
    item.first_used_on = Some(Made::read("2022").unwrap());
    item.use_shown = Some(UseShown {
        on: date!(2021 - 05 - 05),
        by: ShownBy::Log,
    });
    let (on, rule) = ends(&item, &model);
    assert_eq!(on, date!(2024 - 05 - 05));
    assert!(
        rule.contains("the log of use shows use before 2022, which is noted"),
        "{rule}"
    );
}

#[test]
fn the_first_use_is_typed_as_exactly_as_it_is_known() {
    let (_, model) = sling(None, Some(3));
    let draft = |first: &str| ItemDraft {
        mark: "S-1".into(),
        made: "2020-03".into(),
        first_used_on: first.into(),
        ..ItemDraft::default()
    };
    let check =
        |first| draft(first).check(Some(&model), Some(StoreId::new()), date!(2026 - 03 - 01));
    for first in ["2022", "2022-07", "2022-07-01", "2020"] {
        let details = check(first).unwrap();
        assert_eq!(details.first_used_on.unwrap().to_string(), first);
        // An entry of before, which had whole days alone, is read as it was.
        let text = serde_json::to_string(&details).unwrap();
        assert!(
            text.contains(&format!("\"first_used_on\":\"{first}\"")),
            "{text}"
        );
    }
    for (first, given) in [("2019", "2019"), ("2027", "2027"), ("2020-02", "2020-02")] {
        let wrong = check(first).unwrap_err();
        let said: Vec<&str> = wrong.on("first_used_on").collect();
        assert!(
            said.len() == 1 && said[0].contains(given),
            "{first}: {said:?}"
        );
    }
}

#[test]
fn a_mended_record_keeps_what_others_know_of_the_item() {
    let (mut item, model) = sling(None, Some(3));
    item.look_asked = Some(LookAsked {
        job: ropeloft::domain::JobId::new(),
        by: PersonId::new(),
        on: date!(2026 - 02 - 20),
        note: "sheath fluffy".into(),
    });
    item.use_shown = Some(UseShown {
        on: date!(2021 - 05 - 05),
        by: ShownBy::Log,
    });
    let draft = ItemDraft {
        note: "other".into(),
        ..item.draft()
    };
    let details = draft.check(Some(&model), Some(item.store), date!(2026 - 03 - 01));
    let mended = details.unwrap().revise(&item);
    assert_eq!(
        (mended.look_asked, mended.use_shown),
        (item.look_asked, item.use_shown)
    );
}

on_both_databases! {
    async fn what_shows_use_ends_a_life_everywhere(world) {
        let given = one_rope(&world).await;
        let short = model(&given.officer, &with(&ROPE, &[("name", "Line 9"), ("life_years_from_first_use", "3")])).await;
        let fields = with(&rope_fields(&short, &given.store), &[("mark", "RL-9"), ("serial", "S-9"), ("made", "2022-03"), ("bought_on", ""), ("first_used_on", "2024")]);
        let id = item(&given.officer, &fields).await;
        let sheet = async || given.officer.get(&format!("/api/v1/items/{id}")).await.json();
        // From 1 January of the year that is noted.
        assert_eq!(sheet().await["life"]["ends"]["on"], "2027-01-01");
        examine(&given.officer, &id, &[("kind", "intake"), ("on", "2022-04-01"), ("verdict", "fit")]).await;
        assert_eq!(sheet().await["life"]["ends"]["on"], "2027-01-01", "an intake shows no use");
        let log = [("on", "2022-12-24"), ("uses", "1")];
        let answer = given.officer.post(&format!("/items/{id}/usage"), &log).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let shown = sheet().await;
        assert_eq!(shown["life"]["ends"]["on"], "2025-12-24");
        assert_eq!(shown["item"]["use_shown"], json!({"on": "2022-12-24", "by": "log"}));
        let over = given.officer.get("/items?life=over").await.text;
        assert!(over.contains("RL-9") && !over.contains("RL-0042"), "{over}");
        let page = given.officer.get(&format!("/items/{id}")).await.text;
        assert!(page.contains("the log of use shows use before 2024, which is noted"), "{page}");
        assert_eq!(again(&world).await.differences, []);
        // As an older program left it.
        tamper(&world, "UPDATE item SET use_shown = '?', life_order = '~', record = REPLACE(record, ',\"use_shown\":{\"on\":\"2022-12-24\",\"by\":\"log\"}', '')").await;
        assert_eq!(sheet().await["life"]["ends"]["on"], "2027-01-01");
        world.database.migrate().await.unwrap();
        assert_eq!(sheet().await["life"]["ends"]["on"], "2025-12-24");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn nothing_happens_to_an_item_before_it_is_made(world) {
        let given = one_rope(&world).await;
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "RL-9"), ("serial", "S-9"), ("made", "2023-05"), ("bought_on", ""), ("first_used_on", "")]);
        let id = item(&given.officer, &fields).await;
        let page = format!("/items/{id}");
        let before = world.entries().await;
        let day = ("on", "2023-04-30");
        for (path, fields) in [
            ("examinations", vec![("kind", "intake"), ("verdict", "fit"), ("rest", "pass"), ("findings", "found <so>"), day]),
            ("events", vec![("kind", "drop"), ("note", "noted <so>"), day]),
            ("usage", vec![("uses", "1"), ("note", "noted <so>"), day]),
            ("step", vec![("step", "retire"), ("reason", "reason <so>"), day]),
            ("step", vec![("step", "quarantine"), ("reason", "reason <so>"), day]),
        ] {
            let answer = given.officer.post(&format!("{page}/{path}"), &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}: {}", answer.text);
            for words in ["id=\"f-on-wrong-1\"", "made in 2023-05", "before 2023-05-01, as on 2023-04-30", "value=\"2023-04-30\"", "&#60;so&#62;"] {
                assert!(answer.text.contains(words), "{path}: {words}: {}", answer.text);
            }
        }
        assert_eq!(world.entries().await, before, "nothing half written");
        let event = json!({"kind": "drop", "on": "2019-02-03", "note": "off the shelf"});
        let answer = given.officer.json(Method::POST, &format!("/api/v1{page}/events"), &event).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
        // The first day of the month holds: it may have been made on it.
        let fits = [("kind", "drop"), ("note", "off the shelf"), ("on", "2023-05-01")];
        assert_eq!(given.officer.post(&format!("{page}/events"), &fits).await.status, StatusCode::SEE_OTHER);
        // Where nobody knows when it was made, every day holds.
        let fields = with(&fields, &[("mark", "RL-8"), ("serial", "S-8"), ("made", "")]);
        let id = item(&given.officer, &fields).await;
        let old = [("kind", "drop"), ("note", "off the shelf"), ("on", "2001-01-01")];
        assert_eq!(given.officer.post(&format!("/items/{id}/events"), &old).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_date_made_is_not_moved_behind_what_the_record_says(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        examine(&given.officer, &given.item, &[("kind", "intake"), ("on", "2023-04-01"), ("verdict", "fit")]).await;
        let fits = [("kind", "drop"), ("note", "off the shelf"), ("on", "2022-11-30")];
        assert_eq!(given.officer.post(&format!("{page}/events"), &fits).await.status, StatusCode::SEE_OTHER);
        let log = [("on", "2023-06-10"), ("uses", "1")];
        assert_eq!(given.officer.post(&format!("{page}/usage"), &log).await.status, StatusCode::SEE_OTHER);
        let sheet = rope_fields(&given.model, &given.store);
        let revision = async || given.officer.get(&format!("/api/v1{page}")).await.json()["item"]["revision"].to_string();
        let revise = async |other: &[(&str, &str)]| {
            let seen = revision().await;
            let fields = with(&with(&sheet, &[("revision", seen.as_str()), ("bought_on", ""), ("first_used_on", "2021-07-01")]), other);
            let fields: Vec<(&str, &str)> = fields.into_iter().collect();
            given.officer.post(&page, &fields).await
        };
        let before = world.entries().await;
        for made in ["2023-05", "2022-12-01"] {
            let answer = revise(&[("made", made), ("first_used_on", ""), ("note", "as <stamped>")]).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{made}");
            let told = format!("made {} {made}: on 2022-11-30 it has &#34;Event&#34;", if made.len() == 7 { "in" } else { "on" });
            for words in ["id=\"f-made-wrong-1\"", told.as_str(), "as &#60;stamped&#62;", &format!("value=\"{made}\"")] {
                assert!(answer.text.contains(words), "{words}: {}", answer.text);
            }
        }
        // All that does not hold is said at once, a first use behind one that is shown too.
        let answer = revise(&[("made", "2024"), ("first_used_on", "2024-01"), ("serial", "two\nlines")]).await;
        for field in ["made", "first_used_on", "serial"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("first use was not 2024-01: the log of use shows that RL-0042 was in use on 2023-06-10"), "{}", answer.text);
        let seen = given.officer.get(&format!("/api/v1{page}")).await;
        let tag = seen.headers["etag"].to_str().unwrap().to_owned();
        let draft = json!({"mark": "RL-0042", "model": given.model, "store": given.store, "made": "2023-05", "attributes": {"length": "60 m"}});
        let answer = given.officer.json_if(Method::PUT, &format!("/api/v1{page}"), &tag, &draft).await;
        assert_eq!((answer.status, answer.json()["fields"][0]["field"].clone()), (StatusCode::UNPROCESSABLE_ENTITY, json!("made")));
        assert_eq!(world.entries().await, before, "nothing was written");
        // A month holds from its first day, none is known for all days, and what stays is not asked for.
        for made in ["2022-11", "", "2021"] {
            let answer = revise(&[("made", made), ("first_used_on", "")]).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{made}: {}", answer.text);
        }
        let answer = revise(&[("note", "dried")]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    }

    async fn a_piece_was_made_before_what_its_rope_met(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "intake"), ("on", "2022-04-01"), ("verdict", "fit")]).await;
        let cut = json!({"pieces": [{"mark": "A", "length": "40 m"}, {"mark": "B", "length": "20 m"}], "on": "2026-02-01"});
        let done = given.officer.json(Method::POST, &format!("/api/v1/items/{}/cuts", given.item), &cut).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let piece = done.json()["pieces"][0].clone();
        let (id, serial) = (piece["id"].as_str().unwrap(), piece["serial"].as_str().unwrap());
        let fields = with(&rope_fields(&given.model, &given.store), &[
            ("mark", "A"), ("serial", serial), ("made", "2025"), ("bought_on", ""), ("first_used_on", ""), ("revision", "1"),
        ]);
        let answer = given.officer.post(&format!("/items/{id}"), &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("on 2022-04-01 it has &#34;Examination&#34;"), "{}", answer.text);
    }
}
