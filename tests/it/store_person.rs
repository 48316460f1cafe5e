//! People, passwords and preferences in the store.

use ropeloft::{
    domain::{Change, PersonId, Preference, Role, Theme, Units},
    store::StoreError,
};

use crate::world::{START, person};

on_both_databases! {
    async fn a_person_comes_back_as_they_went_in(world) {
        let mut one = person(Role::Auditor, "bench");
        one.name = "Ægir O'Rope; \"x\" <b>".into();
        world.record(Change::PersonAdded(one.clone())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.person(one.id).await.unwrap(), Some(one.clone()));
        assert!(tx.people().await.unwrap().contains(&one));
        drop(tx);
        let mut door = world.database.door().await.unwrap();
        let found = door.person_by_sign_in(&one.sign_in).await.unwrap();
        assert_eq!(found, Some((world.team, one)));
        assert_eq!(door.person_by_sign_in("nobody").await.unwrap(), None);
        assert_eq!(door.person_by_sign_in("no\0body").await.unwrap(), None);
    }

    async fn a_person_may_change(world) {
        let mut one = person(Role::Crew, "bench");
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record(&world.admin, START, Change::PersonAdded(one.clone())).await.unwrap();
        one.active = false;
        one.role = Role::Officer;
        tx.record(&world.admin, START, Change::PersonRevised(one.clone())).await.unwrap();
        assert_eq!(tx.person(one.id).await.unwrap(), Some(one));
    }

    async fn a_person_who_is_not_there_cannot_change(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        let stranger = person(Role::Crew, "bench");
        let refused = tx.record(&world.admin, START, Change::PersonRevised(stranger)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "person" }), "{refused:?}");
    }

    async fn a_sign_in_name_is_taken_once_on_the_whole_server(world) {
        let mut one = person(Role::Crew, "bench");
        one.sign_in = "crew-north".into();
        let mut tx = world.database.write(world.other_team).await.unwrap();
        let refused = tx.record(&world.outsider, START, Change::PersonAdded(one)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
    }

    async fn a_person_of_another_team_is_not_there(world) {
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.person(world.officer.person).await.unwrap(), None);
        assert_eq!(tx.people().await.unwrap().len(), 1);
    }

    async fn everyone_of_the_team_is_there_by_name(world) {
        let mut tx = world.database.read(world.team).await.unwrap();
        let people = tx.people().await.unwrap();
        let ids: Vec<PersonId> = people.iter().map(|person| person.id).collect();
        let expected = [&world.admin, &world.auditor, &world.crew, &world.officer];
        assert_eq!(ids, expected.map(|actor| actor.person));
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.people().await.unwrap()[0].id, world.outsider.person);
        assert_eq!(world.clock.now(), START);
    }

    async fn a_server_with_people_knows_it(world) {
        let mut door = world.database.door().await.unwrap();
        assert!(!door.nobody_yet().await.unwrap());
    }

    async fn a_password_is_set_and_set_again(world) {
        let who = (world.team, world.crew.person);
        let mut door = world.database.write_door().await.unwrap();
        assert_eq!(door.password_hash(who.0, who.1).await.unwrap(), None);
        door.set_password_hash(who, "first", START).await.unwrap();
        door.commit().await.unwrap();
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.set_password_hash(who.1, "second", START).await.unwrap();
        tx.commit().await.unwrap();
        let mut door = world.database.door().await.unwrap();
        assert_eq!(door.password_hash(who.0, who.1).await.unwrap().as_deref(), Some("second"));
        assert_eq!(door.password_hash(world.other_team, who.1).await.unwrap(), None);
    }

    async fn nobody_has_no_password(world) {
        let mut door = world.database.write_door().await.unwrap();
        let nobody = (world.team, PersonId::new());
        let refused = door.set_password_hash(nobody, "x", START).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
    }

    async fn a_preference_is_kept_per_person(world) {
        let choice = Preference { units: Units::Us, theme: Theme::Dark };
        let who = (world.team, world.crew.person);
        let mut door = world.database.write_door().await.unwrap();
        door.set_preference(who, Preference::default()).await.unwrap();
        door.set_preference(who, choice).await.unwrap();
        door.commit().await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.preference(who.1).await.unwrap(), choice);
        assert_eq!(tx.preference(world.officer.person).await.unwrap(), Preference::default());
    }
}
