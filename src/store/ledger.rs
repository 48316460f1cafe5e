//! The ledger's tables: the head, which is also the lock of a team's writers, the entries, and an index of what
//! each entry is about.

use futures::{Stream, TryStreamExt, stream};
use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    StoreError, Tx, WriteTx,
    tx::{Conn, change_one, find, find_all},
};
use crate::domain::{Change, Entry, Frontier, Hash, PersonId, Sealed, TeamId, ledger::leaf_hash};

/// How many entries are read at once.
pub(super) const PAGE: u32 = 500;

/// How far a team's ledger has grown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// How many entries it has.
    pub size: u64,
    /// The root of the tree over them.
    pub root: Hash,
}

/// Where a change was recorded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Recorded {
    /// The sequence number of its entry.
    pub seq: u64,
    /// The root of the tree that ends with it.
    pub root: Hash,
}

impl Recorded {
    /// The sequence number as columns hold it.
    pub(super) fn seq_column(self) -> i64 {
        signed(self.seq)
    }
}

/// The tree of a team whose lock is held, as far as this transaction has grown it.
#[derive(Clone)]
pub(super) struct Growth {
    frontier: Frontier,
    saved: u64,
    /// When the last entry was recorded, once it was asked for.
    latest: Option<OffsetDateTime>,
}

#[derive(sqlx::FromRow)]
struct HeadRow {
    size: i64,
    root: Vec<u8>,
    frontier: Vec<u8>,
}

impl HeadRow {
    fn head(&self) -> Result<Head, StoreError> {
        Ok(Head {
            size: unsigned("ledger_head", "size", self.size)?,
            root: hash("ledger_head", "root", &self.root)?,
        })
    }
}

impl Growth {
    /// Locks the team's ledger until the transaction ends, and reads how far it has grown.
    pub(super) async fn lock(conn: &mut Conn, team: TeamId) -> Result<Self, StoreError> {
        const SQL: &str = "
            UPDATE ledger_head
               SET size = size
             WHERE team_id = $1
            RETURNING size, root, frontier";
        let row: Option<HeadRow> = find!(*conn, SQL, team.0)?;
        let row = row.ok_or(StoreError::NoTeam)?;
        let size = row.head()?.size;
        let frontier = Frontier::from_bytes(size, &row.frontier)
            .map_err(|e| StoreError::corrupt("ledger_head", "frontier")(e.into()))?;
        Ok(Self {
            frontier,
            saved: size,
            latest: None,
        })
    }
}

impl Tx {
    /// How far the team's ledger has grown; none if there is no such team.
    pub async fn head(&mut self) -> Result<Option<Head>, StoreError> {
        const SQL: &str = "
            SELECT size, root, frontier
              FROM ledger_head
             WHERE team_id = $1";
        let row: Option<HeadRow> = find!(self.conn, SQL, self.team.0)?;
        row.map(|row| row.head()).transpose()
    }

    /// At most `limit` entries after `seq`, the oldest first: for exports, which ask again with the last they got.
    pub async fn entries_after(&mut self, seq: u64, limit: u32) -> Result<Vec<Sealed>, StoreError> {
        const SQL: &str = "
            SELECT seq, recorded_at, actor_id, kind, payload, leaf_hash, root
              FROM ledger_entry
             WHERE team_id = $1
               AND seq > $2
             ORDER BY seq
             LIMIT $3";
        let rows: Vec<EntryRow> =
            find_all!(self.conn, SQL, self.team.0, signed(seq), i64::from(limit))?;
        self.sealed(rows).await
    }

    /// Every entry of the team, the oldest first, all as they stood at one moment; a page of them in memory at a time.
    pub fn into_entries(self) -> impl Stream<Item = Result<Sealed, StoreError>> + Send {
        stream::try_unfold((self, 0), async |(mut tx, after)| {
            let page = tx.entries_after(after, PAGE).await?;
            let Some(last) = page.last().map(|entry| entry.seq) else {
                return Ok::<_, StoreError>(None);
            };
            let page = stream::iter(page.into_iter().map(Ok));
            Ok(Some((page, (tx, last))))
        })
        .try_flatten()
    }

    /// At most `limit` entries of the team before `seq` (or the newest), the newest first.
    pub async fn history(
        &mut self,
        before: Option<u64>,
        limit: u32,
    ) -> Result<Vec<Sealed>, StoreError> {
        const SQL: &str = "
            SELECT seq, recorded_at, actor_id, kind, payload, leaf_hash, root
              FROM ledger_entry
             WHERE team_id = $1
               AND seq < $2
             ORDER BY seq DESC
             LIMIT $3";
        let before = before.map_or(i64::MAX, signed);
        let rows: Vec<EntryRow> = find_all!(self.conn, SQL, self.team.0, before, i64::from(limit))?;
        self.sealed(rows).await
    }

    /// The last entry of one kind about one item or job: the verdict on a job that was kept last, say.
    pub async fn last_of_kind(
        &mut self,
        subject: Uuid,
        kind: &str,
    ) -> Result<Option<Sealed>, StoreError> {
        const SQL: &str = "
            SELECT e.seq, e.recorded_at, e.actor_id, e.kind, e.payload, e.leaf_hash, e.root
              FROM ledger_subject s
              JOIN ledger_entry e
                ON e.team_id = s.team_id
               AND e.seq = s.seq
             WHERE s.team_id = $1
               AND s.subject_id = $2
               AND e.kind = $3
             ORDER BY s.seq DESC
             LIMIT 1";
        let row: Option<EntryRow> = find!(self.conn, SQL, self.team.0, subject, kind)?;
        Ok(self.sealed(row.into_iter().collect()).await?.pop())
    }

    /// At most `limit` entries about one item, job, model or person before `seq` (or the newest), the newest first.
    pub async fn history_of(
        &mut self,
        subject: Uuid,
        before: Option<u64>,
        limit: u32,
    ) -> Result<Vec<Sealed>, StoreError> {
        const SQL: &str = "
            SELECT e.seq, e.recorded_at, e.actor_id, e.kind, e.payload, e.leaf_hash, e.root
              FROM ledger_subject s
              JOIN ledger_entry e
                ON e.team_id = s.team_id
               AND e.seq = s.seq
             WHERE s.team_id = $1
               AND s.subject_id = $2
               AND s.seq < $3
             ORDER BY s.seq DESC
             LIMIT $4";
        let before = before.map_or(i64::MAX, signed);
        let rows: Vec<EntryRow> = find_all!(
            self.conn,
            SQL,
            self.team.0,
            subject,
            before,
            i64::from(limit)
        )?;
        self.sealed(rows).await
    }
}

impl WriteTx {
    /// How far this transaction has grown the ledger.
    pub(crate) fn grown(&self) -> Head {
        Head {
            size: self.growth.frontier.size(),
            root: self.growth.frontier.root(),
        }
    }

    /// Where the last change was recorded.
    pub(super) fn last_recorded(&self) -> Recorded {
        let Head { size, root } = self.grown();
        Recorded { seq: size, root }
    }

    /// The moment at which what comes next is recorded: `at`, or that of the last entry where a clock went back. So moments
    /// never go back in a ledger, and those of some days are all between two of its entries.
    pub(super) async fn moment(
        &mut self,
        at: OffsetDateTime,
    ) -> Result<OffsetDateTime, StoreError> {
        // Asked behind the lock, so that what the holder before us has left is seen.
        const SQL: &str = "
            SELECT recorded_at
              FROM ledger_entry
             WHERE team_id = $1
               AND seq = $2";
        if self.growth.latest.is_none() {
            let (team, last) = (self.team.0, signed(self.growth.frontier.size()));
            let row: Option<(OffsetDateTime,)> = find!(self.conn, SQL, team, last)?;
            self.growth.latest = row.map(|(latest,)| latest);
        }
        let moment = self.growth.latest.map_or(at, |latest| at.max(latest));
        self.growth.latest = Some(moment);
        Ok(moment)
    }

    /// The sequence number that the next entry gets.
    pub(super) fn next_seq(&self) -> u64 {
        self.growth.frontier.size() + 1
    }

    /// Appends entries to the ledger under their bytes, and to the history of each of their subjects.
    pub(super) async fn append(
        &mut self,
        lines: &[(Entry<Change>, String)],
    ) -> Result<Vec<Recorded>, StoreError> {
        const ENTRY: &str = "
            INSERT INTO ledger_entry
                   (team_id, seq, recorded_at, actor_id, kind, payload, leaf_hash, root)
            VALUES ";
        const SUBJECT: &str = "
            INSERT INTO ledger_subject (team_id, subject_id, seq)
            VALUES ";
        const SUBTREE: &str = "
            INSERT INTO ledger_subtree (team_id, level, place, hash)
            VALUES ";
        let team = self.team.0;
        let (mut all, mut entries, mut subjects) = (Vec::new(), Vec::new(), Vec::new());
        let mut subtrees = Vec::new();
        for (entry, payload) in lines {
            let leaf = leaf_hash(payload.as_bytes());
            let full = self.growth.frontier.append(leaf).into_iter();
            subtrees.extend(full.map(|(subtree, hash)| {
                let place = signed(subtree.index).into();
                vec![
                    team.into(),
                    subtree.level.into(),
                    place,
                    hash.as_slice().into(),
                ]
            }));
            let root = self.growth.frontier.root();
            let recorded = Recorded {
                seq: entry.seq,
                root,
            };
            let seq = recorded.seq_column();
            entries.push(vec![
                team.into(),
                seq.into(),
                entry.recorded_at.into(),
                entry.actor.0.into(),
                entry.change.kind().into(),
                payload.as_str().into(),
                leaf.as_slice().into(),
                root.as_slice().into(),
            ]);
            let about = entry.change.subjects().into_iter();
            subjects.extend(about.map(|subject| vec![team.into(), subject.into(), seq.into()]));
            all.push(recorded);
        }
        self.insert(ENTRY, entries, "").await?;
        let tail = " ON CONFLICT DO NOTHING";
        self.insert(SUBJECT, subjects, tail).await?;
        self.insert(SUBTREE, subtrees, "").await?;
        Ok(all)
    }

    /// Writes the head once for all that this transaction has appended.
    pub(super) async fn save_growth(&mut self) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE ledger_head
               SET size = $2, root = $3, frontier = $4
             WHERE team_id = $1
               AND size = $5";
        let frontier = &self.growth.frontier;
        let (size, saved) = (frontier.size(), self.growth.saved);
        if size == saved {
            return Ok(());
        }
        let (root, peaks) = (frontier.root(), frontier.bytes());
        let team = self.team;
        change_one!(
            self.conn,
            "ledger_head",
            SQL,
            team.0,
            signed(size),
            root.as_slice(),
            peaks.as_slice(),
            signed(saved),
        )?;
        self.growth.saved = size;
        Ok(())
    }
}

/// The columns of an entry, whose names are still to be put to it.
#[derive(sqlx::FromRow)]
pub(super) struct EntryRow {
    seq: i64,
    recorded_at: OffsetDateTime,
    actor_id: Uuid,
    kind: String,
    payload: String,
    leaf_hash: Vec<u8>,
    root: Vec<u8>,
}

impl TryFrom<EntryRow> for Sealed {
    type Error = StoreError;
    fn try_from(row: EntryRow) -> Result<Self, StoreError> {
        Ok(Self {
            seq: unsigned("ledger_entry", "seq", row.seq)?,
            recorded_at: row.recorded_at,
            actor: PersonId(row.actor_id),
            kind: row.kind,
            payload: row.payload,
            leaf: hash("ledger_entry", "leaf_hash", &row.leaf_hash)?,
            root: hash("ledger_entry", "root", &row.root)?,
            names: Vec::new(),
        })
    }
}

/// A sequence number as the databases hold it; beyond what they hold there is none.
pub(super) fn signed(seq: u64) -> i64 {
    i64::try_from(seq).unwrap_or(i64::MAX)
}

pub(super) fn unsigned(
    table: &'static str,
    column: &'static str,
    number: i64,
) -> Result<u64, StoreError> {
    u64::try_from(number).map_err(|e| StoreError::corrupt(table, column)(e.into()))
}

pub(super) fn hash(
    table: &'static str,
    column: &'static str,
    bytes: &[u8],
) -> Result<Hash, StoreError> {
    Hash::try_from(bytes).map_err(|e| StoreError::corrupt(table, column)(e.into()))
}
