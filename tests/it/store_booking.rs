//! What holds an item when, and who gets it when two reach for it at once.

use ropeloft::{
    domain::{Actor, Change, Item, ItemId, Job, KitLine},
    store::{Database, StoreError},
};
use time::Duration;

use crate::{
    stock,
    world::{START, World},
};

async fn two_jobs(world: &World, hours: (i64, i64)) -> (Job, Job) {
    let jobs = (stock::job("first", hours.0), stock::job("second", hours.1));
    world.record(Change::JobPlanned(jobs.0.clone())).await;
    world.record(Change::JobPlanned(jobs.1.clone())).await;
    jobs
}

async fn put_on(database: Database, crew: Actor, line: KitLine) -> Result<(), StoreError> {
    let mut tx = database.write(crew.team).await?;
    tx.record(&crew, START, Change::KitLineAdded(line)).await?;
    tx.commit().await
}

/// Two crews, each at a server of its own, reach for the item for their jobs at the same moment.
async fn race(world: &World, item: &Item, jobs: (&Job, &Job)) -> [Result<(), StoreError>; 2] {
    let other_server = Database::open(&world.address).await.unwrap();
    let first = put_on(
        world.database.clone(),
        world.crew.clone(),
        stock::line(jobs.0, item, None),
    );
    let second = put_on(
        other_server,
        world.officer.clone(),
        stock::line(jobs.1, item, None),
    );
    let (first, second) = tokio::join!(tokio::spawn(first), tokio::spawn(second));
    [first.unwrap(), second.unwrap()]
}

on_both_databases! {
    async fn of_two_crews_who_reach_for_an_item_exactly_one_gets_it(world) {
        let stock = world.stock().await;
        for round in 0..10 {
            let hours = 1000 * round;
            let jobs = two_jobs(&world, (hours, hours + 1)).await;
            let ended = race(&world, &stock.first, (&jobs.0, &jobs.1)).await;
            let winner = match &ended {
                [Ok(()), Err(StoreError::Booked { by })] if *by == jobs.0.id => &jobs.0,
                [Err(StoreError::Booked { by }), Ok(())] if *by == jobs.1.id => &jobs.1,
                other => panic!("{other:?}"),
            };
            let mut tx = world.database.read(world.team).await.unwrap();
            let bookings = tx.bookings(&[stock.first.id], jobs.0.starts_at, jobs.1.ends_at).await.unwrap();
            assert_eq!(bookings.len(), 1);
            assert_eq!(bookings[0].job, winner.id);
        }
    }

    async fn jobs_that_only_touch_may_share_an_item(world) {
        let stock = world.stock().await;
        let jobs = two_jobs(&world, (4, 6)).await;
        world.record(Change::KitLineAdded(stock::line(&jobs.0, &stock.first, None))).await;
        world.record(Change::KitLineAdded(stock::line(&jobs.1, &stock.first, None))).await;
    }

    async fn a_job_is_not_moved_onto_another_that_holds_its_item(world) {
        let stock = world.stock().await;
        let jobs = two_jobs(&world, (4, 40)).await;
        world.record(Change::KitLineAdded(stock::line(&jobs.0, &stock.first, None))).await;
        world.record(Change::KitLineAdded(stock::line(&jobs.1, &stock.first, None))).await;
        let moved = Job { id: jobs.1.id, revision: 2, ..stock::job("second", 5) };
        let refused = world.record_as(&world.crew, Change::JobRevised(moved)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Booked { by } if by == jobs.0.id), "{refused:?}");
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.job(jobs.1.id).await.unwrap(), Some(jobs.1));
    }

    async fn bookings_tell_the_jobs_that_overlap(world) {
        let stock = world.stock().await;
        let jobs = two_jobs(&world, (4, 40)).await;
        let lines = [
            stock::line(&jobs.0, &stock.first, None),
            stock::line(&jobs.0, &stock.second, Some("top")),
            stock::line(&jobs.1, &stock.first, None),
        ];
        for line in &lines {
            world.record(Change::KitLineAdded(line.clone())).await;
        }
        let both = [stock.first.id, stock.second.id, ItemId::new()];
        let at = |hours| START + Duration::hours(hours);
        let mut tx = world.database.read(world.team).await.unwrap();
        let all = tx.bookings(&both, at(0), at(100)).await.unwrap();
        let told: Vec<_> = all.iter().map(|booking| (booking.line, booking.item, booking.job)).collect();
        assert_eq!(told, lines.each_ref().map(|line| (line.id, line.item, line.job)));
        assert_eq!((all[0].starts_at, all[0].ends_at), (jobs.0.starts_at, jobs.0.ends_at));
        assert_eq!(tx.bookings(&both, at(0), at(4)).await.unwrap(), []);
        assert_eq!(tx.bookings(&both, at(6), at(40)).await.unwrap(), []);
        assert_eq!(tx.bookings(&both, at(5), at(6)).await.unwrap().len(), 2);
        assert_eq!(tx.bookings(&[], at(0), at(100)).await.unwrap(), []);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.bookings(&both, at(0), at(100)).await.unwrap(), []);
    }
}
