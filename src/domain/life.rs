//! When an item's life ends, and which rule says so.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{add_months, write_day};
use super::{Cited, Item, Known, Material, Model};

/// The maker's limit of life. All empty means that it is not known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LifeLimit {
    /// Years from the day made.
    pub years_from_made: Option<u16>,
    /// Years from the first use.
    pub years_from_first_use: Option<u16>,
    /// The maker sets no years; the condition decides.
    pub by_condition: bool,
}

impl LifeLimit {
    /// Whether the maker's limit is known.
    pub fn is_known(self) -> bool {
        self.by_condition || self.years_from_made.is_some() || self.years_from_first_use.is_some()
    }
}

/// The day on which a life ends and the rule that sets it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LifeEnd {
    /// The first day on which the item may no longer be used.
    #[serde(with = "super::date::iso")]
    pub on: Date,
    /// The rule in words.
    pub rule: String,
    /// Where the rule is from.
    pub source: Cited,
}

/// What is known of an item's end of life.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Life {
    /// It ends on a day.
    Ends(LifeEnd),
    /// No years are set; the condition decides.
    ByCondition(Cited),
    /// It cannot be told; the sentence says what is missing.
    Unknown(String),
}

impl Life {
    /// The day on which it ends, if it does on one.
    pub fn ends_on(&self) -> Option<Date> {
        match self {
            Self::Ends(end) => Some(end.on),
            _ => None,
        }
    }
}

/// Years from the day made that are most often stated for textiles and plastics.
const USUAL_YEARS: u16 = 10;

/// When the life of an item of this model ends: the earliest of the rules that apply.
///
/// Where the maker says nothing, textiles and plastics get ten years from the day made and metal
/// goes by its condition; both are the usual statements of the trade and are labelled so. Where only
/// the year made is known, the life counts from 1 January of it.
pub fn life(item: &Item, model: &Model) -> Life {
    let maker = || Cited::new("maker's limit, as entered for the model", Known::Setting);
    let mut ends = Vec::new();
    if let Some(years) = model.life.years_from_made {
        let Some(made) = item.made else {
            return Life::Unknown(
                "The date made is unknown, and the maker's limit counts from it.".to_owned(),
            );
        };
        ends.push(end(
            made.cautious_day(),
            years,
            "made",
            made.precision(),
            maker(),
        ));
    }
    if let (Some(years), Some(first)) = (model.life.years_from_first_use, item.first_used_on) {
        ends.push(end(first, years, "first used", None, maker()));
    }
    if let Some(earliest) = ends.into_iter().min_by_key(|end| end.on) {
        return Life::Ends(earliest);
    }
    if model.life.years_from_first_use.is_some() && model.life.years_from_made.is_none() {
        // Not used yet: the years from first use have not begun; the usual limit still counts.
        return usual(item, model);
    }
    if model.life.by_condition {
        return Life::ByCondition(maker());
    }
    usual(item, model)
}

fn usual(item: &Item, model: &Model) -> Life {
    if model.material == Material::Metal {
        return Life::ByCondition(Cited::new(
            "no fixed life for metal, by its condition; several trade pages",
            Known::ReadSecondary,
        ));
    }
    match item.made {
        None => Life::Unknown(
            "The date made is unknown, and no other rule sets the end of its life.".to_owned(),
        ),
        Some(made) => Life::Ends(end(
            made.cautious_day(),
            USUAL_YEARS,
            "made",
            made.precision(),
            Cited::new(
                "most often stated for textiles; NFPA 1858:2018, A.10.1.2, typical",
                Known::ReadSecondary,
            ),
        )),
    }
}

fn end(from: Date, years: u16, what: &str, precision: Option<&str>, source: Cited) -> LifeEnd {
    let note = precision
        .map(|words| format!(" ({words})"))
        .unwrap_or_default();
    LifeEnd {
        on: add_months(from, years.saturating_mul(12)),
        rule: format!(
            "{years} years from the day it was {what}, {}{note}",
            write_day(from)
        ),
        source,
    }
}
