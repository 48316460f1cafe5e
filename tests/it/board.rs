//! The due board counts what the lists hold, the badges say and the start counts.

use std::collections::BTreeMap;

use axum::http::StatusCode;
use ropeloft::domain::{
    Board, Change, DayCount, DayRange, Group, Item, ItemState, Kind, Line, Made, Split, Stretch,
};
use ropeloft::view::{Shell, board::DueBoard};
use time::{Date, Duration, macros::date};

use crate::{
    client::Client,
    item_given::{ROPE, item, model, one_rope, rope_fields, with},
    stock,
    store_rebuild::{again, tamper},
    world::{START, World},
};

/// A Sunday: the first week is this day alone.
const TODAY: Date = date!(2026 - 03 - 01);

fn group(key: &str) -> Group {
    Group {
        key: key.into(),
        name: key.into(),
    }
}

fn counted(day: Date, group: &str, count: u64) -> DayCount {
    DayCount {
        day: Some(day),
        group: group.into(),
        count,
    }
}

fn days(line: &Line) -> DayRange {
    line.stretch.days().unwrap()
}

#[test]
fn weeks_begin_on_monday_and_months_on_the_first() {
    // ISO 8601: weeks begin on Monday. 2026-03-01 is a Sunday, 2026-03-04 a Wednesday.
    for (today, first_week_ends) in [
        (TODAY, TODAY),
        (date!(2026 - 03 - 04), date!(2026 - 03 - 08)),
        (date!(2026 - 03 - 02), date!(2026 - 03 - 08)),
    ] {
        let board = Board::new((today, Split::Store), Vec::new(), &[], &[]);
        assert_eq!(days(&board.weeks[0]).from, today);
        assert_eq!(days(&board.weeks[0]).to, Some(first_week_ends));
        assert_eq!(board.weeks.len(), 12);
        assert_eq!(days(&board.months[0]).from, today);
        assert_eq!(days(&board.months[0]).to, Some(date!(2026 - 03 - 31)));
        assert_eq!(board.months.len(), 24);
        assert_eq!(days(&board.months[23]).to, Some(date!(2028 - 02 - 29)));
        assert_eq!(days(&board.later).from, date!(2028 - 03 - 01));
        for lines in [&board.weeks, &board.months] {
            for pair in lines.windows(2) {
                assert_eq!(days(&pair[0]).end(), Some(days(&pair[1]).from));
            }
        }
    }
}

#[test]
fn an_item_is_in_date_on_its_due_day_and_dead_on_the_day_its_life_ends() {
    let yesterday = TODAY.previous_day().unwrap();
    let counts = [
        counted(yesterday, "a", 1),
        counted(TODAY, "a", 10),
        counted(TODAY.next_day().unwrap(), "a", 100),
    ];
    let board = Board::new(
        (TODAY, Split::Kind),
        vec![group("a"), group("b")],
        &counts,
        &counts,
    );
    assert_eq!(board.groups, [group("a")], "what has nothing is not shown");
    assert_eq!(board.over.due, [1]);
    assert_eq!(board.over.ends, [11]);
    assert_eq!(
        (board.weeks[0].all_due(), board.weeks[0].all_ends()),
        (10, 0)
    );
    assert_eq!(
        (board.weeks[1].all_due(), board.weeks[1].all_ends()),
        (100, 100)
    );
    assert_eq!(
        (board.months[0].all_due(), board.months[0].all_ends()),
        (110, 100)
    );
    assert_eq!(board.items(), 111);
}

#[test]
fn one_is_said_of_one_and_over_of_what_is_over() {
    let due = [counted(TODAY, "rope", 1)];
    let ends = [
        counted(TODAY, "rope", 1),
        counted(date!(2026 - 04 - 10), "rope", 1),
        counted(date!(2026 - 04 - 11), "rope", 1),
    ];
    let board = Board::new((TODAY, Split::Kind), vec![group("rope")], &due, &ends);
    let page = DueBoard::new(Shell::sample("Due"), &board, None);
    let text = page.to_string();
    for words in [
        "1<span class=\"only-read\"> life over by today</span>",
        "2<span class=\"only-read\"> lives end 2026-04</span>",
        ": 1 examination due</title>",
        ": 1 life is over</title>",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn days_are_read_as_they_are_written() {
    for text in [
        "2026-03-01..2026-03-31",
        "2026-03-01..2026-03-01",
        "2026-03-01..",
    ] {
        assert_eq!(DayRange::read(text).unwrap().to_string(), text);
    }
    for wrong in [
        "",
        "..",
        "2026-03-02..2026-03-01",
        "2026-03-01",
        "2026-02-30..",
        "..2026-03-01",
        "x..y",
    ] {
        assert_eq!(DayRange::read(wrong), None, "{wrong}");
    }
}

/// Items that fall due, and whose lives end, around every edge of the board.
async fn edges(world: &World) {
    let rope = stock::model(Kind::Rope, "Fjordwerk", "Line 11");
    let pulley = stock::model(Kind::Pulley, "Fjordwerk", "Twin 60");
    let (van, attic) = (stock::store("Van"), stock::store("Attic"));
    for model in [&rope, &pulley] {
        world.record(Change::ModelAdded(model.clone())).await;
    }
    for store in [&van, &attic] {
        world.record(Change::StoreAdded(store.clone())).await;
    }
    let ahead = [
        -400, -1, 0, 1, 7, 8, 30, 31, 78, 79, 364, 700, 730, 731, 900,
    ];
    for (at, days) in ahead.into_iter().enumerate() {
        let due = TODAY + Duration::days(days);
        let (model, store) = ([&rope, &pulley][at % 2], [&van, &attic][at % 3 % 2]);
        let made = due - Duration::days(3653);
        let item = Item {
            next_due_on: Some(due),
            last_passed_on: Some(due - Duration::days(90)),
            made: Made::read(&made.to_string()).ok(),
            ..stock::item(&format!("E-{at:02}"), model, store)
        };
        world.record(Change::ItemAdded(item)).await;
    }
    for (at, state) in [
        ItemState::InService,
        ItemState::Quarantined,
        ItemState::Missing,
    ]
    .into_iter()
    .enumerate()
    {
        let item = Item {
            state,
            ..stock::item(&format!("N-{at}"), &rope, &van)
        };
        world.record(Change::ItemAdded(item)).await;
    }
}

/// How many items the list of the API holds at this address.
async fn listed(client: &Client, path: &str) -> u64 {
    let answer = client.get(path).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    answer.json()["rows"].as_array().unwrap().len() as u64
}

on_both_databases! {
    async fn every_number_is_the_length_of_the_list_it_leads_to(world) {
        edges(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        for by in ["store", "kind"] {
            let board = auditor.get(&format!("/api/v1/due?by={by}")).await.json();
            let groups = board["groups"].as_array().unwrap();
            assert_eq!(groups.len(), 2);
            assert_eq!(board["items"], 16, "{board}");
            let (mut due, mut ends) = (0, 0);
            for line in board["lines"].as_array().unwrap() {
                let words = |key: &str| line[key].as_str().unwrap();
                let path = format!("/api/v1/items?state=in-service&due={}", words("due_filter"));
                assert_eq!(listed(&auditor, &path).await, line["due"].as_u64().unwrap(), "{line}");
                for (at, group) in groups.iter().enumerate() {
                    let path = format!("{path}&{by}={}", group["key"].as_str().unwrap());
                    assert_eq!(listed(&auditor, &path).await, line["due_by_group"][at].as_u64().unwrap(), "{path}");
                }
                let path = format!("/api/v1/items?state=in-service&sort=due&life={}", words("life_filter"));
                if line["period"] != "never" {
                    assert_eq!(listed(&auditor, &path).await, line["ends"].as_u64().unwrap(), "{path} {line}");
                }
                if line["period"] != "week" {
                    due += line["due"].as_u64().unwrap();
                    ends += line["ends"].as_u64().unwrap();
                }
            }
            assert_eq!((due, ends), (16, 16), "each item stands on the board once");
        }
        let start = auditor.get("/").await.text;
        assert!(start.contains("2 items are past their examination day"), "{start}");
        let page = auditor.get("/due?by=kind").await.text;
        assert!(page.contains("2 items are overdue"), "{page}");
        assert!(page.contains("href=\"/items?state=in-service&amp;due=overdue&amp;kind=rope&amp;sort=due\"")
            || page.contains("href=\"/items?state=in-service&#38;due=overdue&#38;kind=rope&#38;sort=due\""), "{page}");
        let list = auditor.get("/items?state=in-service&due=2026-03-01..2026-03-08&life=&sort=due").await.text;
        assert!(list.contains("2026-03-01 to 2026-03-08"), "the bar says what the list is narrowed to: {list}");
    }

    async fn what_no_examination_is_asked_of_is_not_counted(world) {
        let given = one_rope(&world).await;
        let before = given.officer.get("/due").await;
        let radio = with(&ROPE, &[("kind", "other-equipment"), ("name", "Radio 4"), ("life_support", "")]);
        let radio: Vec<_> = radio.into_iter().filter(|(name, _)| !name.contains('[')).collect();
        let radio = model(&given.officer, &radio).await;
        item(&given.officer, &[("mark", "RA-1"), ("model", &radio), ("store", &given.store)]).await;
        let after = given.officer.get("/due").await;
        assert_eq!((before.status, after.status), (StatusCode::OK, StatusCode::OK), "{}", after.text);
        for page in [&before, &after] {
            assert!(page.text.contains("1 item in service is counted"), "{}", page.text);
        }
    }

    async fn the_file_says_the_same(world) {
        edges(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let file = auditor.get("/due.csv?by=kind").await;
        assert_eq!(file.status, StatusCode::OK, "{}", file.text);
        let mut reader = csv::Reader::from_reader(file.text.trim_start_matches('\u{feff}').as_bytes());
        let mut sums: BTreeMap<String, (u64, u64)> = BTreeMap::new();
        for row in reader.records() {
            let row = row.unwrap();
            let sum = sums.entry(row[0].to_owned()).or_default();
            sum.0 += row[5].parse::<u64>().unwrap();
            sum.1 += row[6].parse::<u64>().unwrap();
        }
        let all = ["overdue", "month", "later", "never"].map(|period| sums[period]);
        assert_eq!(all.iter().map(|sum| sum.0).sum::<u64>(), 16);
        assert_eq!(sums["overdue"].0, 2);
        for (wrong, path) in [(400, "/due?by=colour"), (400, "/due.csv?by=x"), (400, "/items?due=soon"), (400, "/items?life=soon")] {
            assert_eq!(auditor.get(path).await.status.as_u16(), wrong, "{path}");
        }
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.get("/due").await.status, StatusCode::OK);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get("/api/v1/due").await.json()["items"], 0);
    }

    async fn an_end_of_life_follows_the_model_and_the_item(world) {
        let given = one_rope(&world).await;
        // Made in 2021, which counts from 1 January; the maker's 10 years.
        let ends = async || {
            let mut tx = world.database.read(world.team).await.unwrap();
            let days = tx.ends_counted(Split::Kind).await.unwrap();
            days.into_iter().map(|one| one.day).collect::<Vec<_>>()
        };
        assert_eq!(ends().await, [Some(date!(2031 - 01 - 01))]);
        let path = format!("/models/{}", given.model);
        let fields = with(&ROPE, &[("life_years_from_made", "5"), ("revision", "1")]);
        given.officer.post(&path, &fields).await;
        assert_eq!(ends().await, [Some(date!(2026 - 01 - 01))]);
        let over = given.officer.get("/api/v1/items?life=over").await.json();
        assert_eq!(over["rows"][0]["mark"], "RL-0042", "{over}");
        assert_eq!(again(&world).await.differences, []);
        // From the first use, 2021-07-01.
        let fields = with(&ROPE, &[("life_years_from_made", ""), ("life_years_from_first_use", "6"), ("revision", "2")]);
        given.officer.post(&path, &fields).await;
        assert_eq!(ends().await, [Some(date!(2027 - 07 - 01))]);
        tamper(&world, "UPDATE model SET life_terms = ''").await;
        tamper(&world, "UPDATE item SET life_order = '~'").await;
        world.database.migrate().await.unwrap();
        assert_eq!(ends().await, [Some(date!(2027 - 07 - 01))], "an older database is brought up to date");
        assert_eq!(again(&world).await.differences, []);
        let retired = [("step", "retire"), ("reason", "cut")];
        given.officer.post(&format!("/items/{}/step", given.item), &retired).await;
        assert_eq!(ends().await, []);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_calendar_tells_ends_of_life(world) {
        let given = one_rope(&world).await;
        let fields = with(&ROPE, &[("name", "Short"), ("life_years_from_made", "6")]);
        let short = model(&given.officer, &fields).await;
        let fields = with(&rope_fields(&short, &given.store), &[("mark", "RL-6"), ("serial", "6"), ("made", "2020-06-15")]);
        item(&given.officer, &fields).await;
        let made = given.officer.post("/settings/calendars", &[]).await;
        let path = made.text.split("id=\"secret\">").nth(1).unwrap().split('<').next().unwrap();
        let feed = world.stranger().get(path).await;
        assert!(feed.text.contains("SUMMARY:Life ends: RL-6\r\n"), "{}", feed.text);
        assert!(feed.text.contains("DTSTART;VALUE=DATE:20260615\r\n"), "{}", feed.text);
        assert!(!feed.text.contains("RL-0042"), "its life ends beyond the calendar: {}", feed.text);
    }
}

#[test]
fn the_first_day_of_the_stories_is_the_day_of_the_board() {
    assert_eq!(START.date(), TODAY);
    assert_eq!(Stretch::Over.due_key(), "overdue");
}
