//! When items fall due and when their lives end, as lists are sorted and counted by it: the earlier of the day that the
//! last examination set and the end of the interval that binds their model under the team's rulebook; and the earliest
//! of the limits of life.
//!
//! The intervals, for usual and for arduous use, and the limits of life are kept with each model. Whatever may change it, the team's choice of a rulebook, a new version of
//! that, the record of the model or a new version of this program, is followed by the days of that model's items.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};
use time::{Date, macros::date};

use super::{
    Database, StoreError, Tx, WriteTx, record,
    statement::{Statement, change_by},
    tx::{change_one, find_all},
};
use crate::domain::{
    Edition, Item, ItemState, Kind, LifeTerms, Model, ModelId, UseLimit,
    date::write_day,
    fitness::{Intervals, last_day_in_date},
    rulebook::{Rulebook, rulebook, shipped},
};

/// What stands in a column of days where there is no day: greater than every day.
pub(super) const NO_DAY: &str = "~";
/// What stands there where none is asked for either: behind everything that is counted.
pub(super) const NOT_ASKED: &str = "~~~";

/// How many items are read and written at once.
const PAGE: i64 = 1000;

/// By what the days of a model's items are counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct DayTerms {
    pub(super) intervals: Intervals,
    /// Whether they must pass an examination before they are used.
    pub(super) examined_first: bool,
    pub(super) life: LifeTerms,
    /// How much use ends their life before any day does.
    pub(super) use_limit: UseLimit,
}

/// The limits of life and of use as the column has them, where use is limited; else the limits of life stand alone.
#[derive(Serialize, Deserialize)]
struct KeptLimits {
    life: LifeTerms,
    use_limit: UseLimit,
}

/// What is used up has no day on which its life ended: it is over before every day.
const USED_UP: Date = date!(1950 - 01 - 01);

impl DayTerms {
    fn of(model: &Model, rulebook: &Rulebook) -> Self {
        Self {
            intervals: Intervals::of(model, rulebook),
            examined_first: model.kind.is_examined_first(),
            life: LifeTerms::of(model, rulebook),
            use_limit: model.use_limit,
        }
    }

    /// The last day on which an item is in date, as the column has it. What is retired falls due no more.
    pub(super) fn due_order(&self, item: &Item) -> String {
        let months = self.intervals.binding(item);
        match last_day_in_date(item, months) {
            None if !self.examined_first => NOT_ASKED.to_owned(),
            day => order_of(item, day),
        }
    }

    /// The first day on which an item may no longer be used, as the column has it: of what is used up one that is long
    /// over. What is retired ends no more.
    pub(super) fn life_order(&self, item: &Item) -> String {
        let end = self.life.life(item).ends_on();
        let used_up = item.usage.is_used_up(self.use_limit);
        order_of(item, if used_up { Some(USED_UP) } else { end })
    }

    /// The limits of life and of use as the column has them.
    pub(super) fn kept_limits(&self) -> Result<String, StoreError> {
        if self.use_limit.is_open() {
            return record::write("model", &self.life);
        }
        let kept = KeptLimits {
            life: self.life.clone(),
            use_limit: self.use_limit,
        };
        record::write("model", &kept)
    }
}

fn order_of(item: &Item, day: Option<Date>) -> String {
    day.filter(|_| item.state != ItemState::Retired)
        .map_or_else(|| NO_DAY.to_owned(), write_day)
}

/// Reads what stands in the row of a model: its kind, the months in usual and in arduous use, and the limits of life.
pub(super) fn read_terms(
    kind: &str,
    (usual, arduous): (i64, i64),
    life: &str,
) -> Result<DayTerms, StoreError> {
    let months = |column, months: i64| -> Result<u16, StoreError> {
        u16::try_from(months).map_err(|e| StoreError::corrupt("model", column)(e.into()))
    };
    let corrupt = |e: serde_json::Error| StoreError::corrupt("model", "life_terms")(e.into());
    let (life, use_limit) = match life {
        // Not worked out yet.
        "" => (LifeTerms::default(), UseLimit::default()),
        text if text.starts_with('{') => {
            let kept: KeptLimits = serde_json::from_str(text).map_err(corrupt)?;
            (kept.life, kept.use_limit)
        }
        text => (
            serde_json::from_str(text).map_err(corrupt)?,
            UseLimit::default(),
        ),
    };
    Ok(DayTerms {
        intervals: Intervals {
            usual: months("interval_months", usual)?,
            arduous: months("arduous_months", arduous)?,
        },
        examined_first: Kind::from_word(kind).is_none_or(Kind::is_examined_first),
        life,
        use_limit,
    })
}

impl Database {
    /// Works out for every team what another version of the program, or none yet, has worked out otherwise.
    pub(super) async fn keep_due_days(&self) -> Result<(), StoreError> {
        for team in self.door().await?.teams().await? {
            let changed = self.read(team.id).await?.day_terms_changed().await?;
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

    /// The models whose terms are others than those that are kept with them, with what they are now.
    async fn day_terms_changed(&mut self) -> Result<Vec<(ModelId, DayTerms)>, StoreError> {
        const SQL: &str = "
            SELECT interval_months, arduous_months, life_terms, record
              FROM model
             WHERE team_id = $1
             ORDER BY id";
        let rows: Vec<(i64, i64, String, String)> = find_all!(self.conn, SQL, self.team.0)?;
        if rows.is_empty() {
            return Ok(Vec::new());
        }
        let rulebook = self.home_rulebook().await?;
        let mut changed = Vec::new();
        for (usual, arduous, life, text) in rows {
            let model: Model = record::read("model", &text)?;
            let terms = DayTerms::of(&model, &rulebook);
            let kept = (usual, arduous, life);
            let now = (terms.intervals.usual.into(), terms.intervals.arduous.into());
            if kept != (now.0, now.1, terms.kept_limits()?) {
                changed.push((model.id, terms));
            }
        }
        Ok(changed)
    }
}

impl WriteTx {
    /// By what the days of a model's items are counted under the team's rulebook.
    pub(super) async fn day_terms_of(&mut self, model: &Model) -> Result<DayTerms, StoreError> {
        let rulebook = self.home_rulebook().await?;
        Ok(DayTerms::of(model, &rulebook))
    }

    /// Keeps terms and days in step after a change of the rulebook that the team works by.
    pub(super) async fn keep_due_days(&mut self) -> Result<(), StoreError> {
        for (model, terms) in self.day_terms_changed().await? {
            self.set_terms(model, &terms).await?;
        }
        Ok(())
    }

    async fn set_terms(&mut self, model: ModelId, terms: &DayTerms) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE model
               SET interval_months = $3, arduous_months = $4, life_terms = $5
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        let months = terms.intervals;
        let (usual, arduous) = (i64::from(months.usual), i64::from(months.arduous));
        let life = terms.kept_limits()?;
        change_one!(
            self.conn, "model", SQL, team.0, model.0, usual, arduous, life
        )?;
        self.set_days(model, terms).await
    }

    /// Writes when the items of a model fall due and when their lives end, where that has changed.
    pub(super) async fn set_days(
        &mut self,
        model: ModelId,
        terms: &DayTerms,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            SELECT mark_folded, due_order, life_order, record
              FROM item
             WHERE team_id = $1
               AND model_id = $2
               AND mark_folded > $3
             ORDER BY mark_folded
             LIMIT $4";
        let team = self.team.0;
        let mut after = String::new();
        loop {
            let rows: Vec<(String, String, String, String)> =
                find_all!(self.conn, SQL, team, model.0, after.as_str(), PAGE)?;
            let Some((last, ..)) = rows.last() else {
                return Ok(());
            };
            after.clone_from(last);
            let mut changed = Vec::new();
            for (_, due, life, text) in &rows {
                let item: Item = record::read("item", text)?;
                let days = (terms.due_order(&item), terms.life_order(&item));
                if (&days.0, &days.1) != (due, life) {
                    changed.push(vec![item.id.0.into(), days.0.into(), days.1.into()]);
                }
            }
            if changed.is_empty() {
                continue;
            }
            let mut statement = Statement::new("WITH due (id, day, life) AS (VALUES ");
            statement.rows(changed);
            statement.sql(") UPDATE item SET due_order = due.day, life_order = due.life FROM due");
            statement.sql(" WHERE item.team_id = ");
            statement.bind(team).sql(" AND item.id = due.id");
            change_by!(self.conn, statement)?;
        }
    }
}
