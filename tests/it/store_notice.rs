//! Safety notices in the store.

use ropeloft::{
    domain::{Change, NoticeClosing, NoticeId},
    store::StoreError,
};
use time::macros::date;

use crate::stock;

on_both_databases! {
    async fn notices_come_back_the_last_issued_first(world) {
        let mut notices = vec![
            stock::notice("Fjordwerk", date!(2025 - 05 - 01)),
            stock::notice("Anvil", date!(2026 - 01 - 01)),
            stock::notice("FJORDWERK ", date!(2025 - 07 - 01)),
        ];
        for notice in &notices {
            world.record(Change::NoticeOpened(notice.clone())).await;
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.notice(notices[0].id).await.unwrap().as_ref(), Some(&notices[0]));
        assert_eq!(tx.notice(NoticeId::new()).await.unwrap(), None);
        let about = tx.notices_about("fjordwerk").await.unwrap();
        assert_eq!(about, [notices[2].clone(), notices[0].clone()]);
        let first = tx.notices(None, 2).await.unwrap();
        let rest = tx.notices(first.next.as_ref(), 2).await.unwrap();
        assert_eq!(rest.next, None);
        notices.swap(0, 1);
        notices.swap(1, 2);
        assert_eq!([first.rows, rest.rows].concat(), notices);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.notice(notices[0].id).await.unwrap(), None);
        assert!(tx.notices_about("Fjordwerk").await.unwrap().is_empty());
        assert!(tx.notices(None, 9).await.unwrap().rows.is_empty());
    }

    async fn the_planned_jobs_under_a_notice_are_those_with_something_of_its_maker(world) {
        let stock = world.stock().await;
        let (job, empty) = (stock::job("With it", 9), stock::job("Without", 9));
        for one in [&job, &empty] {
            world.record(Change::JobPlanned(one.clone())).await;
        }
        world.record(Change::KitLineAdded(stock::line(&job, &stock.first, None))).await;
        let under = async |maker: Option<&str>| {
            if let Some(maker) = maker {
                world.record(Change::NoticeOpened(stock::notice(maker, date!(2025 - 05 - 01)))).await;
            }
            let mut tx = world.database.read(world.team).await.unwrap();
            let jobs = tx.jobs_under_notice(9).await.unwrap();
            jobs.into_iter().map(|job| job.id).collect::<Vec<_>>()
        };
        assert_eq!(under(None).await, []);
        assert_eq!(under(Some("Anvil")).await, []);
        // However the maker is written.
        assert_eq!(under(Some("FJORDWERK ")).await, [job.id]);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert!(tx.jobs_under_notice(9).await.unwrap().is_empty());
    }

    async fn a_notice_is_closed_once_for_each_item(world) {
        let stock = world.stock().await;
        let notice = stock::notice("Fjordwerk", date!(2025 - 05 - 01));
        world.record(Change::NoticeOpened(notice.clone())).await;
        let closing = |item| NoticeClosing { notice: notice.id, item, result: "sound".into() };
        let first = closing(stock.first.id);
        world.record(Change::NoticeClosed(first.clone())).await;
        let again = world.record_as(&world.officer, Change::NoticeClosed(first.clone())).await.unwrap_err();
        assert!(matches!(again, StoreError::Taken), "{again:?}");
        let nothing = NoticeClosing { notice: NoticeId::new(), ..first.clone() };
        let refused = world.record_as(&world.officer, Change::NoticeClosed(nothing)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
        world.record(Change::NoticeClosed(closing(stock.second.id))).await;
        let ids = [stock.first.id, stock.second.id];
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.closings_of(&ids[..1]).await.unwrap(), std::slice::from_ref(&first));
        assert_eq!(tx.closings_of(&ids).await.unwrap().len(), 2);
        assert_eq!(tx.closings_of_notice(notice.id, None, 1).await.unwrap(), [first]);
        let rest = tx.closings_of_notice(notice.id, Some(stock.first.id), 9).await.unwrap();
        assert_eq!(rest, [closing(stock.second.id)]);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert!(tx.closings_of(&ids).await.unwrap().is_empty());
        assert!(tx.closings_of_notice(notice.id, None, 9).await.unwrap().is_empty());
    }
}
