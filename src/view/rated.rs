//! What a model holds and is approved for, as tables: on its own page and on that of each item.

use askama::Template;

use super::{part::html_parts, quantity};
use crate::domain::{Approval, Load, Model, Rating, RatingSource, Units};

/// One rating.
#[derive(Clone, Debug)]
struct RatingRow {
    mode: &'static str,
    value: quantity::Shown,
    kind: &'static str,
    source: &'static str,
}

/// One approval.
#[derive(Clone, Debug)]
struct ApprovalRow {
    title: String,
    ropes: quantity::Shown,
    kinds: String,
    load: quantity::Shown,
    strands: String,
    only: String,
}

/// Ratings and approvals.
#[derive(Clone, Debug, Template)]
#[template(path = "part/rated.html")]
pub struct Rated {
    /// Whether nothing hangs on it, so that nobody asks.
    beside: bool,
    ratings: Vec<RatingRow>,
    approvals: Vec<ApprovalRow>,
}

html_parts!(Rated);

impl Rated {
    /// Those of a model, in these units.
    pub fn new(model: &Model, units: Units) -> Self {
        let ratings = model.ratings.iter();
        let approvals = model.approvals.iter();
        Self {
            beside: model.kind.is_beside_the_rig(),
            ratings: ratings
                .map(|rating| RatingRow::new(rating, units))
                .collect(),
            approvals: approvals
                .map(|approval| ApprovalRow::new(approval, units))
                .collect(),
        }
    }
}

impl RatingRow {
    fn new(rating: &Rating, units: Units) -> Self {
        Self {
            mode: rating.mode.words(),
            value: quantity::force(rating.value, units).confirmed(rating.confirmed),
            kind: rating.kind.words(),
            source: source_words(rating.source),
        }
    }
}

/// Where a rating was read, in words.
pub fn source_words(source: RatingSource) -> &'static str {
    source.words()
}

/// What else an approval is bound to, in words.
fn only(approval: &Approval) -> String {
    let persons = approval
        .most_persons
        .map(|most| format!("up to {}", Load::Persons(most)));
    let set = (!approval.set_with.is_empty())
        .then(|| format!("only in a set with {}", approval.set_with.join(" and ")));
    let bound: Vec<String> = persons.into_iter().chain(set).collect();
    bound.join("; ")
}

impl ApprovalRow {
    fn new(approval: &Approval, units: Units) -> Self {
        let ropes = approval.rope_range.map(|range| {
            let [least, most] =
                [range.least, range.most].map(|end| Some(quantity::thickness(end?, units)));
            let mut ends = [&least, &most].into_iter().flatten();
            let differs = ends.any(|end| !end.aside.is_empty());
            let words = match (&least, &most) {
                (Some(least), Some(most)) => format!("{} to {}", least.words, most.words),
                (None, Some(most)) => format!("up to {}; thinnest not known", most.words),
                (Some(least), None) => format!("from {}; thickest not known", least.words),
                (None, None) => "not known".to_owned(),
            };
            quantity::Shown {
                words,
                aside: if differs {
                    format!("as entered: {range}")
                } else {
                    String::new()
                },
            }
        });
        let not_said = || quantity::Shown {
            words: "not said".to_owned(),
            aside: String::new(),
        };
        Self {
            title: approval.title(),
            ropes: ropes.unwrap_or_else(not_said),
            kinds: if approval.rope_kinds.is_empty() {
                "not said".to_owned()
            } else {
                approval.rope_kinds.join(", ")
            },
            load: approval
                .rated_load
                .map_or_else(not_said, |load| quantity::mass(load, units))
                .confirmed(approval.confirmed),
            strands: approval
                .least_strands
                .map_or_else(|| "any".to_owned(), |strands| format!("{strands} or more")),
            only: only(approval),
        }
    }
}
