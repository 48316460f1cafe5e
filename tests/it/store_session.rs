//! Sessions and sign-in attempts in the store.

use ropeloft::{
    domain::{Change, PersonId},
    store::StoreError,
};
use time::Duration;
use uuid::Uuid;

use crate::world::START;

const HOUR: Duration = Duration::hours(1);

on_both_databases! {
    async fn a_session_tells_who_is_signed_in_until_it_ends(world) {
        let who = (world.team, world.crew.person);
        let mut door = world.database.write_door().await.unwrap();
        door.add_session(&[7; 32], who, (START, START + HOUR), "").await.unwrap();
        door.commit().await.unwrap();
        let mut door = world.database.door().await.unwrap();
        let signed = door.visit(&[7; 32], START).await.unwrap().unwrap().signed;
        assert_eq!(signed.actor, world.crew);
        assert_eq!(signed.person.id, who.1);
        assert_eq!(door.visit(&[8; 32], START).await.unwrap(), None);
        let last = START + HOUR - Duration::SECOND;
        assert!(door.visit(&[7; 32], last).await.unwrap().is_some());
        assert_eq!(door.visit(&[7; 32], START + HOUR).await.unwrap(), None);
    }

    async fn a_person_who_may_no_longer_sign_in_has_no_session(world) {
        let who = (world.team, world.crew.person);
        let mut door = world.database.write_door().await.unwrap();
        door.add_session(&[7; 32], who, (START, START + HOUR), "").await.unwrap();
        door.commit().await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut person = tx.person(who.1).await.unwrap().unwrap();
        drop(tx);
        person.active = false;
        world.record(Change::PersonRevised(person)).await;
        let mut door = world.database.door().await.unwrap();
        assert_eq!(door.visit(&[7; 32], START).await.unwrap(), None);
    }

    async fn sessions_are_ended_one_by_one_or_all_of_a_person(world) {
        let who = (world.team, world.crew.person);
        let other = (world.team, world.officer.person);
        let mut door = world.database.write_door().await.unwrap();
        for (hash, who) in [(1, who), (2, who), (3, who), (4, other)] {
            door.add_session(&[hash; 32], who, (START, START + HOUR), "").await.unwrap();
        }
        door.end_session(&[1; 32]).await.unwrap();
        assert_eq!(door.visit(&[1; 32], START).await.unwrap(), None);
        assert!(door.visit(&[2; 32], START).await.unwrap().is_some());
        assert_eq!(door.end_sessions_of(who.0, who.1).await.unwrap(), 2);
        assert_eq!(door.visit(&[3; 32], START).await.unwrap(), None);
        assert!(door.visit(&[4; 32], START).await.unwrap().is_some());
    }

    async fn nobody_has_no_session(world) {
        let mut door = world.database.write_door().await.unwrap();
        let who = (world.team, PersonId::new());
        let refused = door.add_session(&[7; 32], who, (START, START + HOUR), "").await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
    }

    async fn failed_attempts_are_counted_by_name_and_by_address(world) {
        let mut door = world.database.write_door().await.unwrap();
        door.note_failed_sign_in("crew-north", "10.0.0.1", START - HOUR).await.unwrap();
        door.note_failed_sign_in("crew-north", "10.0.0.1", START).await.unwrap();
        door.note_failed_sign_in("crew-north", "10.0.0.2", START).await.unwrap();
        door.note_failed_sign_in("o\0ther", "10.0.0.1", START).await.unwrap();
        let since = START - Duration::minutes(15);
        let counts = door.failed_sign_ins("crew-north", "10.0.0.1", since).await.unwrap();
        assert_eq!(counts, (2, 2));
        door.forget_failed_sign_ins("crew-north").await.unwrap();
        let counts = door.failed_sign_ins("crew-north", "10.0.0.1", since).await.unwrap();
        assert_eq!(counts, (0, 1));
        assert_eq!(door.failed_sign_ins("other", "", since).await.unwrap(), (1, 0));
    }

    async fn the_sweep_takes_what_has_ended_and_nothing_else(world) {
        let who = (world.team, world.crew.person);
        let mut tx = world.database.write(world.team).await.unwrap();
        crate::store_waiting::keep_posted(&mut tx, "old", &crate::store_waiting::posted(START - HOUR)).await.unwrap();
        crate::store_waiting::keep_posted(&mut tx, "new", &crate::store_waiting::posted(START)).await.unwrap();
        let (old, new) = (Uuid::now_v7(), Uuid::now_v7());
        tx.keep_import_draft(&crate::store_waiting::draft(old, who.1, START - HOUR)).await.unwrap();
        tx.keep_import_draft(&crate::store_waiting::draft(new, who.1, START)).await.unwrap();
        tx.commit().await.unwrap();
        let mut door = world.database.write_door().await.unwrap();
        door.add_session(&[1; 32], who, (START - HOUR, START), "").await.unwrap();
        door.add_session(&[2; 32], who, (START - HOUR, START + HOUR), "").await.unwrap();
        door.note_failed_sign_in("crew-north", "10.0.0.1", START - HOUR).await.unwrap();
        door.note_failed_sign_in("crew-north", "10.0.0.1", START).await.unwrap();
        assert_eq!(door.sweep(START, START).await.unwrap(), 4);
        door.commit().await.unwrap();
        let mut door = world.database.door().await.unwrap();
        assert!(door.visit(&[2; 32], START).await.unwrap().is_some());
        assert_eq!(door.failed_sign_ins("crew-north", "", START - HOUR).await.unwrap(), (1, 0));
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.posted("old").await.unwrap(), None);
        assert!(tx.posted("new").await.unwrap().is_some());
        assert_eq!(tx.import_draft(old).await.unwrap(), None);
        assert!(tx.import_draft(new).await.unwrap().is_some());
    }
}
