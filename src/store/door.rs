//! What is asked before a team is known.

use std::ops::{Deref, DerefMut};

use super::{
    StoreError,
    team::TeamRow,
    tx::{Conn, find_all},
};
use crate::domain::Team;

/// Reads sign-ins, sessions, tokens and teams.
pub struct Door {
    pub(super) conn: Conn,
}

impl Door {
    pub(super) fn new(conn: Conn) -> Self {
        Self { conn }
    }

    /// Every team of this server, by name.
    pub async fn teams(&mut self) -> Result<Vec<Team>, StoreError> {
        const SQL: &str = "
            SELECT id, name, rulebook, time_zone, return_by_two, employer, premises, created_at
              FROM team
             ORDER BY name, id";
        let rows: Vec<TeamRow> = find_all!(self.conn, SQL)?;
        let teams = rows.into_iter().map(TeamRow::team);
        teams.map(|team| team.map(|(team, _)| team)).collect()
    }
}

/// Writes sessions and sign-in attempts. Undone when dropped.
pub struct WriteDoor {
    door: Door,
}

impl WriteDoor {
    pub(super) fn new(conn: Conn) -> Self {
        Self {
            door: Door::new(conn),
        }
    }

    /// Keeps everything that was written.
    pub async fn commit(self) -> Result<(), StoreError> {
        self.door.conn.commit().await
    }
}

impl Deref for WriteDoor {
    type Target = Door;
    fn deref(&self) -> &Door {
        &self.door
    }
}

impl DerefMut for WriteDoor {
    fn deref_mut(&mut self) -> &mut Door {
        &mut self.door
    }
}
