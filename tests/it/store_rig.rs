//! The team's own rigs, in the store.

use ropeloft::{
    domain::{Change, OwnRig, RigId, RigOffer},
    rigging::shipped_rig,
    store::{KeptRig, StoreError},
};

use crate::world::START;

/// A rig of the team's own: the shipped 2:1 under another key.
pub fn own_rig(key: &str, title: &str) -> OwnRig {
    let mut sheet = shipped_rig("two-to-one").unwrap().sheet();
    key.clone_into(&mut sheet.key);
    title.clone_into(&mut sheet.title);
    OwnRig {
        id: RigId::new(),
        revision: 1,
        key: key.to_owned(),
        title: title.to_owned(),
        sheet: sheet.to_toml(),
        note: "first written".to_owned(),
    }
}

/// Its next version under another title.
pub fn next(rig: &OwnRig, title: &str) -> OwnRig {
    let sheet = rig.sheet.replace(&rig.title, title);
    OwnRig {
        revision: rig.revision + 1,
        title: title.to_owned(),
        sheet,
        note: format!("now {title}"),
        ..rig.clone()
    }
}

fn withdrawn(rig: &OwnRig) -> Change {
    Change::RigWithdrawn(RigOffer {
        rig: rig.id,
        title: rig.title.clone(),
        reason: "the pulley is gone".to_owned(),
    })
}

on_both_databases! {
    async fn a_rig_keeps_every_version_with_who_wrote_it_when(world) {
        let first = own_rig("our-lift", "Our lift");
        let second = next(&first, "Our better lift");
        world.record_as(&world.officer, Change::RigAdded(first.clone())).await.unwrap();
        world.record(Change::RigRevised(second.clone())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let kept = KeptRig { rig: second.clone(), withdrawn: false };
        assert_eq!(tx.rig(first.id).await.unwrap(), Some(kept.clone()));
        assert_eq!(tx.rig_of_key("our-lift").await.unwrap(), Some(kept.clone()));
        assert_eq!(tx.rig_of_key("our-lift\0").await.unwrap(), Some(kept.clone()));
        assert_eq!(tx.rigs().await.unwrap(), [kept]);
        assert_eq!(tx.rig_version("our-lift", 1).await.unwrap(), Some(first.clone()));
        assert_eq!(tx.rig_version("our-lift", 2).await.unwrap(), Some(second.clone()));
        assert_eq!(tx.rig_version("our-lift", 3).await.unwrap(), None);
        let versions = tx.rig_versions(first.id).await.unwrap();
        let told: Vec<_> = versions.iter().map(|of| (of.rig.clone(), of.by, of.at)).collect();
        let by = [world.admin.person, world.officer.person];
        assert_eq!(told, [(second, by[0], START), (first, by[1], START)]);
    }

    async fn another_team_finds_none_of_it_and_may_have_the_key_itself(world) {
        let rig = own_rig("our-lift", "Our lift");
        world.record(Change::RigAdded(rig.clone())).await;
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.rig(rig.id).await.unwrap(), None);
        assert_eq!(tx.rig_of_key("our-lift").await.unwrap(), None);
        assert_eq!(tx.rig_version("our-lift", 1).await.unwrap(), None);
        assert_eq!(tx.rig_versions(rig.id).await.unwrap(), []);
        assert_eq!(tx.rigs().await.unwrap(), []);
        drop(tx);
        let theirs = Change::RigAdded(own_rig("our-lift", "Theirs"));
        world.record_as(&world.outsider, theirs).await.unwrap();
    }

    async fn a_key_is_taken_once_in_a_team_withdrawn_or_not(world) {
        let rig = own_rig("our-lift", "Our lift");
        world.record(Change::RigAdded(rig.clone())).await;
        let again = Change::RigAdded(own_rig("our-lift", "Another"));
        let refused = world.record_as(&world.officer, again.clone()).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
        world.record(withdrawn(&rig)).await;
        let refused = world.record_as(&world.officer, again).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
    }

    async fn a_stale_or_withdrawn_rig_is_not_changed(world) {
        let first = own_rig("our-lift", "Our lift");
        world.record(Change::RigAdded(first.clone())).await;
        let second = next(&first, "Our better lift");
        world.record(Change::RigRevised(second.clone())).await;
        let other_key = OwnRig { key: "other".to_owned(), ..next(&second, "Third") };
        for change in [Change::RigRevised(second.clone()), Change::RigRevised(other_key)] {
            let refused = world.record_as(&world.officer, change).await.unwrap_err();
            assert!(matches!(refused, StoreError::Stale { table: "rig" }), "{refused:?}");
        }
        world.record(withdrawn(&second)).await;
        for change in [Change::RigRevised(next(&second, "Third")), withdrawn(&second)] {
            let refused = world.record_as(&world.officer, change).await.unwrap_err();
            assert!(matches!(refused, StoreError::Stale { table: "rig" }), "{refused:?}");
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        let kept = tx.rig(first.id).await.unwrap().unwrap();
        assert!(kept.withdrawn);
        assert_eq!(kept.rig, second);
        assert_eq!(tx.rig_version("our-lift", 1).await.unwrap(), Some(first));
    }
}
