//! Who is competent to examine what.

use super::{
    StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Qualification, QualificationAddress, QualificationEnd, QualificationId};

/// There is no such qualification, or none that is open.
const GONE: StoreError = StoreError::Stale {
    table: "qualification",
};

impl Tx {
    /// Every qualification, those that are over among them, in the order in which they were recorded.
    pub async fn qualifications(&mut self) -> Result<Vec<Qualification>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM qualification
             WHERE team_id = $1
             ORDER BY id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("qualification", &rows)
    }

    /// The qualification of this id.
    pub async fn qualification(
        &mut self,
        id: QualificationId,
    ) -> Result<Option<Qualification>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM qualification
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("qualification", row)
    }
}

impl WriteTx {
    pub(super) async fn add_qualification(
        &mut self,
        qualification: &Qualification,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO qualification (team_id, id, record)
            VALUES ($1, $2, $3)";
        let team = self.team;
        let text = record::write("qualification", qualification)?;
        change_any!(self.conn, SQL, team.0, qualification.id.0, text).map(drop)
    }

    /// Ends a qualification.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if there is none of this id, or it was ended already.
    pub(super) async fn end_qualification(
        &mut self,
        end: &QualificationEnd,
    ) -> Result<(), StoreError> {
        let there = self.qualification(end.qualification).await?;
        let there = there.filter(|one| one.ended.is_none());
        let there = there.ok_or(GONE)?;
        self.save_qualification(&there.ended(end.ended.clone()))
            .await
    }

    /// Writes down the address of whoever holds a qualification.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if there is none of this id.
    pub(super) async fn address_qualification(
        &mut self,
        one: &QualificationAddress,
    ) -> Result<(), StoreError> {
        let there = self.qualification(one.qualification).await?;
        let there = Qualification {
            address: one.address.clone(),
            ..there.ok_or(GONE)?
        };
        self.save_qualification(&there).await
    }

    async fn save_qualification(&mut self, one: &Qualification) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE qualification
               SET record = $3
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        let text = record::write("qualification", one)?;
        change_one!(self.conn, "qualification", SQL, team.0, one.id.0, text)
    }
}
