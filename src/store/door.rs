//! What is asked before a team is known.

use std::ops::{Deref, DerefMut};

use super::{
    StoreError,
    tx::{Conn, find_all},
};
use crate::domain::{Team, TeamId};

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
            SELECT id, name, rulebook
              FROM team
             ORDER BY name, id";
        let rows: Vec<(uuid::Uuid, String, String)> = find_all!(self.conn, SQL)?;
        Ok(rows
            .into_iter()
            .map(|(id, name, rulebook)| Team {
                id: TeamId(id),
                name,
                rulebook,
            })
            .collect())
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
