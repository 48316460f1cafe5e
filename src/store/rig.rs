//! The team's own rigs, and every version of them.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    StoreError, Tx, WriteTx, record,
    record::{KeptRow, RecordRow},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Change, Entry, OwnRig, PersonId, RigId, fold};

/// The newest version of a rig, and whether it is offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptRig {
    /// The newest version.
    pub rig: OwnRig,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// A version of a rig with who wrote it when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RigVersion {
    /// The version.
    pub rig: OwnRig,
    /// Who wrote it.
    pub by: PersonId,
    /// When it was recorded.
    pub at: OffsetDateTime,
}

impl KeptRig {
    fn read(row: &KeptRow) -> Result<Self, StoreError> {
        Ok(Self {
            rig: record::read("rig", &row.record)?,
            withdrawn: row.withdrawn,
        })
    }
}

#[derive(sqlx::FromRow)]
struct VersionRow {
    person_id: Uuid,
    recorded_at: OffsetDateTime,
    record: String,
}

impl Tx {
    /// The newest version of the rig of this id.
    pub async fn rig(&mut self, id: RigId) -> Result<Option<KeptRig>, StoreError> {
        const SQL: &str = "
            SELECT withdrawn, record
              FROM rig
             WHERE team_id = $1
               AND id = $2";
        let row: Option<KeptRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        row.as_ref().map(KeptRig::read).transpose()
    }

    /// The newest version of the team's own rig of this key, withdrawn or not.
    pub async fn rig_of_key(&mut self, key: &str) -> Result<Option<KeptRig>, StoreError> {
        const SQL: &str = "
            SELECT withdrawn, record
              FROM rig
             WHERE team_id = $1
               AND key = $2";
        let key = key.replace('\0', "");
        let row: Option<KeptRow> = find!(self.conn, SQL, self.team.0, key)?;
        row.as_ref().map(KeptRig::read).transpose()
    }

    /// The newest version of every rig of the team's own, by title.
    pub async fn rigs(&mut self) -> Result<Vec<KeptRig>, StoreError> {
        const SQL: &str = "
            SELECT withdrawn, record
              FROM rig
             WHERE team_id = $1
             ORDER BY title_folded, id";
        let rows: Vec<KeptRow> = find_all!(self.conn, SQL, self.team.0)?;
        rows.iter().map(KeptRig::read).collect()
    }

    /// One version of the team's own rig of this key.
    pub async fn rig_version(
        &mut self,
        key: &str,
        version: u32,
    ) -> Result<Option<OwnRig>, StoreError> {
        const SQL: &str = "
            SELECT v.record
              FROM rig r
              JOIN rig_version v
                ON v.team_id = r.team_id
               AND v.rig_id = r.id
             WHERE r.team_id = $1
               AND r.key = $2
               AND v.revision = $3";
        let key = key.replace('\0', "");
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, key, i64::from(version))?;
        record::one("rig_version", row)
    }

    /// Every version of a rig, the newest first.
    pub async fn rig_versions(&mut self, id: RigId) -> Result<Vec<RigVersion>, StoreError> {
        const SQL: &str = "
            SELECT person_id, recorded_at, record
              FROM rig_version
             WHERE team_id = $1
               AND rig_id = $2
             ORDER BY revision DESC";
        let rows: Vec<VersionRow> = find_all!(self.conn, SQL, self.team.0, id.0)?;
        rows.iter()
            .map(|row| {
                Ok(RigVersion {
                    rig: record::read("rig_version", &row.record)?,
                    by: PersonId(row.person_id),
                    at: row.recorded_at,
                })
            })
            .collect()
    }
}

impl WriteTx {
    pub(super) async fn add_rig(
        &mut self,
        rig: &OwnRig,
        entry: &Entry<Change>,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO rig (team_id, id, revision, key, title_folded, withdrawn, record)
            VALUES ($1, $2, $3, $4, $5, $6, $7)";
        let team = self.team;
        let revision = i64::from(rig.revision);
        let text = record::write("rig", rig)?;
        let title = fold(&rig.title);
        change_any!(
            self.conn,
            SQL,
            team.0,
            rig.id.0,
            revision,
            rig.key.as_str(),
            title,
            false,
            text
        )?;
        self.add_rig_version(rig, entry).await
    }

    pub(super) async fn revise_rig(
        &mut self,
        rig: &OwnRig,
        entry: &Entry<Change>,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE rig
               SET revision = $3, title_folded = $4, record = $5
             WHERE team_id = $1
               AND id = $2
               AND revision = $3 - 1
               AND key = $6
               AND NOT withdrawn";
        let team = self.team;
        let revision = i64::from(rig.revision);
        let text = record::write("rig", rig)?;
        let title = fold(&rig.title);
        change_one!(
            self.conn,
            "rig",
            SQL,
            team.0,
            rig.id.0,
            revision,
            title,
            text,
            rig.key.as_str()
        )?;
        self.add_rig_version(rig, entry).await
    }

    async fn add_rig_version(
        &mut self,
        rig: &OwnRig,
        entry: &Entry<Change>,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO rig_version (team_id, rig_id, revision, person_id, recorded_at, record)
            VALUES ($1, $2, $3, $4, $5, $6)";
        let team = self.team;
        let revision = i64::from(rig.revision);
        let text = record::write("rig_version", rig)?;
        let (by, at) = (entry.actor.0, entry.recorded_at);
        change_any!(self.conn, SQL, team.0, rig.id.0, revision, by, at, text).map(drop)
    }

    /// Takes a rig out of what is offered, or offers it again. Its versions stay for the jobs that were planned with
    /// them.
    pub(super) async fn set_rig_withdrawn(
        &mut self,
        rig: RigId,
        withdrawn: bool,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE rig
               SET withdrawn = $3
             WHERE team_id = $1
               AND id = $2
               AND withdrawn <> $3";
        let team = self.team;
        change_one!(self.conn, "rig", SQL, team.0, rig.0, withdrawn)
    }
}
