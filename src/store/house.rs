//! The server's own row: the code that the first visitor types to make the first team.

use time::OffsetDateTime;

use super::{
    Door, StoreError, WriteDoor, WriteTx,
    tx::{ask, change_any, change_one, find},
};

impl Door {
    /// The code that opens the first set-up; none once that is done.
    pub async fn setup_code(&mut self) -> Result<Option<String>, StoreError> {
        const SQL: &str = "
            SELECT setup_code
              FROM house
             WHERE one = 1
               AND set_up_at IS NULL";
        let row: Option<(String,)> = find!(self.conn, SQL)?;
        Ok(row.map(|(code,)| code))
    }
}

impl WriteDoor {
    /// Lays out a code for the first set-up unless one is laid out, so that several servers on one
    /// database have the same; gives the one that holds.
    pub async fn lay_out_setup_code(
        &mut self,
        offered: &str,
    ) -> Result<Option<String>, StoreError> {
        const SQL: &str = "
            INSERT INTO house (one, setup_code, set_up_at)
            VALUES (1, $1, NULL)
                ON CONFLICT (one) DO NOTHING";
        change_any!(self.conn, SQL, offered)?;
        self.setup_code().await
    }
}

impl WriteTx {
    /// Ends the first set-up: of several who try at once, one gets through.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if it is done already, or somebody of another team is there.
    pub async fn end_setup(&mut self, at: OffsetDateTime) -> Result<(), StoreError> {
        const SOMEBODY: &str = "
            SELECT EXISTS(SELECT 1 FROM person WHERE team_id <> $1)";
        const SQL: &str = "
            UPDATE house
               SET set_up_at = $1, setup_code = ''
             WHERE one = 1
               AND set_up_at IS NULL";
        change_one!(self.conn, "house", SQL, at)?;
        // After the row is locked, so that one who was first is seen.
        let team = self.team;
        let somebody: bool = ask!(self.conn, SOMEBODY, team.0)?;
        if somebody {
            return Err(StoreError::Stale { table: "house" });
        }
        Ok(())
    }
}
