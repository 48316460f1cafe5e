//! Tags in the store.

use ropeloft::{
    domain::{
        Change, ItemId, TagId,
        tag::{OwnCode, Tag, TagDraft, TagRemoved},
    },
    store::StoreError,
};

fn tag(item: ItemId, text: &str) -> Tag {
    let text = text.to_owned();
    TagDraft { text }.check(TagId::new(), item).unwrap()
}

on_both_databases! {
    async fn tags_come_back_by_item_by_key_and_by_product(world) {
        let stock = world.stock().await;
        let (first, second) = (stock.first.id, stock.second.id);
        let serial = tag(first, "(01)09521234543213(21)A-1");
        let own = Tag::own(TagId::new(), first, OwnCode::from_random(77));
        let other = tag(second, "(8004)95212345");
        for one in [&serial, &own, &other] {
            world.record(Change::TagAdded(one.clone())).await;
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.tag(own.id).await.unwrap(), Some(own.clone()));
        assert_eq!(tx.tags(first).await.unwrap(), [serial.clone(), own.clone()]);
        let all = tx.tags_of(&[first, second, ItemId::new()]).await.unwrap();
        assert_eq!(all, [serial.clone(), own, other]);
        assert_eq!(tx.tags_of(&[]).await.unwrap(), []);
        assert_eq!(tx.tag_of_key(&serial.key).await.unwrap(), Some(serial.clone()));
        assert_eq!(tx.tag_of_key("text:\0").await.unwrap(), None);
        assert_eq!(tx.tag_of_product("09521234543213").await.unwrap(), Some(serial));
        assert_eq!(tx.tag_of_product("0952123454321").await.unwrap(), None);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.tags(first).await.unwrap(), []);
        assert_eq!(tx.tag_of_product("09521234543213").await.unwrap(), None);
    }

    async fn a_key_is_taken_once_and_free_again_when_its_tag_is_off(world) {
        let stock = world.stock().await;
        let (first, second) = (stock.first.id, stock.second.id);
        let there = tag(first, "MRN 7");
        world.record(Change::TagAdded(there.clone())).await;
        let again = Change::TagAdded(tag(second, " MRN 7\r\n"));
        let refused = world.record_as(&world.officer, again.clone()).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
        let lost = Change::TagAdded(tag(ItemId::new(), "MRN 8"));
        let refused = world.record_as(&world.officer, lost).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
        let off = |item| {
            Change::TagRemoved(TagRemoved {
                tag: there.id,
                item,
                text: there.text.clone(),
                reason: "worn off".to_owned(),
            })
        };
        let refused = world.record_as(&world.officer, off(second)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "tag" }), "{refused:?}");
        world.record(off(first)).await;
        world.record(again).await;
    }
}
