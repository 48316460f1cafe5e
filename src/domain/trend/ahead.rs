//! What reaches the end of its life, and what that costs as far as prices are on record.

use std::collections::BTreeMap;

use time::Date;

use super::Cohort;
use crate::domain::date::add_months;
use crate::domain::{Bill, Item, Kind, Model, ModelId, Reach, used};

/// How many months are looked ahead.
pub const MONTHS_AHEAD: u16 = 36;

/// Items of one model whose life ends in one month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AheadRow {
    /// The month, such as `2026-03`; none where the life was over before today or is over today.
    pub month: Option<String>,
    /// The model.
    pub model: ModelId,
    /// How many, and what they cost.
    pub bill: Bill,
}

/// What ends in one month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AheadMonth {
    /// The month; none is what is over already.
    pub month: Option<String>,
    /// How many, and what they cost.
    pub bill: Bill,
}

/// What ends of one model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AheadModel {
    /// The model.
    pub model: ModelId,
    /// Whose life is over already.
    pub past: Bill,
    /// Whose life ends in the months ahead.
    pub ahead: Bill,
}

/// Items of one model whose maker limits its use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UseAhead {
    /// The model.
    pub model: ModelId,
    /// Items that are not retired.
    pub items: u32,
    /// Whose use is up.
    pub used_up: u32,
    /// Which have used 90 % or more.
    pub near: u32,
}

/// What ends from today until so many months from now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ahead {
    /// The last day that is looked at.
    pub until: Date,
    /// By month and model; what is over already first.
    pub rows: Vec<AheadRow>,
    /// By month, without a gap; what is over already first.
    pub months: Vec<AheadMonth>,
    /// By model, as far as anything ends.
    pub models: Vec<AheadModel>,
    /// Items whose life ends later.
    pub later: u32,
    /// Items whose life no day ends: the condition decides, or the end cannot be told.
    pub open: u32,
}

/// What ends of a kind or of everything.
pub fn ahead(
    cohorts: &[Cohort],
    models: &BTreeMap<ModelId, Model>,
    today: Date,
    kind: Option<Kind>,
) -> Ahead {
    let until = add_months(today, MONTHS_AHEAD);
    let mut rows: BTreeMap<(Option<String>, ModelId), Bill> = BTreeMap::new();
    let (mut later, mut open) = (0, 0);
    for cohort in cohorts {
        let model = models.get(&cohort.model);
        let Some(model) = model.filter(|model| kind.is_none_or(|kind| kind == model.kind)) else {
            continue;
        };
        let month = match cohort.ends_on {
            Some(end) if end <= today => None,
            Some(end) if end <= until => Some(month_of(end)),
            Some(_) => {
                later += cohort.items;
                continue;
            }
            None => {
                open += cohort.items;
                continue;
            }
        };
        let bill = rows.entry((month, model.id)).or_default();
        bill.add(cohort.items, model.price.as_ref());
    }
    let rows = rows.into_iter();
    let rows = rows.map(|((month, model), bill)| AheadRow { month, model, bill });
    let rows: Vec<AheadRow> = rows.collect();
    Ahead {
        until,
        months: by_month(&rows, today),
        models: by_model(&rows),
        rows,
        later,
        open,
    }
}

fn month_of(day: Date) -> String {
    format!("{:04}-{:02}", day.year(), u8::from(day.month()))
}

fn by_month(rows: &[AheadRow], today: Date) -> Vec<AheadMonth> {
    let first = today.replace_day(1).unwrap_or(today);
    let months = (0..=MONTHS_AHEAD).map(|month| Some(month_of(add_months(first, month))));
    let months = std::iter::once(None).chain(months).map(|month| {
        let mut bill = Bill::default();
        for row in rows.iter().filter(|row| row.month == month) {
            bill.add_all(&row.bill);
        }
        AheadMonth { month, bill }
    });
    months.collect()
}

fn by_model(rows: &[AheadRow]) -> Vec<AheadModel> {
    let mut models: BTreeMap<ModelId, AheadModel> = BTreeMap::new();
    for row in rows {
        let of = models.entry(row.model).or_insert_with(|| AheadModel {
            model: row.model,
            past: Bill::default(),
            ahead: Bill::default(),
        });
        match row.month {
            None => of.past.add_all(&row.bill),
            Some(_) => of.ahead.add_all(&row.bill),
        }
    }
    models.into_values().collect()
}

impl UseAhead {
    /// Nothing of a model yet.
    pub fn of(model: ModelId) -> Self {
        Self {
            model,
            items: 0,
            used_up: 0,
            near: 0,
        }
    }

    /// Counts an item of the model.
    pub fn count(&mut self, item: &Item, model: &Model) {
        self.items += 1;
        let limits = used(item.usage, model);
        match limits.iter().map(|used| used.reach).max() {
            Some(Reach::UsedUp) => self.used_up += 1,
            Some(Reach::Near) => self.near += 1,
            _ => {}
        }
    }
}
