//! What a column can be read as, in the groups in which it is offered.

use super::field::{Field, attributes_named};
use super::heading::{Column, ColumnUse};
use super::{choice, size};
use crate::domain::Kind;
use crate::rigging::{LoadingMode, StrengthKind};

/// A heading of a group, and what stands below it: words for programs and for people.
pub type Group = (String, Vec<(String, String)>);

/// Fields that belong together.
const TOGETHER: &[(&str, &[Field])] = &[
    (
        "The item",
        &[
            Field::Mark,
            Field::Serial,
            Field::Lot,
            Field::Store,
            Field::Quantity,
            Field::State,
            Field::StateReason,
            Field::MarkingsReadable,
            Field::Arduous,
            Field::Note,
        ],
    ),
    (
        "What it is",
        &[
            Field::Kind,
            Field::Maker,
            Field::Model,
            Field::Material,
            Field::LifeSupport,
            Field::Instructions,
            Field::Price,
        ],
    ),
    (
        "Its age",
        &[
            Field::Made,
            Field::Bought,
            Field::FirstUsed,
            Field::LifeFromMade,
            Field::LifeFromFirstUse,
            Field::MostHours,
            Field::MostUses,
            Field::MostFalls,
        ],
    ),
    (
        "Its examinations",
        &[
            Field::LastExamined,
            Field::NextDue,
            Field::Examiner,
            Field::Verdict,
            Field::ExamineEvery,
        ],
    ),
    (
        "Its approval",
        &[
            Field::Standard,
            Field::Edition,
            Field::Class,
            Field::RatedLoad,
            Field::RopeRange,
            Field::RopeLeast,
            Field::RopeMost,
            Field::RopeKinds,
            Field::LeastStrands,
        ],
    ),
];

/// What a column can be read as: the likely fields first, then what is no field, then all in groups.
pub fn offered(column: &Column) -> Vec<Group> {
    let mut groups = Vec::new();
    if let ColumnUse::Unknown(likely) = &column.becomes
        && !likely.is_empty()
    {
        groups.push(group("Likely", likely.iter().copied()));
    }
    groups.push(("No field".to_owned(), choice::no_field().into()));
    groups.extend(
        TOGETHER
            .iter()
            .map(|(title, fields)| group(title, fields.iter().copied())),
    );
    groups.push(strengths("Breaking strength", StrengthKind::Breaking));
    groups.push(strengths("Working limit", StrengthKind::WorkingLimit));
    groups.extend(attributes());
    groups
}

fn group(title: &str, fields: impl Iterator<Item = Field>) -> Group {
    let choices = fields.map(|field| (field.key(), field.label()));
    (title.to_owned(), choices.collect())
}

/// The strengths of one kind, loaded in each way; where they were read stands with the first.
fn strengths(title: &str, kind: StrengthKind) -> Group {
    let modes = LoadingMode::ALL.into_iter().map(Some);
    let all = [None]
        .into_iter()
        .chain(modes)
        .map(|mode| Field::Strength(kind, mode));
    let beside = match kind {
        StrengthKind::Breaking => &[Field::StrengthSource, Field::Figures][..],
        _ => &[],
    };
    group(title, all.chain(beside.iter().copied()))
}

/// What is written down of single kinds of gear, and before that what several of them share.
fn attributes() -> Vec<Group> {
    let mut shared: Vec<(String, String)> = Vec::new();
    let mut own = Vec::new();
    for kind in Kind::ALL {
        let mut of_kind = Vec::new();
        let attributes = kind.attributes().iter();
        for attribute in attributes.filter(|one| !one.is_confirmation()) {
            let field = Field::Attribute(attribute.key);
            let kinds = Kind::ALL
                .iter()
                .filter(|kind| kind.attribute(attribute.key).is_some());
            let kinds: Vec<&str> = kinds.map(|kind| kind.word()).collect();
            if kinds.len() == 1 {
                of_kind.push((field.key(), field.label()));
            } else if shared.iter().all(|(key, _)| *key != field.key()) {
                let mut labels = attributes_named(attribute.key).map(|one| one.label);
                // The shortest of its names is what all of them are.
                let label = labels
                    .by_ref()
                    .min_by_key(|label| label.len())
                    .unwrap_or_default();
                let label = if field == size::FIELD {
                    size::OFFERED.to_owned()
                } else {
                    format!("{label} ({})", kinds.join(", "))
                };
                shared.push((field.key(), label));
            }
        }
        if !of_kind.is_empty() {
            let mut letters = kind.word().chars();
            let first = letters.next().into_iter().flat_map(char::to_uppercase);
            own.push((first.chain(letters).collect(), of_kind));
        }
    }
    let mut groups = vec![("Of several kinds of gear".to_owned(), shared)];
    groups.append(&mut own);
    groups
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_field_is_offered_once_and_the_likely_ones_first() {
        let column = Column {
            becomes: ColumnUse::Unknown(vec![Field::Model, Field::Kind]),
            ..Column::default()
        };
        let groups = offered(&column);
        assert_eq!(groups[0].0, "Likely");
        let keys: Vec<&str> = groups[0].1.iter().map(|(key, _)| key.as_str()).collect();
        assert_eq!(keys, ["model", "kind"]);
        let mut seen = BTreeSet::new();
        for (title, choices) in &groups[1..] {
            assert!(!title.is_empty() && !choices.is_empty());
            for (key, words) in choices {
                assert!(seen.insert(key.clone()), "{key}");
                assert!(!words.is_empty(), "{key}");
            }
        }
        for field in Field::all() {
            assert!(seen.contains(&field.key()), "{}", field.key());
        }
        assert_eq!(seen.len(), Field::all().len() + 2);
    }
}
