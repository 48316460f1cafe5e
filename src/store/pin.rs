//! Pinned plans.

use super::{
    StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Change, Pin, PinId};

impl Tx {
    /// Every plan that is pinned, the first one pinned first.
    pub async fn pins(&mut self) -> Result<Vec<Pin>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM pin
             WHERE team_id = $1
             ORDER BY id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("pin", &rows)
    }

    /// A pinned plan.
    pub async fn pin(&mut self, id: PinId) -> Result<Option<Pin>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM pin
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("pin", row)
    }
}

impl WriteTx {
    /// Applies that a plan is pinned, or no longer.
    pub(super) async fn apply_pin(&mut self, change: &Change) -> Result<(), StoreError> {
        match change {
            Change::PlanPinned(pin) => self.add_pin(pin).await,
            Change::PlanUnpinned(removed) => self.remove_pin(removed.pin.id).await,
            // The rest is applied by its caller.
            _ => Ok(()),
        }
    }

    async fn add_pin(&mut self, pin: &Pin) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO pin (team_id, id, record)
            VALUES ($1, $2, $3)";
        let team = self.team.0;
        let text = record::write("pin", pin)?;
        change_any!(self.conn, SQL, team, pin.id.0, text).map(drop)
    }

    async fn remove_pin(&mut self, id: PinId) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM pin
             WHERE team_id = $1
               AND id = $2";
        let team = self.team.0;
        change_one!(self.conn, "pin", SQL, team, id.0)
    }
}
