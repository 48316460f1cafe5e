//! Checkpoints of the ledger, the keys that sign them and who else does.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Door, Recorded, StoreError, Tx, WriteTx,
    ledger::{signed, unsigned},
    record,
    record::RecordRow,
    tx::{ask, change_any, change_one, find, find_all},
};
use crate::domain::{LedgerKey, TeamId, Witness, WitnessEnd};

/// A checkpoint as it is kept: a signed note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptCheckpoint {
    /// How many entries the ledger had.
    pub size: u64,
    /// When it was made.
    pub made_at: OffsetDateTime,
    /// The whole note, with every signature that came to it.
    pub note: String,
}

#[derive(sqlx::FromRow)]
struct CheckpointRow {
    size: i64,
    made_at: OffsetDateTime,
    note: String,
}

impl TryFrom<CheckpointRow> for KeptCheckpoint {
    type Error = StoreError;

    fn try_from(row: CheckpointRow) -> Result<Self, StoreError> {
        Ok(Self {
            size: unsigned("checkpoint", "size", row.size)?,
            made_at: row.made_at,
            note: row.note,
        })
    }
}

#[derive(sqlx::FromRow)]
struct KeyRow {
    seq: i64,
    record: String,
}

impl Door {
    /// The teams of which no key signs.
    pub async fn teams_without_key(&mut self) -> Result<Vec<TeamId>, StoreError> {
        const SQL: &str = "
            SELECT t.id
              FROM team t
             WHERE NOT EXISTS (
                   SELECT 1
                     FROM ledger_key k
                    WHERE k.team_id = t.id)";
        let rows: Vec<(Uuid,)> = find_all!(self.conn, SQL)?;
        Ok(rows.into_iter().map(|(team,)| TeamId(team)).collect())
    }

    /// The teams whose ledger has grown since `before`'s last checkpoint: that have a key, and none that was made after
    /// `before`.
    pub async fn teams_to_seal(
        &mut self,
        before: OffsetDateTime,
    ) -> Result<Vec<TeamId>, StoreError> {
        const SQL: &str = "
            SELECT DISTINCT k.team_id
              FROM ledger_key k
              JOIN ledger_head h
                ON h.team_id = k.team_id
             WHERE NOT EXISTS (
                   SELECT 1
                     FROM checkpoint c
                    WHERE c.team_id = k.team_id
                      AND (c.made_at > $1 OR c.size = h.size))";
        let rows: Vec<(Uuid,)> = find_all!(self.conn, SQL, before)?;
        Ok(rows.into_iter().map(|(team,)| TeamId(team)).collect())
    }
}

impl Tx {
    /// Every key that signed or signs the team's checkpoints, the newest first, each with the sequence number of the
    /// entry that took it.
    pub async fn ledger_keys(&mut self) -> Result<Vec<(u64, LedgerKey)>, StoreError> {
        const SQL: &str = "
            SELECT seq, record
              FROM ledger_key
             WHERE team_id = $1
             ORDER BY number DESC";
        let rows: Vec<KeyRow> = find_all!(self.conn, SQL, self.team.0)?;
        let read = |row: KeyRow| {
            let seq = unsigned("ledger_key", "seq", row.seq)?;
            Ok((seq, record::read("ledger_key", &row.record)?))
        };
        rows.into_iter().map(read).collect()
    }

    /// At most `limit` checkpoints of fewer than `before` entries (or the newest), the newest first.
    pub async fn checkpoints(
        &mut self,
        before: Option<u64>,
        limit: u32,
    ) -> Result<Vec<KeptCheckpoint>, StoreError> {
        const SQL: &str = "
            SELECT size, made_at, note
              FROM checkpoint
             WHERE team_id = $1
               AND size < $2
             ORDER BY size DESC
             LIMIT $3";
        let before = before.map_or(i64::MAX, signed);
        let rows: Vec<CheckpointRow> =
            find_all!(self.conn, SQL, self.team.0, before, i64::from(limit))?;
        rows.into_iter().map(KeptCheckpoint::try_from).collect()
    }

    /// How many checkpoints are kept.
    pub async fn checkpoints_kept(&mut self) -> Result<u64, StoreError> {
        const SQL: &str = "
            SELECT COUNT(*)
              FROM checkpoint
             WHERE team_id = $1";
        let count: i64 = ask!(self.conn, SQL, self.team.0)?;
        Ok(count.unsigned_abs())
    }

    /// The checkpoint of exactly so many entries.
    pub async fn checkpoint(&mut self, size: u64) -> Result<Option<KeptCheckpoint>, StoreError> {
        const SQL: &str = "
            SELECT size, made_at, note
              FROM checkpoint
             WHERE team_id = $1
               AND size = $2";
        let row: Option<CheckpointRow> = find!(self.conn, SQL, self.team.0, signed(size))?;
        row.map(KeptCheckpoint::try_from).transpose()
    }

    /// Everybody who is or was asked to sign checkpoints too, in the order of being asked.
    pub async fn witnesses(&mut self) -> Result<Vec<Witness>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM witness
             WHERE team_id = $1
             ORDER BY id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("witness", &rows)
    }
}

impl WriteTx {
    /// Keeps a checkpoint; where there is one of as many entries, the signatures that it has now.
    pub async fn keep_checkpoint(&mut self, kept: &KeptCheckpoint) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO checkpoint (team_id, size, made_at, note)
            VALUES ($1, $2, $3, $4)
                ON CONFLICT (team_id, size) DO UPDATE SET note = excluded.note";
        let KeptCheckpoint {
            size,
            made_at,
            note,
        } = kept;
        let team = self.team.0;
        let size = signed(*size);
        change_any!(self.conn, SQL, team, size, *made_at, note.as_str()).map(drop)
    }

    pub(super) async fn add_ledger_key(
        &mut self,
        key: &LedgerKey,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO ledger_key (team_id, number, seq, record)
            VALUES ($1, $2, $3, $4)";
        let team = self.team.0;
        let text = record::write("ledger_key", key)?;
        let number = i64::from(key.number);
        change_any!(self.conn, SQL, team, number, recorded.seq_column(), text).map(drop)
    }

    pub(super) async fn add_witness(&mut self, witness: &Witness) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO witness (team_id, id, record)
            VALUES ($1, $2, $3)";
        let team = self.team.0;
        let text = record::write("witness", witness)?;
        change_any!(self.conn, SQL, team, witness.id.0, text).map(drop)
    }

    /// Ends that somebody is asked to sign.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if there is none of this id, or it was ended already.
    pub(super) async fn end_witness(&mut self, end: &WitnessEnd) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE witness
               SET record = $3
             WHERE team_id = $1
               AND id = $2";
        let mut all = self.witnesses().await?.into_iter();
        let there = all.find(|one| one.id == end.witness && one.ended.is_none());
        let there = there.ok_or(StoreError::Stale { table: "witness" })?;
        let ended = Witness {
            ended: Some(end.reason.clone()),
            ..there
        };
        let team = self.team.0;
        let text = record::write("witness", &ended)?;
        change_one!(self.conn, "witness", SQL, team, end.witness.0, text)
    }
}
