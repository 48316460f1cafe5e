//! The history as it is looked through: about one thing, of one kind, by one person, of some days.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Direction, StoreError, Tx,
    ledger::{EntryRow, signed, unsigned},
    line::push_line,
    statement::{Statement, find_by},
};
use crate::domain::{
    Change, Entry, Hash, ModelId, NoticeId, PersonId, Sealed, WholeRope,
    then::{MODEL_KINDS, NOTICE_KINDS},
};

/// Which entries are listed. What is not set leaves all in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EntryFilter {
    /// About this item, job, model or person alone.
    pub subject: Option<Uuid>,
    /// The ropes that the subject was part of: what was recorded about each before its cut is left in too.
    pub whole_ropes: Vec<WholeRope>,
    /// What the subject's record rests on.
    pub beside: Beside,
    /// Of this kind alone, as [`Change::kind`] writes it.
    pub kind: Option<&'static str>,
    /// Of these kinds alone; none is of all.
    pub kinds: &'static [&'static str],
    /// Recorded by this person alone.
    pub actor: Option<PersonId>,
    /// Recorded at this moment or later.
    pub from: Option<OffsetDateTime>,
    /// Recorded before this moment.
    pub before: Option<OffsetDateTime>,
}

/// What the record of an item rests on, beside its own: that each of these was put on record, corrected or withdrawn is
/// left in its history too.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Beside {
    /// The models that it is of, or was before it was corrected.
    pub models: Vec<ModelId>,
    /// The notices that cover it, or did before something was corrected.
    pub notices: Vec<NoticeId>,
}

impl Beside {
    /// All of it by its ids.
    pub fn ids(&self) -> impl Iterator<Item = Uuid> {
        let models = self.models.iter().map(|model| model.0);
        models.chain(self.notices.iter().map(|notice| notice.0))
    }
}

/// From one sequence number to another, both in it. Where nothing is in it, the first is beyond the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// The first.
    pub first: u64,
    /// The last.
    pub last: u64,
}

/// An entry that was read again, with its hashes.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// The entry.
    pub entry: Entry<Change>,
    /// Its leaf hash.
    pub leaf: Hash,
    /// The root of the tree that ends with it.
    pub root: Hash,
}

impl Span {
    /// Whether nothing is in it.
    pub fn is_empty(self) -> bool {
        self.first > self.last
    }

    /// What is left of it behind `seq`, on the way up or down.
    #[must_use]
    pub fn beyond(self, seq: u64, direction: Direction) -> Self {
        match direction {
            Direction::Up => Self {
                first: self.first.max(seq.saturating_add(1)),
                ..self
            },
            // Before the first entry there is none: 0 is beyond every span.
            Direction::Down => Self {
                last: self.last.min(seq.saturating_sub(1)),
                ..self
            },
        }
    }
}

impl TryFrom<Sealed> for Kept {
    type Error = StoreError;
    fn try_from(sealed: Sealed) -> Result<Self, StoreError> {
        let entry = sealed
            .entry()
            .map_err(|e| StoreError::corrupt("ledger_entry", "payload")(e.into()))?;
        Ok(Self {
            entry,
            leaf: sealed.leaf,
            root: sealed.root,
        })
    }
}

#[derive(sqlx::FromRow)]
struct SpanRow {
    first: Option<i64>,
    last: Option<i64>,
}

#[derive(sqlx::FromRow)]
struct SeqRow {
    seq: i64,
}

impl Tx {
    /// From the first to the last entry that the filter's moments leave in. Asked once for a walk through many pages,
    /// since it reads an index of all those moments; the walk then follows the sequence.
    pub async fn entry_span(&mut self, filter: &EntryFilter) -> Result<Span, StoreError> {
        if filter.from.is_none() && filter.before.is_none() {
            let last = self.head().await?.map_or(0, |head| head.size);
            return Ok(Span { first: 1, last });
        }
        let mut statement = Statement::new(
            "SELECT MIN(seq) AS first, MAX(seq) AS last FROM ledger_entry WHERE team_id = ",
        );
        statement.bind(self.team.0);
        if let Some(from) = filter.from {
            statement.sql(" AND recorded_at >= ").bind(from);
        }
        if let Some(before) = filter.before {
            statement.sql(" AND recorded_at < ").bind(before);
        }
        let rows: Vec<SpanRow> = find_by!(self.conn, statement)?;
        match rows.first() {
            Some(SpanRow {
                first: Some(first),
                last: Some(last),
            }) => Ok(Span {
                first: unsigned("ledger_entry", "seq", *first)?,
                last: unsigned("ledger_entry", "seq", *last)?,
            }),
            _ => Ok(Span { first: 1, last: 0 }),
        }
    }

    /// At most `limit` of the entries in `span` that the filter leaves in, upwards or downwards.
    pub async fn entries(
        &mut self,
        filter: &EntryFilter,
        span: Span,
        direction: Direction,
        limit: u32,
    ) -> Result<Vec<Kept>, StoreError> {
        let entries = self.sealed_entries(filter, span, direction, limit).await?;
        entries.into_iter().map(Kept::try_from).collect()
    }

    /// The same entries as their bytes.
    pub async fn sealed_entries(
        &mut self,
        filter: &EntryFilter,
        span: Span,
        direction: Direction,
        limit: u32,
    ) -> Result<Vec<Sealed>, StoreError> {
        if span.is_empty() {
            return Ok(Vec::new());
        }
        let head =
            "SELECT e.seq, e.recorded_at, e.actor_id, e.kind, e.payload, e.leaf_hash, e.root ";
        let statement = self.listing(head, filter, span, (direction, limit));
        let rows: Vec<EntryRow> = find_by!(self.conn, statement)?;
        self.sealed(rows).await
    }

    /// The sequence numbers of at most `limit` of the entries in `span` that the filter leaves in, upwards.
    pub async fn seqs(
        &mut self,
        filter: &EntryFilter,
        span: Span,
        limit: u32,
    ) -> Result<Vec<u64>, StoreError> {
        if span.is_empty() {
            return Ok(Vec::new());
        }
        let statement = self.listing("SELECT e.seq ", filter, span, (Direction::Up, limit));
        let rows: Vec<SeqRow> = find_by!(self.conn, statement)?;
        let seqs = rows.into_iter();
        seqs.map(|row| unsigned("ledger_entry", "seq", row.seq))
            .collect()
    }

    fn listing(
        &self,
        head: &'static str,
        filter: &EntryFilter,
        span: Span,
        (direction, limit): (Direction, u32),
    ) -> Statement {
        let mut statement = Statement::new(head);
        if let Some(subject) = filter.subject {
            statement.sql(
                "FROM ledger_subject s
                 JOIN ledger_entry e
                   ON e.team_id = s.team_id
                  AND e.seq = s.seq
                WHERE s.team_id = ",
            );
            statement.bind(self.team.0).sql(" AND ");
            push_subject(&mut statement, subject, filter);
            statement.sql(" AND s.seq BETWEEN ");
        } else {
            statement.sql("FROM ledger_entry e WHERE e.team_id = ");
            statement.bind(self.team.0).sql(" AND e.seq BETWEEN ");
        }
        statement.bind(signed(span.first)).sql(" AND ");
        statement.bind(signed(span.last));
        push_filter(&mut statement, filter);
        statement.sql(match (filter.subject.is_some(), direction) {
            (true, Direction::Up) => " ORDER BY s.seq LIMIT ",
            (true, Direction::Down) => " ORDER BY s.seq DESC LIMIT ",
            (false, Direction::Up) => " ORDER BY e.seq LIMIT ",
            (false, Direction::Down) => " ORDER BY e.seq DESC LIMIT ",
        });
        statement.bind(limit);
        statement
    }
}

/// Leaves in what is about the subject, its line and what stands beside it.
fn push_subject(statement: &mut Statement, subject: Uuid, filter: &EntryFilter) {
    let line = ("s.subject_id", "s.seq");
    let mut beside = filter.beside.ids().peekable();
    if beside.peek().is_none() {
        push_line(statement, line, subject, &filter.whole_ropes);
        return;
    }
    statement.sql("(");
    push_line(statement, line, subject, &filter.whole_ropes);
    statement.sql(" OR (s.subject_id IN ");
    statement.list(beside);
    statement.sql(" AND e.kind IN ");
    statement.list(MODEL_KINDS.iter().chain(NOTICE_KINDS).copied());
    statement.sql("))");
}

fn push_filter(statement: &mut Statement, filter: &EntryFilter) {
    if let Some(kind) = filter.kind {
        statement.sql(" AND e.kind = ").bind(kind);
    }
    if !filter.kinds.is_empty() {
        // Of many kinds: the sequence is walked, which no index by kind gives in order.
        statement.sql(" AND COALESCE(e.kind, e.kind) IN ");
        statement.list(filter.kinds.iter().copied());
    }
    if let Some(actor) = filter.actor {
        statement.sql(" AND e.actor_id = ").bind(actor.0);
    }
    // The span holds nearly all of it. An index of the moments would lead away from the sequence, so that the
    // comparison is kept from it.
    if let Some(from) = filter.from {
        statement
            .sql(" AND COALESCE(e.recorded_at, e.recorded_at) >= ")
            .bind(from);
    }
    if let Some(before) = filter.before {
        statement
            .sql(" AND COALESCE(e.recorded_at, e.recorded_at) < ")
            .bind(before);
    }
}
