//! Examinations and events in the store.

use ropeloft::{
    domain::{
        Change, Event, EventId, Examination, ExaminationId, ExaminationKind, ItemId, Verdict,
    },
    store::StoreError,
};
use time::{Date, macros::date};

use crate::stock;

on_both_databases! {
    async fn examinations_come_back_the_last_done_first(world) {
        let stock = world.stock().await;
        let mut done = Vec::new();
        // The second and third are of one day; the last to be recorded was done first of all.
        for on in [date!(2026 - 01 - 10), date!(2026 - 02 - 10), date!(2026 - 02 - 10), date!(2025 - 12 - 10)] {
            let examination = stock::examination(&world, &stock.first, on);
            world.record(Change::ExaminationRecorded(examination.clone())).await;
            done.push(examination);
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        let all = tx.examinations(stock.first.id, Date::MAX, 10).await.unwrap();
        let expected = [&done[2], &done[1], &done[0], &done[3]].map(Examination::clone);
        assert_eq!(all, expected);
        let until = tx.examinations(stock.first.id, date!(2026 - 01 - 31), 1).await.unwrap();
        assert_eq!(until, [done[0].clone()]);
        assert_eq!(tx.last_examination(stock.first.id).await.unwrap().as_ref(), Some(&done[2]));
        assert_eq!(tx.last_examination(stock.second.id).await.unwrap(), None);
        assert_eq!(tx.examination(done[0].id).await.unwrap().as_ref(), Some(&done[0]));
        assert_eq!(tx.examination(ExaminationId::new()).await.unwrap(), None);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.examination(done[0].id).await.unwrap(), None);
        assert!(tx.examinations(stock.first.id, Date::MAX, 10).await.unwrap().is_empty());
        assert_eq!(tx.last_examination(stock.first.id).await.unwrap(), None);
    }

    async fn only_a_passed_intake_counts_as_one(world) {
        let stock = world.stock().await;
        let on = date!(2026 - 01 - 10);
        let periodic = Examination { kind: ExaminationKind::Periodic, ..stock::examination(&world, &stock.first, on) };
        let failed = Examination {
            verdict: Verdict::Quarantine,
            next_due_on: None,
            findings: "worn".into(),
            ..stock::examination(&world, &stock.first, on)
        };
        world.record(Change::ExaminationRecorded(periodic)).await;
        world.record(Change::ExaminationRecorded(failed)).await;
        world.record(Change::ExaminationRecorded(stock::examination(&world, &stock.second, on))).await;
        let ids = [stock.first.id, stock.second.id, ItemId::new()];
        let mut tx = world.database.read(world.team).await.unwrap();
        let passed = tx.intake_passed(&ids).await.unwrap();
        assert_eq!(passed.into_iter().collect::<Vec<_>>(), [stock.second.id]);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert!(tx.intake_passed(&ids).await.unwrap().is_empty());
    }

    async fn the_same_examination_is_not_recorded_twice(world) {
        let stock = world.stock().await;
        let examination = stock::examination(&world, &stock.first, date!(2026 - 01 - 10));
        world.record(Change::ExaminationRecorded(examination.clone())).await;
        let again = Change::ExaminationRecorded(examination);
        let refused = world.record_as(&world.officer, again).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
    }

    async fn events_come_back_the_last_first(world) {
        let stock = world.stock().await;
        let mut happened: Vec<Event> = Vec::new();
        for on in [date!(2026 - 02 - 01), date!(2026 - 01 - 01), date!(2026 - 02 - 01)] {
            let event = stock::event(&world, &stock.first, on);
            world.record(Change::EventReported(event.clone())).await;
            happened.push(event);
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        let expected = [&happened[2], &happened[0], &happened[1]].map(Event::clone);
        assert_eq!(tx.events(stock.first.id, 10).await.unwrap(), expected);
        assert_eq!(tx.events(stock.first.id, 1).await.unwrap(), expected[..1]);
        assert_eq!(tx.event(happened[1].id).await.unwrap().as_ref(), Some(&happened[1]));
        assert_eq!(tx.event(EventId::new()).await.unwrap(), None);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.event(happened[1].id).await.unwrap(), None);
        assert!(tx.events(stock.first.id, 10).await.unwrap().is_empty());
    }
}
