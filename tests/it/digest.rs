//! The digest: who gets it, when, what it says, and that it comes once.

use std::path::Path;

use axum::http::StatusCode;
use ropeloft::{
    deed::{
        Desk, digest,
        errand::{Failed, work_off},
    },
    domain::{Errand, ErrandState},
    outgoing::mail::{Mailer, is_address},
    store::{Database, ErrandFilter},
};
use time::Duration;

use crate::{
    client::Client,
    item_given::{ROPE, examine, item, model, one_rope, rope_fields, with},
    world::World,
};

#[test]
fn an_address_is_one_that_letters_can_be_sent_to() {
    for good in ["name@example.org", "a.b+c@sub.example.org"] {
        assert!(is_address(good), "{good}");
    }
    for wrong in [
        "",
        "name",
        "name@",
        "@example.org",
        "a b@example.org",
        "a@b@c",
        "name@example.org\r\nBcc: x@y.org",
        "<a@b.org>",
    ] {
        assert!(!is_address(wrong), "{wrong}");
    }
}

#[test]
fn a_way_for_letters_that_cannot_be_used_is_told_without_its_secret() {
    let folder = tempfile::tempdir().unwrap();
    let way = format!("file:{}/letters", folder.path().display());
    assert!(Mailer::new(&way, "Gear store <gear@example.org>").is_ok());
    assert!(
        Mailer::new(&way, "nobody")
            .err()
            .unwrap()
            .contains("sender")
    );
    let wrong = Mailer::new("smtps://me:swordfish@", "gear@example.org")
        .err()
        .unwrap();
    assert!(!wrong.contains("swordfish"), "{wrong}");
}

/// One look of a server at what is to be sent, into this folder.
pub async fn work(world: &World, folder: &Path, house: Option<&str>) -> usize {
    // Another server has connections of its own.
    let database = Database::open(&world.address).await.unwrap();
    let desk = Desk {
        database: database.clone(),
        ..world.bare_desk()
    };
    let mailer = Mailer::new(
        &format!("file:{}", folder.display()),
        "Gear store <gear@example.org>",
    )
    .unwrap();
    digest::prepare(&desk).await.unwrap();
    let run = async |errand: &Errand| digest::send(&desk, errand, Some(&mailer), house).await;
    let worked = work_off(&desk, &run).await.unwrap();
    database.close().await;
    worked
}

/// The letters in a folder, as they stand in their files.
pub fn letters(folder: &Path) -> Vec<String> {
    let files = std::fs::read_dir(folder).unwrap();
    files
        .map(|file| std::fs::read_to_string(file.unwrap().path()).unwrap())
        .map(|text| {
            text.replace("=\r\n", "")
                .replace("=3D", "=")
                .replace("\r\n", "\n")
        })
        .collect()
}

/// The code in a letter that asks for an address: 64 digits in hexadecimal.
pub fn code_in(letter: &str) -> String {
    let is_code = |word: &&str| word.len() == 64 && word.chars().all(|c| c.is_ascii_hexdigit());
    let mut words = letter.split(|c: char| !c.is_ascii_alphanumeric());
    words
        .find(is_code)
        .unwrap_or_else(|| panic!("no code in {letter}"))
        .to_owned()
}

/// Chooses, and confirms the address by the letter that asks.
async fn choose_proved(world: &World, client: &Client, fields: &[(&str, &str)]) {
    choose(client, fields).await;
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(work(world, folder.path(), None).await, 1);
    let code = code_in(&letters(folder.path())[0]);
    let done = client
        .post("/settings/letters/confirm", &[("code", &code)])
        .await;
    assert_eq!(done.location(), "/settings/letters", "{}", done.text);
}

pub async fn choose(client: &Client, fields: &[(&str, &str)]) -> StatusCode {
    let fields = with(
        &[
            ("address", "officer@example.org"),
            ("every", "week"),
            ("weekday", "1"),
            ("monthday", "1"),
        ],
        fields,
    );
    let answer = client.post("/settings/letters", &fields).await;
    assert_eq!(answer.location(), "/settings/letters", "{}", answer.text);
    answer.status
}

pub async fn errands(world: &World) -> Vec<Errand> {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.errands(ErrandFilter::default(), None, 50)
        .await
        .unwrap()
        .rows
}

on_both_databases! {
    async fn a_letter_comes_once_a_week_though_two_servers_look(world) {
        let folder = tempfile::tempdir().unwrap();
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "intake"), ("on", "2026-01-10"), ("verdict", "fit"), ("next_due_on", "2026-02-20")]).await;
        let soon = with(&rope_fields(&given.model, &given.store), &[("mark", "RL<2>"), ("serial", "2")]);
        let soon = item(&given.officer, &soon).await;
        examine(&given.officer, &soon, &[("kind", "intake"), ("on", "2026-01-10"), ("verdict", "fit"), ("next_due_on", "2026-03-05")]).await;
        choose_proved(&world, &given.officer, &[]).await;
        // It is Sunday, 1 March 2026, half past nine; the letter comes on Mondays from six on.
        assert_eq!(work(&world, folder.path(), None).await, 0);
        world.clock.advance(Duration::hours(20));
        assert_eq!(work(&world, folder.path(), None).await, 0, "half past five on Monday");
        world.clock.advance(Duration::minutes(30));
        let house = Some("https://gear.example.org");
        let (one, other) = tokio::join!(work(&world, folder.path(), house), work(&world, folder.path(), house));
        assert_eq!(one + other, 1, "{one} and {other}");
        assert_eq!(work(&world, folder.path(), house).await, 0);
        let all = letters(folder.path());
        assert_eq!(all.len(), 1);
        let letter = &all[0];
        for said in ["From: \"Gear store\" <gear@example.org>", "officer@example.org", "Subject: North shaft team: 1 item is overdue, 1 falls",
            "1 item is past its examination day", "RL-0042, Tarn & Fell Line 11, Bay 1: was due on 2026-02-20",
            "https://gear.example.org/items/", "text/plain", "text/html", "RL&lt;2&gt;", "1 item falls due soon",
            "List-Unsubscribe: <https://gear.example.org/settings/letters>", "Message-ID: <"] {
            assert!(letter.contains(said), "{said} is missing: {letter}");
        }
        world.clock.advance(Duration::days(6));
        assert_eq!(work(&world, folder.path(), house).await, 0);
        world.clock.advance(Duration::days(1));
        assert_eq!(work(&world, folder.path(), None).await, 1);
        let second = letters(folder.path());
        assert_eq!(second.len(), 2);
        let unlinked = second.iter().find(|text| !text.contains("gear.example.org/")).expect("nothing is linked without an address");
        assert!(unlinked.contains("2 items are past their examination day"), "{unlinked}");
        // A server that was off for a month sends one letter, not four.
        world.clock.advance(Duration::weeks(4));
        assert_eq!(work(&world, folder.path(), None).await, 1);
    }

    async fn nothing_is_sent_where_there_is_nothing_to_say_unless_it_was_chosen(world) {
        let folder = tempfile::tempdir().unwrap();
        let officer = world.visitor(&world.officer).await;
        choose_proved(&world, &officer, &[("every", "month"), ("monthday", "2")]).await;
        world.clock.advance(Duration::days(1));
        assert_eq!(work(&world, folder.path(), None).await, 1);
        assert_eq!(errands(&world).await[0].told, "There was nothing to say, so nothing was sent.");
        assert!(letters(folder.path()).is_empty());
        assert_eq!(choose(&officer, &[("every", "month"), ("monthday", "2"), ("when_quiet", "yes")]).await, StatusCode::SEE_OTHER);
        world.clock.advance(Duration::days(31));
        assert_eq!(work(&world, folder.path(), None).await, 1);
        let all = letters(folder.path());
        assert!(all[0].contains("Nothing is overdue; nothing falls due within 31 days"), "{}", all[0]);
        // A session does not last that long.
        let officer = world.visitor(&world.officer).await;
        assert_eq!(choose(&officer, &[("every", "never"), ("address", "")]).await, StatusCode::SEE_OTHER);
        let page = officer.get("/settings/letters").await.text;
        assert!(page.contains("This server sends no letters yet"), "{page}");
        world.clock.advance(Duration::days(60));
        assert_eq!(work(&world, folder.path(), None).await, 0);
    }

    async fn what_was_never_examined_stands_in_the_subject(world) {
        let folder = tempfile::tempdir().unwrap();
        let given = one_rope(&world).await;
        choose_proved(&world, &given.officer, &[]).await;
        world.clock.advance(Duration::days(7));
        assert_eq!(work(&world, folder.path(), None).await, 1);
        let letter = &letters(folder.path())[0];
        let one = letter.replace("\r\n ", " ").replace("=\r\n", "");
        assert!(one.contains("Nothing is overdue, but 1 item never passed an examination; nothing falls due within 7 days"), "{letter}");
        assert!(!one.contains("Subject: North shaft team: Nothing is overdue; "), "{letter}");
    }

    async fn of_a_life_that_is_over_a_letter_says_that_it_has_ended(world) {
        let given = one_rope(&world).await;
        let folder = tempfile::tempdir().unwrap();
        let short = model(&given.officer, &with(&ROPE, &[("name", "Line 9"), ("life_years_from_made", "5")])).await;
        let fields = with(&rope_fields(&short, &given.store), &[("mark", "RL-9"), ("serial", "S-9")]);
        let old = item(&given.officer, &fields).await;
        examine(&given.officer, &old, &[("kind", "intake"), ("on", "2026-01-10"), ("verdict", "fit"), ("next_due_on", "2026-02-20")]).await;
        choose_proved(&world, &given.officer, &[]).await;
        world.clock.advance(Duration::days(8));
        work(&world, folder.path(), Some("https://ropes.example")).await;
        let all = letters(folder.path()).join("\n").replace("=\r\n", "");
        // Made in 2021, and five years are over on 1 January 2026.
        assert!(all.contains("life ended 2026-01-01"), "{all}");
        assert!(!all.contains("life ends 2026-01-01"), "{all}");
    }

    async fn what_is_typed_wrong_is_told_and_stays(world) {
        let officer = world.visitor(&world.officer).await;
        for (fields, field) in [
            (vec![("address", "nobody at all")], "address"),
            (vec![("address", "")], "address"),
            (vec![("weekday", "8")], "weekday"),
            (vec![("every", "month"), ("monthday", "31")], "monthday"),
            (vec![("every", "daily")], "every"),
        ] {
            let fields = with(&[("address", "a@example.org"), ("every", "week"), ("weekday", "1"), ("monthday", "1")], &fields);
            let wrong = officer.post("/settings/letters", &fields).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
            assert!(wrong.text.contains(&format!("href=\"#f-{field}\"")), "{field}: {}", wrong.text);
        }
        assert!(errands(&world).await.is_empty());
    }

    async fn without_a_way_for_letters_it_is_said_what_did_not_go_out(world) {
        let given = one_rope(&world).await;
        choose_proved(&world, &given.officer, &[("weekday", "7")]).await;
        let desk = world.bare_desk();
        digest::prepare(&desk).await.unwrap();
        let run = async |errand: &Errand| digest::send(&desk, errand, None, None).await;
        assert_eq!(work_off(&desk, &run).await.unwrap(), 1);
        let there = errands(&world).await.remove(0);
        assert_eq!(there.state, ErrandState::Waiting);
        let admin = world.visitor(&world.admin).await;
        let page = admin.get("/team/outgoing").await.text;
        assert!(page.contains("ROPELOFT_SMTP_URL is not set") && page.contains("Letter to The equipment officer"), "{page}");
        let gone = async |_: &Errand| Err::<String, _>(Failed::for_good("no"));
        world.clock.advance(Duration::hours(1));
        work_off(&desk, &gone).await.unwrap();
        let page = admin.get("/team/outgoing").await.text;
        assert!(page.contains("1 did not go out and was given up"), "{page}");
    }
}
