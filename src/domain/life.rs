//! When an item's life ends, and which rule says so.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{add_months, write_day};
use super::rulebook::{LifeBinds, LifeFrom, LifeRule, Rulebook};
use super::{Cited, Item, Known, Model, counted};

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

/// When the life of an item of this model ends under a rulebook: the earliest of the rules that apply.
///
/// The maker's limit counts, and beside it whatever rule of the rulebook always counts; where the maker
/// says nothing, the rulebook's rules for that. Where only the year made is known, the life counts from
/// 1 January of it. Years from the first use count from its cautious end, [`Item::counted_from`].
pub fn life(item: &Item, model: &Model, rulebook: &Rulebook) -> Life {
    LifeTerms::of(model, rulebook).life(item)
}

/// Everything that may end the life of a model's items under a rulebook. Where the terms are the same, so is the end
/// of each item.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LifeTerms(Vec<LifeTerm>);

/// One limit of life.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct LifeTerm {
    /// How a rule of the rulebook binds; none is the maker's own limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    binds: Option<LifeBinds>,
    from: LifeFrom,
    /// None is by condition.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    years: Option<u16>,
    source: Cited,
}

impl LifeTerms {
    /// The terms of a model's items.
    pub fn of(model: &Model, rulebook: &Rulebook) -> Self {
        let maker = |from, years| LifeTerm {
            binds: None,
            from,
            years,
            source: Cited::new("maker's limit, as entered for the model", Known::Setting),
        };
        let mut terms = Vec::new();
        let (made, first_use) = (model.life.years_from_made, model.life.years_from_first_use);
        terms.extend(made.map(|years| maker(LifeFrom::Made, Some(years))));
        terms.extend(first_use.map(|years| maker(LifeFrom::FirstUse, Some(years))));
        for binds in [LifeBinds::Always, LifeBinds::MakerSilent] {
            let rules = rulebook
                .lives()
                .iter()
                .filter(|rule| rule.binds == binds && rule.speaks_of(model.kind, model.material))
                .filter(|rule| !model.kind.is_beside_the_rig() || rule.kinds.contains(&model.kind));
            terms.extend(rules.map(|rule| LifeTerm {
                binds: Some(binds),
                from: rule.counts_from,
                years: rule.years,
                source: by_material(model, rule),
            }));
        }
        if model.life.by_condition {
            terms.push(maker(LifeFrom::Made, None));
        }
        if terms.is_empty() && model.kind.is_beside_the_rig() {
            terms.push(LifeTerm {
                source: Cited::new(
                    "rule of this register: what is used beside the rig lives as long as its condition allows",
                    Known::Setting,
                ),
                ..maker(LifeFrom::Made, None)
            });
        }
        Self(terms)
    }

    /// When the life of one of the items ends.
    pub fn life(&self, item: &Item) -> Life {
        let bound = |binds: Option<LifeBinds>| {
            let terms = self.0.iter();
            terms.filter(move |term| term.binds == binds)
        };
        let mut ends = Ends::default();
        for term in bound(None).filter(|term| term.years.is_some()) {
            ends.add(item, term);
        }
        let by_condition = bound(None).any(|term| term.years.is_none());
        let says = ends.has_any() || by_condition;
        for term in bound(Some(LifeBinds::Always)) {
            ends.add(item, term);
        }
        if !says {
            for term in bound(Some(LifeBinds::MakerSilent)) {
                ends.add(item, term);
            }
        }
        for term in bound(None).filter(|term| term.years.is_none()) {
            ends.add(item, term);
        }
        ends.earliest()
    }
}

/// Where a rule of a life is from, and that it goes by a material that nobody wrote down.
fn by_material(model: &Model, rule: &LifeRule) -> Cited {
    let mut from = rule.from.clone();
    if let Some(taken) = model.material_taken().filter(|_| rule.material.is_some()) {
        from.source = format!("{} ({taken})", from.source);
    }
    from
}

/// The ends that rules set, what keeps one from being told, and who leaves it to the condition.
#[derive(Default)]
struct Ends {
    days: Vec<LifeEnd>,
    unknown: Option<String>,
    by_condition: Option<Cited>,
}

impl Ends {
    fn has_any(&self) -> bool {
        !self.days.is_empty() || self.unknown.is_some()
    }

    fn add(&mut self, item: &Item, term: &LifeTerm) {
        let source = &term.source;
        let Some(years) = term.years else {
            self.by_condition.get_or_insert_with(|| source.clone());
            return;
        };
        match term.from {
            LifeFrom::Made => match item.made {
                Some(made) => {
                    let from = made.cautious_day();
                    self.days
                        .push(end(from, years, "made", made.precision(), source.clone()));
                }
                None => {
                    self.unknown.get_or_insert_with(|| {
                        format!(
                            "The date made is unknown, and {years} years of life count from it: {}.",
                            source.source
                        )
                    });
                }
            },
            LifeFrom::FirstUse => match item.counted_from() {
                Some(first) => {
                    let note = Some(first.note.as_str()).filter(|note| !note.is_empty());
                    let end = end(first.on, years, "first used", note, source.clone());
                    self.days.push(end);
                }
                None => {
                    self.unknown.get_or_insert_with(|| {
                        let why = item.use_unknown();
                        format!(
                            "{why}, and {years} years of life count from the first use: {}.",
                            source.source
                        )
                    });
                }
            },
        }
    }

    /// The earliest end; unknown where a rule cannot be counted.
    fn earliest(self) -> Life {
        if let Some(why) = self.unknown {
            return Life::Unknown(why);
        }
        match (
            self.days.into_iter().min_by_key(|end| end.on),
            self.by_condition,
        ) {
            (Some(earliest), _) => Life::Ends(earliest),
            (None, Some(by)) => Life::ByCondition(by),
            (None, None) => Life::Unknown("No rule sets the end of its life.".to_owned()),
        }
    }
}

fn end(from: Date, years: u16, what: &str, precision: Option<&str>, source: Cited) -> LifeEnd {
    let note = precision
        .map(|words| format!(" ({words})"))
        .unwrap_or_default();
    LifeEnd {
        on: add_months(from, years.saturating_mul(12)),
        rule: format!(
            "{} from the day it was {what}, {}{note}",
            counted(years, "year", "years"),
            write_day(from)
        ),
        source,
    }
}
