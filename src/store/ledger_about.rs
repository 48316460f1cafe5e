//! Entries about many things at once, and the days of what was done with many items, for who looks through the whole
//! record a page of it at a time.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{
    Kept, StoreError, Tx,
    ledger::EntryRow,
    model::MOST_AT_ONCE,
    statement::{Statement, find_by},
};
use crate::domain::{ExaminationKind, ItemId, JobState};

impl Tx {
    /// Every entry of these kinds about any of these, each once, in order.
    pub async fn entries_about(
        &mut self,
        subjects: &[Uuid],
        kinds: &'static [&'static str],
    ) -> Result<Vec<Kept>, StoreError> {
        let mut entries = Vec::new();
        for some in subjects.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new(
                "SELECT e.seq, e.recorded_at, e.actor_id, e.kind, e.payload, e.leaf_hash, e.root
                   FROM ledger_entry e
                  WHERE e.team_id = ",
            );
            statement.bind(self.team.0);
            statement.sql(" AND e.seq IN (SELECT seq FROM ledger_subject WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND subject_id IN ");
            statement.list(some.iter().copied());
            statement.sql(") AND COALESCE(e.kind, e.kind) IN ");
            statement.list(kinds.iter().copied());
            let rows: Vec<EntryRow> = find_by!(self.conn, statement)?;
            let sealed = self.sealed(rows).await?.into_iter();
            let kept: Vec<Kept> = sealed.map(Kept::try_from).collect::<Result<_, _>>()?;
            entries.extend(kept);
        }
        entries.sort_by_key(|kept| kept.entry.seq);
        entries.dedup_by_key(|kept| kept.entry.seq);
        Ok(entries)
    }

    /// The days of every thorough examination of these items, whatever it ended in, each with its item, the first first.
    pub async fn look_days(&mut self, items: &[ItemId]) -> Result<Vec<(ItemId, Date)>, StoreError> {
        let thorough = ExaminationKind::ALL.into_iter();
        let thorough: Vec<_> = thorough.filter(|kind| kind.is_thorough()).collect();
        let mut days = Vec::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement =
                Statement::new("SELECT item_id, examined_on FROM examination WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement
                .list(some.iter().map(|id| id.0))
                .sql(" AND kind IN ");
            statement.list(thorough.iter().map(|kind| kind.key()));
            statement.sql(" ORDER BY examined_on");
            let rows: Vec<(Uuid, Date)> = find_by!(self.conn, statement)?;
            days.extend(rows.into_iter().map(|(id, day)| (ItemId(id), day)));
        }
        Ok(days)
    }

    /// The days of which use of these items was logged, each with its item.
    pub async fn usage_days(
        &mut self,
        items: &[ItemId],
    ) -> Result<Vec<(ItemId, Date)>, StoreError> {
        let mut days = Vec::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement =
                Statement::new("SELECT item_id, used_on FROM usage_entry WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<(Uuid, Date)> = find_by!(self.conn, statement)?;
            days.extend(rows.into_iter().map(|(id, day)| (ItemId(id), day)));
        }
        Ok(days)
    }

    /// When the jobs began on whose lists these items stand, each with its item; without those that were cancelled, and
    /// those that begin at `now` or later.
    pub async fn job_starts(
        &mut self,
        items: &[ItemId],
        now: OffsetDateTime,
    ) -> Result<Vec<(ItemId, OffsetDateTime)>, StoreError> {
        let mut starts = Vec::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new(
                "SELECT k.item_id, k.starts_at
                   FROM kit_line k
                   JOIN job j
                     ON j.team_id = k.team_id
                    AND j.id = k.job_id
                  WHERE k.team_id = ",
            );
            statement.bind(self.team.0).sql(" AND k.item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement.sql(" AND k.starts_at < ").bind(now);
            statement
                .sql(" AND j.state <> ")
                .bind(JobState::Cancelled.key());
            let rows: Vec<(Uuid, OffsetDateTime)> = find_by!(self.conn, statement)?;
            starts.extend(rows.into_iter().map(|(id, at)| (ItemId(id), at)));
        }
        Ok(starts)
    }
}
