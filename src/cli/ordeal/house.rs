//! A team that was founded for the ordeal, and a look into its database.

use std::path::PathBuf;

use time::OffsetDateTime;
use uuid::Uuid;

use super::{Failure, made};
use crate::{
    deed::{
        Desk, checkpoint,
        token::{self, TokenDraft},
    },
    domain::{Actor, Change, Clock, Person, PersonId, Role, SigningSecret, Team, TeamId},
    store::{Database, Files},
};

/// A team with an administrator, who writes, and somebody of its crew, who takes kits.
pub(super) struct House {
    /// The address of its database, for a look into it.
    pub(super) database: String,
    /// The address by which servers reach it.
    pub(super) served: String,
    /// Where its files and logs are.
    pub(super) folder: PathBuf,
    /// What signs checkpoints.
    pub(super) secret: String,
    /// What clients show.
    pub(super) token: String,
    pub(super) team: TeamId,
    pub(super) admin: PersonId,
    pub(super) crew: PersonId,
}

impl House {
    /// Founds the team in a database, which is made if it is a file.
    pub(super) async fn found(database: &str, folder: PathBuf) -> Result<Self, Failure> {
        made(&folder)?;
        let opened = Database::open(database).await?;
        opened.migrate().await?;
        let desk = Desk {
            database: opened.clone(),
            clock: Clock::System,
            files: Files::unset(),
        };
        let team = Team::new(
            TeamId::new(),
            format!("Ordeal {}", folder.display()),
            "european",
        );
        let people = [person(Role::Admin), person(Role::Crew)];
        let admin = Actor {
            team: team.id,
            person: people[0].id,
            role: Role::Admin,
        };
        let now: OffsetDateTime = desk.clock.now();
        let mut tx = opened.found_team(&team, &people[0], now).await?;
        let added = Change::PersonAdded(people[1].clone());
        tx.record(&admin, now, added).await?;
        tx.commit().await?;
        let secret = SigningSecret::new(rand::random());
        checkpoint::begin(&desk, &admin, Some(&secret)).await?;
        let draft = TokenDraft {
            label: "ordeal".into(),
            role: Role::Admin.key().into(),
            days: "30".into(),
        };
        let token = token::make(&desk, &admin, &draft).await?;
        opened.close().await;
        Ok(Self {
            database: database.to_owned(),
            served: database.to_owned(),
            folder,
            secret: secret.text(),
            token,
            team: team.id,
            admin: people[0].id,
            crew: people[1].id,
        })
    }

    /// Opens its database for a look. It is closed again before a server is killed: while anybody holds a file of SQLite
    /// open, what a kill left is not taken up as it is where nobody does.
    pub(super) async fn open(&self) -> Result<Database, Failure> {
        Ok(Database::open(&self.database).await?)
    }

    /// Has SQLite look through its file.
    ///
    /// # Errors
    /// What it finds wrong.
    pub(super) async fn undamaged(&self) -> Result<(), Failure> {
        let database = self.open().await?;
        let damage = database.damage().await;
        database.close().await;
        match damage? {
            Some(damage) => Err(damage.into()),
            None => Ok(()),
        }
    }
}

fn person(role: Role) -> Person {
    let id = PersonId::new();
    Person {
        id,
        name: format!("Ordeal's {}", role.word()),
        // Names for signing in are taken once on a server.
        sign_in: format!("{}-{}", role.key(), Uuid::now_v7().simple()),
        role,
        active: true,
    }
}
