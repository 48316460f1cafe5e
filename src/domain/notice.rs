//! A maker's or authority's safety notice, and which items it covers.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{Made, in_reach, iso, read_day, write_day};
use super::item::past_day;
use super::rating::optional;
use super::{FieldErrors, Item, ItemId, Model, NoticeId};

/// A safety notice. An item stays covered until it is closed for that item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Notice {
    /// Its id.
    pub id: NoticeId,
    /// One line that says what it is about.
    pub title: String,
    /// Who issued it.
    pub issuer: String,
    /// The day it was issued.
    #[serde(with = "iso")]
    pub issued_on: Date,
    /// The maker whose gear it covers.
    pub maker: String,
    /// The model's name; empty covers all of the maker's.
    pub model_name: String,
    /// The lots; empty covers all.
    pub lots: Vec<String>,
    /// The first day made that it covers.
    #[serde(with = "iso::option")]
    pub made_from: Option<Date>,
    /// The last day made that it covers.
    #[serde(with = "iso::option")]
    pub made_until: Option<Date>,
    /// What is to be done.
    pub action: String,
}

impl Notice {
    /// Whether it covers an item of this model.
    ///
    /// What is not known about the item never takes it out: an item with no lot noted counts as
    /// being of the lot, and one whose date made is not known as made in the window.
    pub fn covers(&self, item: &Item, model: &Model) -> bool {
        let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
        let lot = self.lots.is_empty()
            || item
                .lot
                .as_ref()
                .is_none_or(|lot| self.lots.iter().any(|covered| same(covered, lot)));
        same(&self.maker, &model.maker)
            && (self.model_name.is_empty() || same(&self.model_name, &model.name))
            && lot
            && self.covers_made(item.made)
    }

    fn covers_made(&self, made: Option<Made>) -> bool {
        let Some(made) = made else { return true };
        let (first, last) = (made.cautious_day(), made.last_day());
        self.made_from.is_none_or(|from| last >= from)
            && self.made_until.is_none_or(|until| first <= until)
    }
}

/// That the notice is dealt with for one item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct NoticeClosing {
    /// The notice.
    pub notice: NoticeId,
    /// The item.
    pub item: ItemId,
    /// What was found and done.
    pub result: String,
}

/// A notice as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct NoticeDraft {
    /// One line that says what it is about.
    pub title: String,
    /// Who issued it.
    pub issuer: String,
    /// The day it was issued.
    pub issued_on: String,
    /// The maker.
    pub maker: String,
    /// The model's name; empty covers all of the maker's.
    pub model_name: String,
    /// The lots, between commas; empty covers all.
    pub lots: String,
    /// The first day made.
    pub made_from: String,
    /// The last day made.
    pub made_until: String,
    /// What is to be done.
    pub action: String,
}

impl NoticeDraft {
    /// The notice that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: NoticeId, today: Date) -> Result<Notice, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let title = wrong.line("title", &self.title);
        let issuer = wrong.line("issuer", &self.issuer);
        let issued_on = past_day(&mut wrong, "issued_on", &self.issued_on, today);
        if self.issued_on.trim().is_empty() {
            wrong.add(
                "issued_on",
                "required",
                "Write the day on which it was issued.",
            );
        }
        let maker = wrong.line("maker", &self.maker);
        let model_name = wrong
            .optional_line("model_name", &self.model_name)
            .unwrap_or_default();
        let lots = self.lots(&mut wrong);
        let day = |text: &str, field: &str, wrong: &mut FieldErrors| {
            optional(text, |text| {
                wrong.keep(field, "date", read_day(text).and_then(in_reach))
            })
        };
        let made_from = day(&self.made_from, "made_from", &mut wrong);
        let made_until = day(&self.made_until, "made_until", &mut wrong);
        if let (Some(from), Some(until)) = (made_from, made_until)
            && until < from
        {
            wrong.add(
                "made_until",
                "range",
                format!(
                    "The last day must not be before the first, {}.",
                    write_day(from)
                ),
            );
        }
        let action = wrong.reason("action", &self.action);
        match issued_on {
            Some(issued_on) if wrong.is_empty() => Ok(Notice {
                id,
                title,
                issuer,
                issued_on,
                maker,
                model_name,
                lots,
                made_from,
                made_until,
                action,
            }),
            _ => Err(wrong),
        }
    }

    fn lots(&self, wrong: &mut FieldErrors) -> Vec<String> {
        let lots = self
            .lots
            .split([',', ';', '\n'])
            .map(str::trim)
            .filter(|lot| !lot.is_empty());
        let lots: Vec<String> = lots.map(|lot| wrong.line("lots", lot)).collect();
        if lots.len() > 500 {
            wrong.add(
                "lots",
                "long",
                format!("Keep to 500 lots in a notice; {} were given.", lots.len()),
            );
        }
        lots
    }
}
