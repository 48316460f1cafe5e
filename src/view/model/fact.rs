//! The fields for facts that the record of a model lacks: those of the model's own form, and of these only what is asked.

use std::collections::BTreeMap;

use super::{
    super::{
        attribute,
        form::{Field, Form},
    },
    rows,
};
use crate::{
    domain::{
        ApprovalDraft, Gear, Model, RatingDraft,
        fact::{self, Fact, approval_words},
        nested,
    },
    rigging::{LoadingMode, StrengthKind},
};

/// Fields that belong together.
#[derive(Clone, Debug)]
pub struct FactGroup {
    /// What they are about; empty where each says so itself.
    pub legend: String,
    /// The fields.
    pub fields: Vec<Field>,
}

/// The fields with the names that are asked, below the name of their model, with what stands in them; `facts` are what
/// is asked with them.
pub fn fact_groups(
    form: &Form,
    below: &str,
    model: &Model,
    (typed, facts): (&BTreeMap<String, String>, &[Fact]),
) -> Vec<FactGroup> {
    let form = form.below(below);
    let mut attributes: BTreeMap<String, String> = BTreeMap::new();
    let mut ratings: BTreeMap<&str, RatingDraft> = BTreeMap::new();
    let mut approvals: BTreeMap<&str, ApprovalDraft> = BTreeMap::new();
    for (name, text) in typed {
        let text = text.clone();
        match fact::Field::of(name) {
            Some(fact::Field::Attribute(key)) => {
                attributes.insert(key.to_owned(), text);
            }
            Some(fact::Field::Rating(mode, part)) => {
                rate(ratings.entry(mode).or_default(), (mode, part), text);
            }
            Some(fact::Field::Approval(at, part)) => {
                write(approvals.entry(at).or_default(), part, text);
            }
            _ => {}
        }
    }
    let asked = |fields: Vec<Field>| -> Vec<Field> {
        let is_asked = |field: &Field| {
            typed
                .keys()
                .any(|name| field.is_called(&nested(below, name)))
        };
        fields
            .into_iter()
            .filter(|field| is_asked(field) || field.is_tick())
            .map(Field::may)
            .collect()
    };
    let gear = gear(model, &attributes, ratings.values());
    let of_kind = attribute::fields(&form, model.kind, crate::domain::Where::Model, &attributes);
    let mut groups = vec![FactGroup {
        legend: String::new(),
        fields: asked(of_kind),
    }];
    groups.extend(ratings.iter().map(|(mode, draft)| FactGroup {
        legend: format!("What it holds, {}", words_of(mode)),
        fields: asked(rows::rating(
            &form,
            (model.kind, &gear),
            only_kind(mode, facts),
            (mode, draft),
        )),
    }));
    groups.extend(approvals.iter().map(|(at, draft)| FactGroup {
        legend: approval_words(at),
        fields: asked(rows::approval(&form, &gear, at, draft)),
    }));
    groups.retain(|group| !group.fields.is_empty());
    groups
}

/// The gear with what its record has and what is typed beside.
fn gear<'a>(
    model: &Model,
    attributes: &BTreeMap<String, String>,
    ratings: impl Iterator<Item = &'a RatingDraft>,
) -> Gear {
    let mut gear = Gear::typed(model.kind, &model.draft());
    if let Some(diameter) = attributes.get("diameter") {
        gear.is_thick(diameter);
    }
    for rating in ratings {
        gear.is_rated(rating);
    }
    gear
}

/// The one kind of rating that counts for what is asked in a way of loading; none where any does.
fn only_kind(mode: &str, facts: &[Fact]) -> Option<StrengthKind> {
    facts.iter().find_map(|fact| match fact {
        Fact::Strength(of, only) if of.key() == mode => *only,
        _ => None,
    })
}

/// Writes a part of a rating, by its name.
fn rate(rating: &mut RatingDraft, (mode, part): (&str, &str), text: String) {
    mode.clone_into(&mut rating.mode);
    match part {
        "value" => rating.value = text,
        "kind" => rating.kind = text,
        "confirmed" => rating.confirmed = text,
        _ => {}
    }
}

/// Writes a part of an approval, by its name.
fn write(approval: &mut ApprovalDraft, part: &str, text: String) {
    match part {
        "standard" => approval.standard = text,
        "class" => approval.class = text,
        "rope_least" => approval.rope_least = text,
        "rope_most" => approval.rope_most = text,
        "rope_kinds" => approval.rope_kinds = text,
        "rated_load" => approval.rated_load = text,
        "confirmed" => approval.confirmed = text,
        _ => {}
    }
}

fn words_of(mode: &str) -> &str {
    let mut modes = LoadingMode::ALL.iter();
    let known = modes.find(|one| one.key() == mode);
    known.map_or(mode, |mode| mode.words())
}
