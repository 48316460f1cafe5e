//! Which jobs hold which items when.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    statement::{Statement, Value, find_by},
};
use crate::domain::{ItemId, Job, JobId, KitLineId};

/// That a job holds an item for its time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Booking {
    /// The item.
    pub item: ItemId,
    /// The job.
    pub job: JobId,
    /// The line of the job's kit list.
    pub line: KitLineId,
    /// From when.
    pub starts_at: OffsetDateTime,
    /// Until when.
    pub ends_at: OffsetDateTime,
}

#[derive(sqlx::FromRow)]
struct BookingRow {
    item_id: Uuid,
    job_id: Uuid,
    id: Uuid,
    starts_at: OffsetDateTime,
    ends_at: OffsetDateTime,
}

impl From<BookingRow> for Booking {
    fn from(row: BookingRow) -> Self {
        Self {
            item: ItemId(row.item_id),
            job: JobId(row.job_id),
            line: KitLineId(row.id),
            starts_at: row.starts_at,
            ends_at: row.ends_at,
        }
    }
}

impl Tx {
    /// What holds any of these items at some time between `from` and `until`, the earliest first. A job that ends at
    /// the moment another begins leaves its items free for it.
    pub async fn bookings(
        &mut self,
        items: &[ItemId],
        from: OffsetDateTime,
        until: OffsetDateTime,
    ) -> Result<Vec<Booking>, StoreError> {
        let mut found = Vec::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new(
                "SELECT item_id, job_id, id, starts_at, ends_at
                   FROM kit_line
                  WHERE team_id = ",
            );
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement.sql(" AND holds = ").bind(Value::Flag(true));
            statement.sql(" AND ends_at > ").bind(from);
            statement.sql(" AND starts_at < ").bind(until);
            statement.sql(" ORDER BY starts_at, id");
            let rows: Vec<BookingRow> = find_by!(self.conn, statement)?;
            found.extend(rows.into_iter().map(Booking::from));
        }
        Ok(found)
    }
}

impl WriteTx {
    /// Refuses if another job holds one of the items at the time of `job`. The lock of the team is held, so what is
    /// free here is free until this transaction ends: of two crews who reach for an item, exactly one gets it.
    pub(super) async fn must_be_free(
        &mut self,
        items: &[ItemId],
        job: &Job,
    ) -> Result<(), StoreError> {
        let bookings = self.bookings(items, job.starts_at, job.ends_at).await?;
        match bookings.iter().find(|booking| booking.job != job.id) {
            Some(other) => Err(StoreError::Booked { by: other.job }),
            None => Ok(()),
        }
    }
}
