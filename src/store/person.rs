//! People, and the hash of each one's password.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Door, StoreError, Tx, WriteDoor, WriteTx,
    tx::{ask, change_any, change_one, find, find_all},
};
use crate::domain::{Actor, Person, PersonId, Role, TeamId};

#[derive(sqlx::FromRow)]
pub(super) struct PersonRow {
    team_id: Uuid,
    id: Uuid,
    name: String,
    sign_in: String,
    role: String,
    active: bool,
}

impl PersonRow {
    /// The team and the person.
    pub(super) fn person(self) -> Result<(TeamId, Person), StoreError> {
        let person = Person {
            id: PersonId(self.id),
            name: self.name,
            sign_in: self.sign_in,
            role: role("person", &self.role)?,
            active: self.active,
        };
        Ok((TeamId(self.team_id), person))
    }
}

/// Reads a role from `table.role`.
pub(super) fn role(table: &'static str, key: &str) -> Result<Role, StoreError> {
    Role::from_key(key)
        .ok_or_else(|| StoreError::corrupt(table, "role")(format!("\"{key}\" is no role").into()))
}

/// The person as the one who acts.
pub(super) fn actor(team: TeamId, person: &Person) -> Actor {
    Actor {
        team,
        person: person.id,
        role: person.role,
    }
}

impl Tx {
    /// The person of this id.
    pub async fn person(&mut self, id: PersonId) -> Result<Option<Person>, StoreError> {
        const SQL: &str = "
            SELECT team_id, id, name, sign_in, role, active
              FROM person
             WHERE team_id = $1
               AND id = $2";
        let row: Option<PersonRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        row.map(|row| row.person().map(|(_, person)| person))
            .transpose()
    }

    /// Everyone of the team, by name.
    pub async fn people(&mut self) -> Result<Vec<Person>, StoreError> {
        const SQL: &str = "
            SELECT team_id, id, name, sign_in, role, active
              FROM person
             WHERE team_id = $1
             ORDER BY name, id";
        let rows: Vec<PersonRow> = find_all!(self.conn, SQL, self.team.0)?;
        rows.into_iter()
            .map(|row| row.person().map(|(_, person)| person))
            .collect()
    }
}

impl Door {
    /// Whether there is nobody yet, so that the first visitor is to make an account.
    pub async fn nobody_yet(&mut self) -> Result<bool, StoreError> {
        const SQL: &str = "SELECT NOT EXISTS(SELECT 1 FROM person)";
        ask!(self.conn, SQL)
    }

    /// The person who signs in under this name (lower case), on whatever team.
    pub async fn person_by_sign_in(
        &mut self,
        sign_in: &str,
    ) -> Result<Option<(TeamId, Person)>, StoreError> {
        const SQL: &str = "
            SELECT team_id, id, name, sign_in, role, active
              FROM person
             WHERE sign_in = $1";
        if sign_in.contains('\0') {
            // PostgreSQL takes no such text, and nobody is called so.
            return Ok(None);
        }
        let row: Option<PersonRow> = find!(self.conn, SQL, sign_in)?;
        row.map(PersonRow::person).transpose()
    }

    /// The hash of a person's password; none before the first is set.
    pub async fn password_hash(
        &mut self,
        team: TeamId,
        person: PersonId,
    ) -> Result<Option<String>, StoreError> {
        const SQL: &str = "
            SELECT password_hash
              FROM credential
             WHERE team_id = $1
               AND person_id = $2";
        let row: Option<(String,)> = find!(self.conn, SQL, team.0, person.0)?;
        Ok(row.map(|(hash,)| hash))
    }
}

const SET_PASSWORD: &str = "
    INSERT INTO credential (team_id, person_id, password_hash, changed_at)
    VALUES ($1, $2, $3, $4)
        ON CONFLICT (team_id, person_id) DO UPDATE
       SET password_hash = excluded.password_hash,
           changed_at = excluded.changed_at";

impl WriteDoor {
    /// Sets the hash of a person's password.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if there is no such person.
    pub async fn set_password_hash(
        &mut self,
        (team, person): (TeamId, PersonId),
        hash: &str,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        change_any!(self.conn, SET_PASSWORD, team.0, person.0, hash, at).map(drop)
    }
}

impl WriteTx {
    pub(super) async fn add_person(&mut self, person: &Person) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO person (team_id, id, name, sign_in, role, active)
            VALUES ($1, $2, $3, $4, $5, $6)";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            person.id.0,
            person.name.as_str(),
            person.sign_in.as_str(),
            person.role.key(),
            person.active,
        )
        .map(drop)
    }

    pub(super) async fn revise_person(&mut self, person: &Person) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE person
               SET name = $3, sign_in = $4, role = $5, active = $6
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        change_one!(
            self.conn,
            "person",
            SQL,
            team.0,
            person.id.0,
            person.name.as_str(),
            person.sign_in.as_str(),
            person.role.key(),
            person.active,
        )
    }

    /// Sets the hash of a person's password, with the change that adds the person.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if there is no such person.
    pub async fn set_password_hash(
        &mut self,
        person: PersonId,
        hash: &str,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        let team = self.team;
        change_any!(self.conn, SET_PASSWORD, team.0, person.0, hash, at).map(drop)
    }
}
