//! Jobs and kit lists in the store.

use ropeloft::{
    domain::{
        Change, Job, JobEnd, JobId, JobState, KitLine, KitLineId, KitLineRemoved, NotAllowed,
    },
    store::{Direction, JobFilter, StoreError},
};
use time::Duration;

use crate::{
    stock,
    world::{START, World},
};

fn end(job: &Job, state: JobState) -> Change {
    Change::JobEnded(JobEnd {
        job: job.id,
        state,
        reason: "done".into(),
    })
}

fn removed(line: &KitLine) -> Change {
    Change::KitLineRemoved(KitLineRemoved {
        line: line.id,
        job: line.job,
        item: line.item,
        reason: "not needed".into(),
    })
}

async fn titles(world: &World, filter: JobFilter, direction: Direction) -> String {
    let mut tx = world.database.read(world.team).await.unwrap();
    let (mut seen, mut after) = (Vec::new(), None);
    loop {
        let page = tx.jobs(filter, direction, after.as_ref(), 1).await.unwrap();
        seen.extend(page.rows.into_iter().map(|job| job.title));
        let Some(next) = page.next else {
            return seen.join(", ");
        };
        after = Some(next.to_string().parse().unwrap());
    }
}

on_both_databases! {
    async fn a_job_comes_back_as_it_went_in(world) {
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.job(job.id).await.unwrap(), Some(job.clone()));
        assert_eq!(tx.job(JobId::new()).await.unwrap(), None);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.job(job.id).await.unwrap(), None);
        assert!(tx.kit(job.id).await.unwrap().is_empty());
    }

    async fn jobs_are_listed_by_when_they_start(world) {
        let jobs = [("late", 48), ("past", -50), ("soon", 1), ("also soon", 1), ("over", 90)];
        for (title, hours) in jobs {
            world.record(Change::JobPlanned(stock::job(title, hours))).await;
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        let all = tx.jobs(JobFilter::default(), Direction::Down, None, 50).await.unwrap();
        drop(tx);
        let over = all.rows.iter().find(|job| job.title == "over").unwrap();
        world.record(end(over, JobState::Cancelled)).await;
        let everything = JobFilter::default();
        assert_eq!(titles(&world, everything, Direction::Up).await, "past, soon, also soon, late, over");
        assert_eq!(titles(&world, everything, Direction::Down).await, "over, late, also soon, soon, past");
        let planned = JobFilter { state: Some(JobState::Planned), ends_after: Some(START), ..JobFilter::default() };
        assert_eq!(titles(&world, planned, Direction::Up).await, "soon, also soon, late");
        let before = JobFilter { starts_before: Some(START), ..JobFilter::default() };
        assert_eq!(titles(&world, before, Direction::Up).await, "past");
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert!(tx.jobs(everything, Direction::Up, None, 9).await.unwrap().rows.is_empty());
    }

    async fn an_older_edit_of_a_job_is_refused(world) {
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let edit = Job { revision: 2, title: "Shaft 4".into(), ..job.clone() };
        world.record(Change::JobRevised(edit.clone())).await;
        let refused = world.record_as(&world.crew, Change::JobRevised(edit)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "job" }), "{refused:?}");
    }

    async fn a_job_ends_once_and_takes_no_more_kit(world) {
        let stock = world.stock().await;
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        world.record(Change::KitLineAdded(stock::line(&job, &stock.first, None))).await;
        world.record(end(&job, JobState::Closed)).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let ended = tx.job(job.id).await.unwrap().unwrap();
        assert_eq!((ended.state, ended.revision), (JobState::Closed, 2));
        assert_eq!(tx.kit(job.id).await.unwrap().len(), 1);
        drop(tx);
        let more = Change::KitLineAdded(stock::line(&job, &stock.second, None));
        for change in [end(&job, JobState::Cancelled), more] {
            let refused = world.record_as(&world.crew, change).await.unwrap_err();
            assert!(matches!(refused, StoreError::Refused(NotAllowed::JobEnded)), "{refused:?}");
        }
    }

    async fn kit_is_put_on_and_taken_off(world) {
        let stock = world.stock().await;
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let (first, second) = (stock::line(&job, &stock.first, Some("top")), stock::line(&job, &stock.second, None));
        world.record(Change::KitLineAdded(first.clone())).await;
        world.record(Change::KitLineAdded(second.clone())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.kit(job.id).await.unwrap(), [first.clone(), second.clone()]);
        assert_eq!(tx.kit_line(first.id).await.unwrap(), Some(first.clone()));
        assert_eq!(tx.kit_line(KitLineId::new()).await.unwrap(), None);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.kit_line(first.id).await.unwrap(), None);
        drop(tx);
        world.record(removed(&first)).await;
        let again = world.record_as(&world.crew, removed(&first)).await.unwrap_err();
        assert!(matches!(again, StoreError::Stale { table: "kit_line" }), "{again:?}");
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.kit(job.id).await.unwrap(), [second]);
    }

    async fn an_item_is_on_a_job_once_and_a_position_holds_one_item(world) {
        let stock = world.stock().await;
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        world.record(Change::KitLineAdded(stock::line(&job, &stock.first, Some("top")))).await;
        for line in [stock::line(&job, &stock.first, None), stock::line(&job, &stock.second, Some("top"))] {
            let refused = world.record_as(&world.crew, Change::KitLineAdded(line)).await.unwrap_err();
            assert!(matches!(refused, StoreError::Taken), "{refused:?}");
        }
    }

    async fn a_moved_job_moves_its_kit_and_an_ended_one_frees_it(world) {
        let stock = world.stock().await;
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        world.record(Change::KitLineAdded(stock::line(&job, &stock.first, None))).await;
        let held = async |hours| {
            let mut tx = world.database.read(world.team).await.unwrap();
            let from = START + Duration::hours(hours);
            let bookings = tx.bookings(&[stock.first.id], from, from + Duration::HOUR).await.unwrap();
            bookings.len()
        };
        assert_eq!((held(4).await, held(40).await), (1, 0));
        let moved = Job { id: job.id, revision: 2, ..stock::job("Shaft 3", 40) };
        world.record(Change::JobRevised(moved)).await;
        assert_eq!((held(4).await, held(40).await), (0, 1));
        world.record(end(&job, JobState::Cancelled)).await;
        assert_eq!(held(40).await, 0);
    }
}
