//! When items fall due, as lists are sorted and counted by it: the earlier of the day that the last examination set
//! and the end of the interval that binds their model under the team's rulebook.
//!
//! The intervals, for usual and for arduous use, are kept with each model. Whatever may change it, the team's choice of a rulebook, a new version of
//! that, the record of the model or a new version of this program, is followed by the days of that model's items.

use std::borrow::Cow;

use super::{
    Database, StoreError, Tx, WriteTx, record,
    statement::{Statement, change_by},
    tx::{change_one, find_all},
};
use crate::domain::{
    Edition, Item, ItemState, Model, ModelId,
    date::write_day,
    fitness::{Intervals, last_day_in_date},
    rulebook::{Rulebook, rulebook, shipped},
};

/// What stands in a column of days where there is no day: greater than every day.
pub(super) const NO_DAY: &str = "~";

/// How many items are read and written at once.
const PAGE: i64 = 1000;

/// The last day on which an item is in date, as the column has it. What is retired falls due no more.
pub(super) fn due_order(item: &Item, intervals: Intervals) -> String {
    last_day_in_date(item, intervals.binding(item))
        .filter(|_| item.state != ItemState::Retired)
        .map_or_else(|| NO_DAY.to_owned(), write_day)
}

impl Database {
    /// Works out for every team what another version of the program, or none yet, has worked out otherwise.
    pub(super) async fn keep_due_days(&self) -> Result<(), StoreError> {
        for team in self.door().await?.teams().await? {
            let changed = self.read(team.id).await?.intervals_changed().await?;
            if !changed.is_empty() {
                let mut tx = self.write(team.id).await?;
                tx.keep_due_days().await?;
                tx.commit().await?;
            }
        }
        Ok(())
    }
}

impl Tx {
    /// The rulebook that the team works by, in its newest version; the first shipped one where it has none.
    ///
    /// # Errors
    /// [`StoreError::NoTeam`] if it is not there.
    pub async fn home_rulebook(&mut self) -> Result<Cow<'static, Rulebook>, StoreError> {
        let (team, _) = self.this_team().await?.ok_or(StoreError::NoTeam)?;
        if let Some(book) = rulebook(&team.rulebook) {
            return Ok(Cow::Borrowed(book));
        }
        let own = self
            .rulebook_named(&Edition::read(&team.rulebook))
            .await?
            .map(|own| Cow::Owned(own.rulebook.book));
        Ok(own.unwrap_or(Cow::Borrowed(&shipped()[0])))
    }

    /// The models whose intervals are others than those that are kept with them, with what they are now.
    async fn intervals_changed(&mut self) -> Result<Vec<(ModelId, Intervals)>, StoreError> {
        const SQL: &str = "
            SELECT interval_months, arduous_months, record
              FROM model
             WHERE team_id = $1
             ORDER BY id";
        let rows: Vec<(i64, i64, String)> = find_all!(self.conn, SQL, self.team.0)?;
        if rows.is_empty() {
            return Ok(Vec::new());
        }
        let rulebook = self.home_rulebook().await?;
        let mut changed = Vec::new();
        for (usual, arduous, text) in rows {
            let model: Model = record::read("model", &text)?;
            let intervals = Intervals::of(&model, &rulebook);
            if (usual, arduous) != (intervals.usual.into(), intervals.arduous.into()) {
                changed.push((model.id, intervals));
            }
        }
        Ok(changed)
    }
}

impl WriteTx {
    /// The intervals that bind a model's items under the team's rulebook.
    pub(super) async fn intervals_of(&mut self, model: &Model) -> Result<Intervals, StoreError> {
        let rulebook = self.home_rulebook().await?;
        Ok(Intervals::of(model, &rulebook))
    }

    /// Keeps intervals and due days in step after a change of the rulebook that the team works by.
    pub(super) async fn keep_due_days(&mut self) -> Result<(), StoreError> {
        for (model, intervals) in self.intervals_changed().await? {
            self.set_intervals(model, intervals).await?;
        }
        Ok(())
    }

    async fn set_intervals(
        &mut self,
        model: ModelId,
        intervals: Intervals,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE model
               SET interval_months = $3, arduous_months = $4
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        let (usual, arduous) = (i64::from(intervals.usual), i64::from(intervals.arduous));
        change_one!(self.conn, "model", SQL, team.0, model.0, usual, arduous)?;
        self.set_due_days(model, intervals).await
    }

    /// Writes when the items of a model fall due, where that has changed.
    pub(super) async fn set_due_days(
        &mut self,
        model: ModelId,
        intervals: Intervals,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            SELECT mark_folded, due_order, record
              FROM item
             WHERE team_id = $1
               AND model_id = $2
               AND mark_folded > $3
             ORDER BY mark_folded
             LIMIT $4";
        let team = self.team.0;
        let mut after = String::new();
        loop {
            let rows: Vec<(String, String, String)> =
                find_all!(self.conn, SQL, team, model.0, after.as_str(), PAGE)?;
            let Some((last, _, _)) = rows.last() else {
                return Ok(());
            };
            after.clone_from(last);
            let mut changed = Vec::new();
            for (_, kept, text) in &rows {
                let item: Item = record::read("item", text)?;
                let due = due_order(&item, intervals);
                if due != *kept {
                    changed.push(vec![item.id.0.into(), due.into()]);
                }
            }
            if changed.is_empty() {
                continue;
            }
            let mut statement = Statement::new("WITH due (id, day) AS (VALUES ");
            statement.rows(changed);
            statement.sql(") UPDATE item SET due_order = due.day FROM due WHERE item.team_id = ");
            statement.bind(team).sql(" AND item.id = due.id");
            change_by!(self.conn, statement)?;
        }
    }
}
