//! How each person likes to see things.

use super::{
    StoreError, Tx, WriteDoor,
    tx::{change_any, find},
};
use crate::domain::{PersonId, Preference, TeamId, Theme, Units};

impl Tx {
    /// What a person has chosen, or what is usual.
    pub async fn preference(&mut self, person: PersonId) -> Result<Preference, StoreError> {
        const SQL: &str = "
            SELECT units, theme
              FROM preference
             WHERE team_id = $1
               AND person_id = $2";
        let row: Option<(String, String)> = find!(self.conn, SQL, self.team.0, person.0)?;
        let Some((units, theme)) = row else {
            return Ok(Preference::default());
        };
        choice(&units, &theme)
    }
}

/// Reads the two words of a row.
pub(super) fn choice(units: &str, theme: &str) -> Result<Preference, StoreError> {
    let unknown = |column, key: &str| {
        StoreError::corrupt("preference", column)(format!("\"{key}\" is no choice").into())
    };
    Ok(Preference {
        units: Units::from_key(units).ok_or_else(|| unknown("units", units))?,
        theme: Theme::from_key(theme).ok_or_else(|| unknown("theme", theme))?,
    })
}

impl WriteDoor {
    /// Keeps what a person has chosen. It is no record, so it needs no lock of the team.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if there is no such person.
    pub async fn set_preference(
        &mut self,
        (team, person): (TeamId, PersonId),
        choice: Preference,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO preference (team_id, person_id, units, theme)
            VALUES ($1, $2, $3, $4)
                ON CONFLICT (team_id, person_id) DO UPDATE
               SET units = excluded.units,
                   theme = excluded.theme";
        change_any!(
            self.conn,
            SQL,
            team.0,
            person.0,
            choice.units.key(),
            choice.theme.key()
        )
        .map(drop)
    }
}
