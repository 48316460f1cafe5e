//! Who gets a digest, and when the last one was asked for. No records of gear, so they stand beside the ledger.

use time::Date;
use uuid::Uuid;

use super::{
    Door, StoreError, Tx, WriteDoor,
    tx::{change_any, find, find_all},
};
use crate::domain::{DigestChoice, Every, PersonId, TeamId, Zone};

#[derive(sqlx::FromRow)]
struct DigestRow {
    person_id: Uuid,
    address: String,
    every: String,
    day: i64,
    when_quiet: bool,
    since_on: Date,
}

#[derive(sqlx::FromRow)]
struct WantedRow {
    team_id: Uuid,
    time_zone: String,
    asked_on: Option<Date>,
    #[sqlx(flatten)]
    choice: DigestRow,
}

/// A choice with what is needed to see whether its next digest is due.
#[derive(Clone, Debug)]
pub struct WantedDigest {
    /// The team.
    pub team: TeamId,
    /// The zone in which it counts its days.
    pub zone: Zone,
    /// The day of the last digest that was asked for.
    pub asked_on: Option<Date>,
    /// The choice.
    pub choice: DigestChoice,
}

impl TryFrom<DigestRow> for DigestChoice {
    type Error = StoreError;

    fn try_from(row: DigestRow) -> Result<Self, StoreError> {
        let day = u8::try_from(row.day).unwrap_or(0);
        let every = Every::read(&row.every, day).ok_or_else(|| {
            StoreError::corrupt("digest", "every")(format!("\"{}\" is no choice", row.every).into())
        })?;
        Ok(Self {
            person: PersonId(row.person_id),
            address: row.address,
            every,
            when_quiet: row.when_quiet,
            since: row.since_on,
        })
    }
}

impl Door {
    /// Every digest that comes, of every team, to people who may still sign in and whose address is proved.
    pub async fn wanted_digests(&mut self) -> Result<Vec<WantedDigest>, StoreError> {
        const SQL: &str = "
            SELECT d.team_id, t.time_zone, d.asked_on, d.person_id, d.address, d.every, d.day, d.when_quiet, d.since_on
              FROM digest d
              JOIN person p
                ON p.team_id = d.team_id
               AND p.id = d.person_id
              JOIN team t
                ON t.id = d.team_id
              JOIN address_proof a
                ON a.team_id = d.team_id
               AND a.person_id = d.person_id
               AND a.address = d.address
               AND a.state <> 'asked'
             WHERE d.every <> 'never'
               AND p.active = $1";
        let rows: Vec<WantedRow> = find_all!(self.conn, SQL, true)?;
        let wanted = rows.into_iter().map(|row| {
            let zone = Zone::read(&row.time_zone);
            Ok(WantedDigest {
                team: TeamId(row.team_id),
                zone: zone.map_err(|e| StoreError::corrupt("team", "time_zone")(e.into()))?,
                asked_on: row.asked_on,
                choice: row.choice.try_into()?,
            })
        });
        wanted.collect()
    }
}

impl Tx {
    /// What a person has chosen, if ever.
    pub async fn digest_of(
        &mut self,
        person: PersonId,
    ) -> Result<Option<DigestChoice>, StoreError> {
        const SQL: &str = "
            SELECT person_id, address, every, day, when_quiet, since_on
              FROM digest
             WHERE team_id = $1
               AND person_id = $2";
        let row: Option<DigestRow> = find!(self.conn, SQL, self.team.0, person.0)?;
        row.map(DigestChoice::try_from).transpose()
    }
}

impl WriteDoor {
    /// Keeps what a person has chosen.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if there is no such person.
    pub async fn set_digest(
        &mut self,
        team: TeamId,
        choice: &DigestChoice,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO digest (team_id, person_id, address, every, day, when_quiet, since_on)
            VALUES ($1, $2, $3, $4, $5, $6, $7)
                ON CONFLICT (team_id, person_id) DO UPDATE
               SET address = excluded.address,
                   every = excluded.every,
                   day = excluded.day,
                   when_quiet = excluded.when_quiet,
                   since_on = excluded.since_on";
        let (person, address) = (choice.person.0, choice.address.as_str());
        let (every, day) = (choice.every.key(), i64::from(choice.every.day()));
        let (quiet, since) = (choice.when_quiet, choice.since);
        change_any!(
            self.conn, SQL, team.0, person, address, every, day, quiet, since
        )
        .map(drop)
    }

    /// Notes that the digest of a day was asked for.
    pub async fn digest_asked(
        &mut self,
        (team, person): (TeamId, PersonId),
        day: Date,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE digest
               SET asked_on = $3
             WHERE team_id = $1
               AND person_id = $2";
        change_any!(self.conn, SQL, team.0, person.0, day).map(drop)
    }
}
