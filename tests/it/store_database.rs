//! Units of work: who waits for whom, what is undone, what another team sees.

use ropeloft::{
    domain::{Change, Role, Team, TeamId},
    store::{Database, StoreError},
};
use time::macros::datetime;

use crate::{
    stock,
    world::{START, person},
};

on_both_databases! {
    async fn work_not_committed_is_undone(world) {
        let newcomer = person(Role::Crew, "bench");
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record(&world.admin, START, Change::PersonAdded(newcomer.clone())).await.unwrap();
        assert!(tx.person(newcomer.id).await.unwrap().is_some());
        drop(tx);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.person(newcomer.id).await.unwrap(), None);
    }

    async fn one_writer_a_team_at_a_time_and_the_second_sees_what_the_first_left(world) {
        let second_server = Database::open(&world.address).await.unwrap();
        let newcomer = person(Role::Crew, "bench");
        let mut first = world.database.write(world.team).await.unwrap();
        let (team, id) = (world.team, newcomer.id);
        let second = tokio::spawn(async move {
            let mut tx = second_server.write(team).await.unwrap();
            tx.person(id).await.unwrap()
        });
        // So many steps of the first give the second every chance to go on: it can only wait.
        for number in 0..50 {
            let bay = stock::store(&format!("Bay {number}"));
            first.record(&world.admin, START, Change::StoreAdded(bay)).await.unwrap();
        }
        first.record(&world.admin, START, Change::PersonAdded(newcomer.clone())).await.unwrap();
        assert!(!second.is_finished());
        first.commit().await.unwrap();
        assert_eq!(second.await.unwrap(), Some(newcomer));
    }

    async fn a_reader_sees_one_moment_while_others_write(world) {
        let newcomer = person(Role::Crew, "bench");
        let mut reader = world.database.read(world.team).await.unwrap();
        let before = reader.people().await.unwrap();
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record(&world.admin, START, Change::PersonAdded(newcomer.clone())).await.unwrap();
        tx.commit().await.unwrap();
        assert_eq!(reader.people().await.unwrap(), before);
        drop(reader);
        let mut reader = world.database.read(world.team).await.unwrap();
        assert_eq!(reader.people().await.unwrap().len(), before.len() + 1);
    }

    async fn a_team_that_is_not_there_cannot_be_written(world) {
        let nowhere = TeamId::new();
        let refused = world.database.write(nowhere).await.err().unwrap();
        assert!(matches!(refused, StoreError::NoTeam));
        let mut tx = world.database.read(nowhere).await.unwrap();
        assert_eq!(tx.this_team().await.unwrap(), None);
        assert_eq!(tx.head().await.unwrap(), None);
        assert_eq!(tx.people().await.unwrap(), []);
    }

    async fn a_new_team_begins_its_ledger_with_itself_and_its_first_person(world) {
        let east = Team::new(TeamId::new(), "East bank team", "european");
        let first = person(Role::Admin, "east");
        let tx = world.database.found_team(&east, &first, START).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = world.database.read(east.id).await.unwrap();
        assert_eq!(tx.this_team().await.unwrap(), Some((east.clone(), START)));
        assert_eq!(tx.people().await.unwrap(), std::slice::from_ref(&first));
        let kinds: Vec<String> = tx.entries_after(0, 10).await.unwrap().into_iter().map(|e| e.kind).collect();
        assert_eq!(kinds, ["team-founded", "person-added"]);
        assert_eq!(tx.head().await.unwrap().unwrap().size, 2);
        drop(tx);
        let again = world.database.found_team(&east, &first, START).await.err().unwrap();
        assert!(matches!(again, StoreError::Taken));
        let mut door = world.database.door().await.unwrap();
        let names: Vec<String> = door.teams().await.unwrap().into_iter().map(|team| team.name).collect();
        assert_eq!(names, ["East bank team", "North shaft team", "South quarry team"]);
    }

    async fn a_team_whose_founder_is_somebody_elses_is_not_founded_at_all(world) {
        let east = Team::new(TeamId::new(), "East bank team", "european");
        let mut first = person(Role::Admin, "east");
        first.sign_in = "crew-north".into();
        let refused = world.database.found_team(&east, &first, START).await.err().unwrap();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
        let mut tx = world.database.read(east.id).await.unwrap();
        assert_eq!(tx.this_team().await.unwrap(), None);
    }

    async fn migrating_again_changes_nothing(world) {
        world.database.migrate().await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.people().await.unwrap().len(), 4);
    }

    async fn a_moment_comes_back_as_it_went_in(world) {
        let west = Team::new(TeamId::new(), "West", "european");
        let at = datetime!(1999-12-31 23:59:59 UTC);
        let tx = world.database.found_team(&west, &person(Role::Admin, "west"), at).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = world.database.read(west.id).await.unwrap();
        assert_eq!(tx.this_team().await.unwrap().unwrap().1, at);
        assert_eq!(tx.entries_after(0, 1).await.unwrap()[0].recorded_at, at);
    }
}

#[tokio::test]
async fn an_address_that_cannot_be_read_is_refused() {
    let refused = Database::open("postgres://host:notaport/x")
        .await
        .unwrap_err();
    assert!(matches!(refused, StoreError::Address(_)), "{refused:?}");
    let refused = Database::open("sqlite:/nowhere/at/all/ropeloft.db")
        .await
        .unwrap_err();
    assert!(matches!(refused, StoreError::Database(_)), "{refused:?}");
}

#[tokio::test]
async fn the_log_never_shows_the_address() {
    crate::world::on_sqlite(async |world| {
        assert_eq!(format!("{:?}", world.database), "Database(\"SQLite\")");
    })
    .await;
}
