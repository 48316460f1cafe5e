//! The demo in a database: written whole, found again, and never among other records.

use ropeloft::{
    cli::demo::{Found, fill, keeper},
    deed::{Desk, session},
    demo::demo,
    domain::Clock,
    store::{Database, Files, rebuild},
};
use time::{Duration, macros::date};

const TODAY: time::Date = date!(2026 - 11 - 25);

async fn empty(folder: &tempfile::TempDir, name: &str) -> Database {
    let file = folder.path().join(name);
    let database = Database::open(file.to_str().unwrap()).await.unwrap();
    database.migrate().await.unwrap();
    database
}

#[tokio::test]
async fn the_demo_is_written_once_and_its_tables_follow_from_its_ledger() {
    let folder = tempfile::tempdir().unwrap();
    let database = empty(&folder, "demo.db").await;
    let demo = demo(TODAY).unwrap();
    let fill = || fill(&database, "demo.db", &demo, TODAY);
    assert_eq!(fill().await.unwrap(), Found::Written);
    assert_eq!(fill().await.unwrap(), Found::There);
    let again = empty(&folder, "again.db").await;
    let rebuilt = rebuild(&database, demo.team.id, &again).await.unwrap();
    assert_eq!(rebuilt.differences, []);
    assert_eq!(rebuilt.entries, demo.history.len() as u64);
}

#[tokio::test]
async fn a_demo_of_another_day_goes_on_with_the_people_that_it_has() {
    let folder = tempfile::tempdir().unwrap();
    let database = empty(&folder, "demo.db").await;
    let (first, later) = (
        demo(TODAY).unwrap(),
        demo(TODAY.next_day().unwrap()).unwrap(),
    );
    assert_eq!(keeper(&database, &first).await.unwrap(), None);
    fill(&database, "demo.db", &first, TODAY).await.unwrap();
    let found = fill(&database, "demo.db", &later, TODAY.next_day().unwrap())
        .await
        .unwrap();
    assert_eq!(found, Found::There);
    let admin = keeper(&database, &later).await.unwrap();
    assert_eq!(admin, first.admin());
    assert_ne!(admin, later.admin(), "the ids of a demo go by its day");
}

#[tokio::test]
async fn everybody_of_the_demo_can_sign_in() {
    let folder = tempfile::tempdir().unwrap();
    let database = empty(&folder, "demo.db").await;
    let demo = demo(TODAY).unwrap();
    fill(&database, "demo.db", &demo, TODAY).await.unwrap();
    let desk = Desk {
        database,
        clock: Clock::standing(TODAY.midnight().assume_utc()),
        files: Files::unset(),
    };
    for line in &demo.people {
        let name = &line.person.sign_in;
        let lasts = Duration::days(1);
        session::sign_in(&desk, name, &line.password, ("127.0.0.1", ""), lasts)
            .await
            .unwrap_or_else(|error| panic!("{name}: {error}"));
    }
}

on_both_databases! {
    async fn the_demo_is_not_written_among_other_records(world) {
        let demo = demo(TODAY).unwrap();
        let refused = fill(&world.database, "gear.db", &demo, TODAY).await.unwrap_err();
        assert_eq!(
            refused.to_string(),
            "gear.db holds the team \"North shaft team\", not the demo, and is left alone. \
             Name another file, one that is not there yet, with --database."
        );
        let teams = world.database.door().await.unwrap().teams().await.unwrap();
        assert_eq!(teams.len(), 2);
    }
}
