//! What a model is, fact by fact, in words.

use super::Fact;
use crate::domain::{Approval, LifeLimit, Model, counted};

/// What a model is said to be, to hold and to be approved to, and how long it lasts: what gear is chosen and held back by.
pub fn model_facts(model: &Model) -> Vec<Fact> {
    let strengths = model.ratings.iter().map(|rating| {
        let (kind, mode) = (rating.kind.words(), rating.mode.words());
        format!("{} {kind}, {mode}", rating.value)
    });
    let approvals = model.approvals.iter().map(Approval::words);
    let attributes = model.attributes.typed().into_iter();
    let attributes = attributes.map(|(key, value)| format!("{}: {value}", key.replace('-', " ")));
    let limits = model.limits.iter();
    let limits = limits.map(|limit| format!("{}: {limit}", limit.criterion.replace('-', " ")));
    let months = model.examine_every_months;
    let months = months.map(|months| counted(months, "month", "months"));
    let people = if model.life_support { "yes" } else { "no" };
    vec![
        Fact::new("Kind of gear", model.kind.word()),
        Fact::new("Holds people", people),
        Fact::new("Material of its model", model.material.key()),
        Fact::new("Strengths of its model", joined(strengths)),
        Fact::new("Approvals of its model", joined(approvals)),
        Fact::new("Attributes of its model", joined(attributes)),
        Fact::new("Limits of what is measured", joined(limits)),
        Fact::new("Maker's life", joined(life(model.life).into_iter())),
        Fact::new(
            "Maker's interval",
            months.unwrap_or_else(|| "none on record".to_owned()),
        ),
        Fact::new("Maker's limit of use", joined(use_limit(model))),
    ]
}

fn life(life: LifeLimit) -> Vec<String> {
    let years = |years: Option<u16>, from: &str| {
        years.map(|years| format!("{} from {from}", counted(years, "year", "years")))
    };
    let condition = life
        .by_condition
        .then(|| "its condition decides".to_owned());
    let all = [
        years(life.years_from_made, "the day it was made"),
        years(life.years_from_first_use, "its first use"),
        condition,
    ];
    all.into_iter().flatten().collect()
}

fn use_limit(model: &Model) -> impl Iterator<Item = String> {
    let words = model.use_limit.words();
    (!words.is_empty()).then_some(words).into_iter()
}

fn joined(all: impl Iterator<Item = String>) -> String {
    let all: Vec<String> = all.collect();
    if all.is_empty() {
        return "none on record".to_owned();
    }
    all.join("; ")
}
