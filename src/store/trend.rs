//! Counts over the whole register: the databases group, and no record is read but those that are listed.

use std::collections::BTreeMap;

use time::Date;
use uuid::Uuid;

use super::{
    StoreError, Tx,
    due::NO_DAY,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::find_all,
};
use crate::domain::{
    Event, Examination, Item, ItemState, Kind, Made, Model, ModelId, RetiredFor, Verdict,
    date::read_day,
    trend::{Cohort, Failures, LotFailures, RetiredGroup},
};

/// From one day to another, both in it.
pub type Days = (Date, Date);

/// Which items of a model: those of one lot, as it is folded, or those with no lot noted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfLot {
    /// The model.
    pub model: ModelId,
    /// The lot, folded; empty is no lot noted, and none is all of the model.
    pub lot: Option<String>,
}

/// Which retired items are listed. What is not set leaves all in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct RetiredFilter {
    /// Of this kind.
    pub kind: Option<Kind>,
    /// For this.
    pub because: Option<RetiredFor>,
    /// In this year.
    pub year: Option<i32>,
}

#[derive(sqlx::FromRow)]
struct CohortRow {
    model_id: Uuid,
    made_order: String,
    life_order: String,
    items: i64,
}

#[derive(sqlx::FromRow)]
struct RetiredRow {
    kind: String,
    retired_for: String,
    retired_order: String,
    items: i64,
}

#[derive(sqlx::FromRow)]
struct LotRow {
    model_id: Uuid,
    lot: String,
    items: i64,
    items_examined: i64,
    items_failed: i64,
    examinations: i64,
    examinations_failed: i64,
    events: i64,
    items_with_event: i64,
}

/// A count as the domain has it; more than it holds stays at its end.
fn count(number: i64) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// What a column says, or that it cannot be read.
fn read<T>(column: &'static str, text: &str, read: Option<T>) -> Result<T, StoreError> {
    read.ok_or_else(|| StoreError::corrupt("item", column)(text.into()))
}

impl Tx {
    /// Every model of the team.
    pub async fn every_model(&mut self) -> Result<BTreeMap<ModelId, Model>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM model
             WHERE team_id = $1";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        let models: Vec<Model> = record::all("model", &rows)?;
        Ok(models.into_iter().map(|model| (model.id, model)).collect())
    }

    /// How many items that are not retired were made when and end when, by model.
    pub async fn cohorts(&mut self) -> Result<Vec<Cohort>, StoreError> {
        const SQL: &str = "
            SELECT model_id, made_order, life_order, COUNT(*) AS items
              FROM item
             WHERE team_id = $1
               AND state <> $2
             GROUP BY life_order, made_order, model_id
             ORDER BY life_order, made_order, model_id";
        let retired = ItemState::Retired.key();
        let rows: Vec<CohortRow> = find_all!(self.conn, SQL, self.team.0, retired)?;
        let cohorts = rows.into_iter().map(|row| {
            let made = match row.made_order.as_str() {
                NO_DAY => None,
                text => Some(read("made_order", text, Made::read(text).ok())?),
            };
            let ends_on = match row.life_order.as_str() {
                NO_DAY => None,
                text => Some(read("life_order", text, read_day(text).ok())?),
            };
            Ok(Cohort {
                model: ModelId(row.model_id),
                made,
                ends_on,
                items: count(row.items),
            })
        });
        cohorts.collect()
    }

    /// What failed and what happened from one day to another, by model and lot.
    pub async fn failures(&mut self, (from, until): Days) -> Result<Vec<LotFailures>, StoreError> {
        const SQL: &str = "
              WITH looked AS (
                   SELECT item_id, COUNT(*) AS looks, SUM(CASE WHEN verdict <> $4 THEN 1 ELSE 0 END) AS fails
                     FROM examination
                    WHERE team_id = $1
                      AND examined_on >= $2
                      AND examined_on <= $3
                    GROUP BY item_id),
                   happened AS (
                   SELECT item_id, COUNT(*) AS events
                     FROM event
                    WHERE team_id = $1
                      AND happened_on >= $2
                      AND happened_on <= $3
                    GROUP BY item_id)
            SELECT i.model_id,
                   MIN(i.lot) AS lot,
                   COUNT(*) AS items,
                   COUNT(l.item_id) AS items_examined,
                   CAST(SUM(CASE WHEN l.fails > 0 THEN 1 ELSE 0 END) AS BIGINT) AS items_failed,
                   CAST(COALESCE(SUM(l.looks), 0) AS BIGINT) AS examinations,
                   CAST(COALESCE(SUM(l.fails), 0) AS BIGINT) AS examinations_failed,
                   CAST(COALESCE(SUM(h.events), 0) AS BIGINT) AS events,
                   COUNT(h.item_id) AS items_with_event
              FROM item i
              LEFT JOIN looked l
                ON l.item_id = i.id
              LEFT JOIN happened h
                ON h.item_id = i.id
             WHERE i.team_id = $1
             GROUP BY i.lot_folded, i.model_id
             ORDER BY i.lot_folded, i.model_id";
        let (team, fit) = (self.team.0, Verdict::Fit.key());
        let rows: Vec<LotRow> = find_all!(self.conn, SQL, team, from, until, fit)?;
        let lots = rows.into_iter().map(|row| LotFailures {
            model: ModelId(row.model_id),
            lot: Some(row.lot).filter(|lot| !lot.is_empty()),
            failures: Failures {
                items: count(row.items),
                items_examined: count(row.items_examined),
                items_failed: count(row.items_failed),
                examinations: count(row.examinations),
                examinations_failed: count(row.examinations_failed),
                events: count(row.events),
                items_with_event: count(row.items_with_event),
            },
        });
        Ok(lots.collect())
    }

    /// The `limit` last failing examinations of a model or a lot of it in that time, the last done first.
    pub async fn failing_examinations(
        &mut self,
        of: &OfLot,
        (from, until): Days,
        limit: u32,
    ) -> Result<Vec<Examination>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM examination WHERE team_id = ");
        push_lot(&mut statement, self.team.0, of);
        statement.sql(" AND verdict <> ").bind(Verdict::Fit.key());
        statement.sql(" AND examined_on >= ").bind(from);
        statement.sql(" AND examined_on <= ").bind(until);
        statement.sql(" ORDER BY examined_on DESC, seq DESC LIMIT ");
        statement.bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("examination", &rows)
    }

    /// The `limit` last events of a model or a lot of it in that time, the last first.
    pub async fn events_of_lot(
        &mut self,
        of: &OfLot,
        (from, until): Days,
        limit: u32,
    ) -> Result<Vec<Event>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM event WHERE team_id = ");
        push_lot(&mut statement, self.team.0, of);
        statement.sql(" AND happened_on >= ").bind(from);
        statement.sql(" AND happened_on <= ").bind(until);
        statement.sql(" ORDER BY happened_on DESC, seq DESC LIMIT ");
        statement.bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("event", &rows)
    }

    /// How many items were retired on which day for what, by kind.
    pub async fn retired_groups(&mut self) -> Result<Vec<RetiredGroup>, StoreError> {
        const SQL: &str = "
            SELECT kind, retired_for, retired_order, COUNT(*) AS items
              FROM item
             WHERE team_id = $1
               AND retired_for > ''
             GROUP BY retired_for, retired_order, kind
             ORDER BY retired_for, retired_order, kind";
        let rows: Vec<RetiredRow> = find_all!(self.conn, SQL, self.team.0)?;
        let groups = rows.into_iter().map(|row| {
            let (key, word, day) = (&row.kind, &row.retired_for, &row.retired_order);
            let kind = Kind::ALL.iter().find(|kind| kind.key() == key);
            Ok(RetiredGroup {
                kind: *read("kind", key, kind)?,
                because: read("retired_for", word, RetiredFor::from_key(word))?,
                on: read("retired_order", day, read_day(day).ok())?,
                items: count(row.items),
            })
        });
        groups.collect()
    }

    /// The `limit` items that were retired last, the last first.
    pub async fn retired_items(
        &mut self,
        filter: RetiredFilter,
        limit: u32,
    ) -> Result<Vec<Item>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM item WHERE team_id = ");
        statement.bind(self.team.0);
        match filter.because {
            Some(because) => statement.sql(" AND retired_for = ").bind(because.key()),
            None => statement.sql(" AND retired_for > ''"),
        };
        if let Some(year) = filter.year {
            let begin = |year: i32| format!("{year:04}-");
            statement.sql(" AND retired_order >= ").bind(begin(year));
            statement.sql(" AND retired_order < ").bind(begin(year + 1));
        }
        if let Some(kind) = filter.kind {
            statement.sql(" AND kind = ").bind(kind.key());
        }
        statement.sql(" ORDER BY retired_order DESC, mark_folded LIMIT ");
        statement.bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("item", &rows)
    }

    /// A page of the items of these models that are not retired, by mark, after `after`, as marks are folded.
    pub async fn items_of_models(
        &mut self,
        models: &[ModelId],
        after: &str,
        limit: u32,
    ) -> Result<Vec<Item>, StoreError> {
        if models.is_empty() {
            return Ok(Vec::new());
        }
        let mut statement = Statement::new("SELECT record FROM item WHERE team_id = ");
        statement.bind(self.team.0);
        statement.sql(" AND model_id IN ");
        statement.list(models.iter().map(|model| model.0));
        statement
            .sql(" AND state <> ")
            .bind(ItemState::Retired.key());
        statement.sql(" AND mark_folded > ").bind(after);
        statement.sql(" ORDER BY mark_folded LIMIT ").bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("item", &rows)
    }
}

/// The team, and that the item is one of these. Its items are few beside the records, so they are looked up first.
fn push_lot(statement: &mut Statement, team: Uuid, of: &OfLot) {
    statement.bind(team);
    statement.sql(" AND item_id IN (SELECT id FROM item WHERE team_id = ");
    statement.bind(team).sql(" AND model_id = ");
    statement.bind(of.model.0);
    if let Some(lot) = &of.lot {
        statement.sql(" AND lot_folded = ").bind(lot.as_str());
    }
    statement.sql(")");
}
