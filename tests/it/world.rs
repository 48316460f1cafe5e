//! A fresh database for each test, two teams in it, someone of each role, and a clock that stands.

use std::{
    future::Future,
    panic::{AssertUnwindSafe, resume_unwind},
};

use futures::FutureExt;
use ropeloft::{
    deed::Desk,
    domain::{Actor, Change, Clock, Person, PersonId, Role, Team, TeamId},
    store::{Database, Files, Recorded, StoreError},
};
use tempfile::TempDir;
use time::{OffsetDateTime, macros::datetime};
use tokio::sync::OnceCell;

use crate::postgres;

/// When every test begins.
pub const START: OffsetDateTime = datetime!(2026-03-01 09:30 UTC);
/// When its teams were founded: before all that a test tells of the past, since moments never go back in a ledger.
pub const FOUNDED: OffsetDateTime = datetime!(2022-03-01 09:30 UTC);

/// What a test finds.
pub struct World {
    /// A migrated database with two teams in it.
    pub database: Database,
    /// Its address, for a second server on the same database.
    pub address: String,
    /// Stands at [`START`].
    pub clock: Clock,
    /// Where the bytes of photos and documents are.
    pub folder: TempDir,
    /// The team of the story.
    pub team: TeamId,
    /// Another team on the same server.
    pub other_team: TeamId,
    pub officer: Actor,
    pub crew: Actor,
    pub auditor: Actor,
    pub admin: Actor,
    /// An officer of the other team.
    pub outsider: Actor,
}

impl World {
    async fn new(address: String) -> Self {
        let database = Database::open(&address).await.unwrap();
        let north = Team::new(TeamId::new(), "North shaft team", "european");
        let south = Team::new(TeamId::new(), "South quarry team", "european");
        let staff = Role::ALL.map(|role| person(role, "north"));
        let admin = actor(north.id, &staff[3]);
        let mut tx = database
            .found_team(&north, &staff[3], FOUNDED)
            .await
            .unwrap();
        for person in &staff[..3] {
            let change = Change::PersonAdded(person.clone());
            tx.record(&admin, FOUNDED, change).await.unwrap();
        }
        tx.commit().await.unwrap();
        let stranger = person(Role::Officer, "south");
        let tx = database.found_team(&south, &stranger, FOUNDED).await;
        tx.unwrap().commit().await.unwrap();
        let actors = staff.map(|person| actor(north.id, &person));
        let outsider = actor(south.id, &stranger);
        Self::with(database, address, actors, outsider)
    }

    /// The same with nobody in the database: what it names is not there.
    pub async fn empty(address: String) -> Self {
        let database = Database::open(&address).await.unwrap();
        let nobody = |role| actor(TeamId::new(), &person(role, "nowhere"));
        let outsider = nobody(Role::Officer);
        Self::with(database, address, Role::ALL.map(nobody), outsider)
    }

    fn with(database: Database, address: String, actors: [Actor; 4], outsider: Actor) -> Self {
        let [officer, crew, auditor, admin] = actors;
        Self {
            database,
            address,
            clock: Clock::standing(START),
            folder: tempfile::tempdir().unwrap(),
            team: admin.team,
            other_team: outsider.team,
            officer,
            crew,
            auditor,
            admin,
            outsider,
        }
    }
}

impl World {
    /// The storage of photos and documents.
    pub fn files(&self) -> Files {
        let folder = self.folder.path().join("files");
        Files::open(folder.to_str().unwrap(), std::iter::empty()).unwrap()
    }

    /// What deeds are done with.
    pub fn desk(&self) -> Desk {
        Desk {
            database: self.database.clone(),
            clock: self.clock.clone(),
            files: self.files(),
        }
    }

    /// The same without a storage of files.
    pub fn bare_desk(&self) -> Desk {
        Desk {
            files: Files::unset(),
            ..self.desk()
        }
    }

    /// Records a change as the team's administrator, in a transaction of its own.
    pub async fn record(&self, change: Change) -> Recorded {
        self.record_as(&self.admin, change).await.unwrap()
    }

    /// Records a change as `actor`, in a transaction of its own.
    pub async fn record_as(&self, actor: &Actor, change: Change) -> Result<Recorded, StoreError> {
        let mut tx = self.database.write(actor.team).await?;
        let recorded = tx.record(actor, self.clock.now(), change).await?;
        tx.commit().await?;
        Ok(recorded)
    }
}

/// Someone of this role.
pub fn person(role: Role, place: &str) -> Person {
    Person {
        id: PersonId::new(),
        name: format!("The {} of the {place}", role.word()),
        sign_in: format!("{}-{place}", role.key()),
        role,
        active: true,
    }
}

/// The person as the one who acts.
pub fn actor(team: TeamId, person: &Person) -> Actor {
    Actor {
        team,
        person: person.id,
        role: person.role,
    }
}

/// Makes two tests of each story, one on SQLite and one on PostgreSQL.
macro_rules! on_both_databases {
    ($($(#[$meta:meta])* async fn $name:ident($world:ident) $body:block)*) => {$(
        mod $name {
            #[allow(unused_imports, reason = "a story may need nothing of its module")]
            use super::*;

            $(#[$meta])*
            async fn story($world: $crate::world::World) $body

            #[tokio::test]
            async fn sqlite() {
                $crate::world::on_sqlite(story).await;
            }

            #[tokio::test]
            async fn postgres() {
                $crate::world::on_postgres(story).await;
            }
        }
    )*};
}

/// The same with nobody in the database.
macro_rules! on_both_empty_databases {
    ($(async fn $name:ident($world:ident) $body:block)*) => {$(
        mod $name {
            use super::*;

            async fn story($world: $crate::world::World) $body

            #[tokio::test]
            async fn sqlite() {
                $crate::world::on_sqlite_file(async |address| {
                    story($crate::world::World::empty(address).await).await;
                })
                .await;
            }

            #[tokio::test]
            async fn postgres() {
                $crate::world::on_postgres_database(async |address| {
                    story($crate::world::World::empty(address).await).await;
                })
                .await;
            }
        }
    )*};
}

/// Tells the story on a new SQLite file.
pub async fn on_sqlite<F: Future<Output = ()>>(story: impl FnOnce(World) -> F) {
    on_sqlite_file(async |address| story(World::new(address).await).await).await;
}

/// Tells the story on a new PostgreSQL database.
pub async fn on_postgres<F: Future<Output = ()>>(story: impl FnOnce(World) -> F) {
    on_postgres_database(async |address| story(World::new(address).await).await).await;
}

/// Makes a new `SQLite` file with an up-to-date schema and nothing in it.
pub async fn on_sqlite_file(story: impl AsyncFnOnce(String)) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ropeloft.db");
    std::fs::write(&file, migrated_file().await).unwrap();
    story(format!("sqlite:{}", file.display())).await;
}

/// Makes a new PostgreSQL database with an up-to-date schema and nothing in it. Where no PostgreSQL is to be had it says so, loudly, and fails
/// if `CI=true`.
pub async fn on_postgres_database(story: impl AsyncFnOnce(String)) {
    let Some(server) = postgres::server().await else {
        return;
    };
    let (name, address) = server.create_database().await;
    let end = AssertUnwindSafe(story(address)).catch_unwind().await;
    server.drop_database(&name).await;
    if let Err(panic) = end {
        resume_unwind(panic);
    }
}

/// The bytes of an `SQLite` file with an up-to-date schema and nothing in it, made once a run.
async fn migrated_file() -> &'static [u8] {
    static FILE: OnceCell<Vec<u8>> = OnceCell::const_new();
    FILE.get_or_init(|| async {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("migrated.db");
        let database = Database::open(path.to_str().unwrap()).await.unwrap();
        database.migrate().await.unwrap();
        database.close().await;
        std::fs::read(&path).unwrap()
    })
    .await
}
