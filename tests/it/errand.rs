//! Errands run once though several servers work them off, and none is lost.

use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex},
};

use ropeloft::{
    deed::{
        Desk,
        errand::{Failed, work_off},
    },
    domain::{
        Errand, ErrandId, ErrandKind, ErrandState, LEASE, MOST_ATTEMPTS, NewErrand, wait_after,
    },
    store::{Database, ErrandFilter},
};
use time::Duration;
use uuid::Uuid;

use crate::world::{START, World};

fn wanted(world: &World, once: &str) -> NewErrand {
    NewErrand {
        id: ErrandId::new(),
        team: world.team,
        kind: ErrandKind::Mail,
        about: world.officer.person.0,
        once: once.into(),
        payload: format!("payload of {once}"),
        due_at: START,
    }
}

async fn ask(world: &World, errand: &NewErrand) -> bool {
    let mut door = world.database.write_door().await.unwrap();
    let added = door.add_errand(errand, world.clock.now()).await.unwrap();
    door.commit().await.unwrap();
    added
}

async fn only(world: &World) -> Errand {
    let mut tx = world.database.read(world.team).await.unwrap();
    let mut page = tx.errands(ErrandFilter::default(), None, 50).await.unwrap();
    assert_eq!(page.rows.len(), 1);
    page.rows.remove(0)
}

on_both_databases! {
    async fn a_thousand_errands_run_once_each_on_three_servers(world) {
        let mut door = world.database.write_door().await.unwrap();
        for n in 0..1000 {
            assert!(door.add_errand(&wanted(&world, &n.to_string()), START).await.unwrap());
        }
        door.commit().await.unwrap();
        let ran: Arc<Mutex<BTreeMap<String, u32>>> = Arc::default();
        let server = async || {
            // Another server has connections of its own.
            let database = Database::open(&world.address).await.unwrap();
            let desk = Desk { database: database.clone(), ..world.bare_desk() };
            let ran = ran.clone();
            let run = async |errand: &Errand| {
                tokio::task::yield_now().await;
                *ran.lock().unwrap().entry(errand.once.clone()).or_default() += 1;
                Ok("sent".to_owned())
            };
            let mut worked = 0;
            loop {
                match work_off(&desk, &run).await.unwrap() {
                    0 => break,
                    some => worked += some,
                }
            }
            database.close().await;
            worked
        };
        let worked = tokio::join!(server(), server(), server());
        assert_eq!(worked.0 + worked.1 + worked.2, 1000, "{worked:?}");
        let ran = ran.lock().unwrap().clone();
        assert_eq!(ran.len(), 1000);
        assert!(ran.values().all(|times| *times == 1));
        let mut tx = world.database.read(world.team).await.unwrap();
        let done = ErrandFilter { state: Some(ErrandState::Done), about: Some(world.officer.person.0) };
        let (mut seen, mut after) = (0, None);
        loop {
            let page = tx.errands(done, after.as_ref(), 400).await.unwrap();
            seen += page.rows.len();
            match page.next {
                Some(next) => after = Some(next.to_string().parse().unwrap()),
                None => break,
            }
        }
        assert_eq!(seen, 1000);
        let nobody = ErrandFilter { about: Some(Uuid::nil()), ..ErrandFilter::default() };
        assert_eq!(tx.errands(nobody, None, 5).await.unwrap().rows, []);
    }

    async fn a_server_that_loses_a_race_takes_the_next_errands_at_once(world) {
        let mut door = world.database.write_door().await.unwrap();
        for n in 0..40 {
            assert!(door.add_errand(&wanted(&world, &n.to_string()), START).await.unwrap());
        }
        door.commit().await.unwrap();
        // One server has reached for the first sixteen and not committed yet.
        let mut quick = world.database.write_door().await.unwrap();
        let first = quick.take_up_errands(START, START + LEASE, 16).await.unwrap();
        assert_eq!(first.len(), 16);
        let slow = async {
            let database = Database::open(&world.address).await.unwrap();
            let run = async |_: &Errand| Ok("sent".to_owned());
            let desk = Desk { database: database.clone(), ..world.bare_desk() };
            let worked = work_off(&desk, &run).await.unwrap();
            database.close().await;
            worked
        };
        let commit = async {
            // By then the other waits for the rows, or for the one writer.
            tokio::time::sleep(std::time::Duration::from_millis(400)).await;
            quick.commit().await.unwrap();
        };
        let (worked, ()) = tokio::join!(slow, commit);
        assert_eq!(worked, 16, "it does not pause while others are due");
        let mut tx = world.database.read(world.team).await.unwrap();
        let done = ErrandFilter { state: Some(ErrandState::Done), about: None };
        let done = tx.errands(done, None, 50).await.unwrap().rows;
        assert!(done.len() == 16 && done.iter().all(|one| first.iter().all(|other| other.id != one.id)));
    }

    async fn what_is_asked_for_twice_is_one(world) {
        assert!(ask(&world, &wanted(&world, "week 9")).await);
        assert!(!ask(&world, &wanted(&world, "week 9")).await);
        let other = NewErrand { kind: ErrandKind::Hook, ..wanted(&world, "week 9") };
        assert!(ask(&world, &other).await, "another kind is another errand");
        let other = NewErrand { team: world.other_team, ..wanted(&world, "week 9") };
        assert!(ask(&world, &other).await, "another team has its own");
    }

    async fn what_a_dead_server_held_is_taken_up_after_its_lease(world) {
        ask(&world, &wanted(&world, "letter")).await;
        let mut door = world.database.write_door().await.unwrap();
        let held = door.take_up_errands(START, START + LEASE, 10).await.unwrap();
        door.commit().await.unwrap();
        assert_eq!(held.len(), 1);
        // Its server is gone. Another one finds nothing until the lease is over.
        let desk = world.bare_desk();
        let run = async |_: &Errand| Ok::<_, Failed>("sent by another".to_owned());
        assert_eq!(work_off(&desk, &run).await.unwrap(), 0);
        world.clock.advance(LEASE - Duration::SECOND);
        assert_eq!(work_off(&desk, &run).await.unwrap(), 0);
        world.clock.advance(Duration::SECOND);
        assert_eq!(work_off(&desk, &run).await.unwrap(), 1);
        let there = only(&world).await;
        assert_eq!((there.state, there.attempts, there.told.as_str()), (ErrandState::Done, 2, "sent by another"));
        // The first server wakes up: what it says counts no more.
        let mut door = world.database.write_door().await.unwrap();
        let now = world.clock.now();
        assert!(!door.end_errand(&held[0], ErrandState::GivenUp, "late", now).await.unwrap());
        assert!(!door.put_errand_off(&held[0], "late", now).await.unwrap());
        door.commit().await.unwrap();
        assert_eq!(only(&world).await, there);
    }

    async fn what_fails_waits_longer_each_time_and_is_given_up_at_last(world) {
        ask(&world, &wanted(&world, "letter")).await;
        let desk = world.bare_desk();
        let run = async |errand: &Errand| Err::<String, _>(Failed::now(format!("no answer, attempt {}", errand.attempts)));
        for attempt in 1..=MOST_ATTEMPTS {
            assert_eq!(work_off(&desk, &run).await.unwrap(), 1, "attempt {attempt}");
            let there = only(&world).await;
            assert_eq!(there.told, format!("no answer, attempt {attempt}"));
            assert_eq!(work_off(&desk, &run).await.unwrap(), 0, "it waits");
            if attempt < MOST_ATTEMPTS {
                let wait = there.due_at - world.clock.now();
                assert!(wait >= wait_after(attempt, 0.0) - Duration::SECOND && wait <= wait_after(attempt, 1.0), "{wait}");
                world.clock.advance(wait - Duration::SECOND);
                assert_eq!(work_off(&desk, &run).await.unwrap(), 0, "a second before its time");
                world.clock.advance(Duration::SECOND * 2);
            }
        }
        let there = only(&world).await;
        assert_eq!((there.state, there.attempts), (ErrandState::GivenUp, MOST_ATTEMPTS));
        assert_eq!(world.database.read(world.team).await.unwrap().errands_given_up().await.unwrap(), 1);
        world.clock.advance(Duration::weeks(1));
        assert_eq!(work_off(&desk, &run).await.unwrap(), 0);
        // Somebody asks for it again.
        let mut door = world.database.write_door().await.unwrap();
        assert!(!door.ask_errand_again(world.other_team, there.id, world.clock.now()).await.unwrap());
        assert!(door.ask_errand_again(world.team, there.id, world.clock.now()).await.unwrap());
        assert!(!door.ask_errand_again(world.team, there.id, world.clock.now()).await.unwrap(), "it waits already");
        door.commit().await.unwrap();
        let run = async |_: &Errand| Ok::<_, Failed>("sent".to_owned());
        assert_eq!(work_off(&desk, &run).await.unwrap(), 1);
        assert_eq!(only(&world).await.state, ErrandState::Done);
    }

    async fn what_can_never_succeed_is_given_up_at_once(world) {
        ask(&world, &wanted(&world, "letter")).await;
        let desk = world.bare_desk();
        let run = async |_: &Errand| Err::<String, _>(Failed::for_good("there is no such address"));
        work_off(&desk, &run).await.unwrap();
        let there = only(&world).await;
        assert_eq!((there.state, there.attempts), (ErrandState::GivenUp, 1));
    }

    async fn what_stops_its_server_each_time_is_given_up_too(world) {
        ask(&world, &wanted(&world, "letter")).await;
        for _ in 0..MOST_ATTEMPTS {
            let now = world.clock.now();
            let mut door = world.database.write_door().await.unwrap();
            assert_eq!(door.take_up_errands(now, now + LEASE, 1).await.unwrap().len(), 1);
            door.commit().await.unwrap();
            world.clock.advance(LEASE);
        }
        let now = world.clock.now();
        let mut door = world.database.write_door().await.unwrap();
        assert_eq!(door.take_up_errands(now, now + LEASE, 1).await.unwrap(), []);
        door.commit().await.unwrap();
        assert_eq!(only(&world).await.state, ErrandState::GivenUp);
    }
}
