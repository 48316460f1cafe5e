//! What the first page counts.

use std::collections::HashMap;

use time::{Date, Duration, OffsetDateTime};
use uuid::Uuid;

use super::{
    StoreError, Tx,
    item_group::MARKINGS_UNKNOWN,
    tx::{ask, find_all},
};
use crate::domain::{ItemState, JobState, Kind, StoreId, date::write_day};

/// How the register stands today.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Items in service whose examination was due before today.
    pub overdue: u64,
    /// Items in service whose examination falls due from today on, within the days that were asked for.
    pub due_soon: u64,
    /// Items in service that have no due day, since they never passed an examination.
    pub never_passed: u64,
    /// Items in service of which nobody noted whether their markings can be read, though jobs ask for it.
    pub markings_unknown: u64,
    /// Items in service whose life is over, by its end or by their use.
    pub life_over: u64,
    /// Items in quarantine.
    pub quarantined: u64,
    /// Items missing.
    pub missing: u64,
    /// Items that whoever counted them back wants looked at.
    pub look_asked: u64,
    /// Jobs planned that have not ended.
    pub jobs_coming: u64,
    /// Safety notices, those that were withdrawn among them.
    pub notices: u64,
}

/// Due from one day on and before another, as the column has them. What has no day stands behind every day.
const DUE: &str = "
    SELECT COUNT(*)
      FROM item
     WHERE team_id = $1
       AND state = $2
       AND due_order >= $3
       AND due_order < $4";
const NO_DAY: (&str, &str) = ("~", "~~");

impl Tx {
    /// How the register stands at `now`, with what falls due within so many days.
    pub async fn counts(&mut self, now: OffsetDateTime, days: u16) -> Result<Counts, StoreError> {
        const IN_STATE: &str = "
            SELECT COUNT(*)
              FROM item
             WHERE team_id = $1
               AND state = $2";
        const JOBS: &str = "
            SELECT COUNT(*)
              FROM job
             WHERE team_id = $1
               AND state = $2
               AND ends_at > $3";
        const NOTICES: &str = "
            SELECT COUNT(*)
              FROM notice
             WHERE team_id = $1";
        let day = self.day(now).await?;
        let today = write_day(day);
        let end = day.checked_add(Duration::days(i64::from(days) + 1));
        let end = write_day(end.unwrap_or(Date::MAX));
        let (team, quarantined, missing, planned) = (
            self.team.0,
            ItemState::Quarantined.key(),
            ItemState::Missing.key(),
            JobState::Planned.key(),
        );
        let quarantined: i64 = ask!(self.conn, IN_STATE, team, quarantined)?;
        let missing: i64 = ask!(self.conn, IN_STATE, team, missing)?;
        let jobs_coming: i64 = ask!(self.conn, JOBS, team, planned, now)?;
        let notices: i64 = ask!(self.conn, NOTICES, team)?;
        Ok(Counts {
            overdue: self.count_due("", &today).await?,
            due_soon: self.count_due(&today, &end).await?,
            never_passed: self.count_due(NO_DAY.0, NO_DAY.1).await?,
            markings_unknown: self.count_unmarked().await?,
            life_over: self.count_over(&today).await?,
            quarantined: quarantined.unsigned_abs(),
            missing: missing.unsigned_abs(),
            look_asked: self.looks_asked().await?,
            jobs_coming: jobs_coming.unsigned_abs(),
            notices: notices.unsigned_abs(),
        })
    }

    /// How many items are to be looked at since whoever counted them back wants that.
    pub async fn looks_asked(&mut self) -> Result<u64, StoreError> {
        const SQL: &str = "
            SELECT COUNT(*)
              FROM item
             WHERE team_id = $1
               AND look_asked = $2";
        let count: i64 = ask!(self.conn, SQL, self.team.0, true)?;
        Ok(count.unsigned_abs())
    }

    /// How many items that are not retired each store holds; a store that holds none is left out.
    pub async fn items_in_stores(&mut self) -> Result<HashMap<StoreId, u64>, StoreError> {
        const SQL: &str = "
            SELECT store_id, COUNT(*)
              FROM item
             WHERE team_id = $1
               AND state <> $2
             GROUP BY store_id";
        let retired = ItemState::Retired.key();
        let rows: Vec<(Uuid, i64)> = find_all!(self.conn, SQL, self.team.0, retired)?;
        let rows = rows.into_iter();
        Ok(rows
            .map(|(store, count)| (StoreId(store), count.unsigned_abs()))
            .collect())
    }

    async fn count_unmarked(&mut self) -> Result<u64, StoreError> {
        const SQL: &str = "
            SELECT kind, COUNT(*)
              FROM item
             WHERE team_id = $1
               AND markings = $2
               AND state = $3
             GROUP BY kind";
        let (team, state) = (self.team.0, ItemState::InService.key());
        let rows: Vec<(String, i64)> = find_all!(self.conn, SQL, team, MARKINGS_UNKNOWN, state)?;
        let asked = rows.iter().filter(|(kind, _)| {
            let kind = Kind::from_word(kind);
            !kind.is_some_and(Kind::is_beside_the_rig)
        });
        Ok(asked.map(|(_, count)| count.unsigned_abs()).sum())
    }

    async fn count_over(&mut self, today: &str) -> Result<u64, StoreError> {
        const SQL: &str = "
            SELECT COUNT(*)
              FROM item
             WHERE team_id = $1
               AND state = $2
               AND life_order <= $3";
        let state = ItemState::InService.key();
        let count: i64 = ask!(self.conn, SQL, self.team.0, state, today)?;
        Ok(count.unsigned_abs())
    }

    async fn count_due(&mut self, from: &str, until: &str) -> Result<u64, StoreError> {
        let state = ItemState::InService.key();
        let count: i64 = ask!(self.conn, DUE, self.team.0, state, from, until)?;
        Ok(count.unsigned_abs())
    }
}
