//! A bag: a place of its own with the list of what belongs in it, and whether all of it is there.
//!
//! Every bag is a store, so that items live in it like in any other; what makes it one is its list. It may lie within
//! another store: a bag in a van.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::iso;
use super::{BagCheckId, FieldErrors, ItemId, Kind, ModelId, StoreId};

/// The most lines of a list, and the most items that are checked or moved at once.
pub const MOST_IN_BAG: usize = 300;

/// The list of a bag.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Bag {
    /// The place that it is of.
    pub store: StoreId,
    /// Counts the changes, from 1.
    pub revision: u32,
    /// The store that the bag lies in; none where it stands by itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<StoreId>,
    /// What belongs in it.
    pub parts: Vec<BagPart>,
}

/// So many of something belong in a bag.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct BagPart {
    /// What.
    pub what: Belonging,
    /// How many.
    pub count: u16,
}

/// What belongs in a bag: any item of a kind, any of a model, or one item and no other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Belonging {
    /// This item.
    Item(ItemId),
    /// Items of this model.
    Model(ModelId),
    /// Items of this kind.
    Kind(Kind),
}

/// What of an item says whether it is what belongs somewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packed {
    /// The item.
    pub item: ItemId,
    /// Its model.
    pub model: ModelId,
    /// The model's kind.
    pub kind: Kind,
}

impl Belonging {
    /// Whether an item is one of these.
    pub fn takes(self, packed: &Packed) -> bool {
        match self {
            Self::Item(item) => item == packed.item,
            Self::Model(model) => model == packed.model,
            Self::Kind(kind) => kind == packed.kind,
        }
    }

    /// The narrower, the earlier it chooses.
    fn width(self) -> u8 {
        match self {
            Self::Item(_) => 0,
            Self::Model(_) => 1,
            Self::Kind(_) => 2,
        }
    }
}

/// What is in a bag beside what belongs there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Contents {
    /// For each line of the list the items that fill it, never more than it asks for.
    pub filled: Vec<Vec<ItemId>>,
    /// The items that fill no line.
    pub beyond: Vec<ItemId>,
}

impl Contents {
    /// Holds what is in a bag against its list. Each item fills one line: narrower lines choose first, so that as many
    /// as can be are filled.
    pub fn of(parts: &[BagPart], packed: &[Packed]) -> Self {
        let mut filled = vec![Vec::new(); parts.len()];
        let mut left: Vec<&Packed> = packed.iter().collect();
        let mut order: Vec<usize> = (0..parts.len()).collect();
        order.sort_by_key(|part| parts[*part].what.width());
        for index in order {
            let part = &parts[index];
            left.retain(|packed| {
                let goes = filled[index].len() < usize::from(part.count) && part.what.takes(packed);
                if goes {
                    filled[index].push(packed.item);
                }
                !goes
            });
        }
        Self {
            filled,
            beyond: left.iter().map(|packed| packed.item).collect(),
        }
    }

    /// How many of a line are not there.
    pub fn lacks(&self, parts: &[BagPart], line: usize) -> usize {
        usize::from(parts[line].count).saturating_sub(self.filled[line].len())
    }

    /// How many are not there, of all lines together.
    pub fn lacking(&self, parts: &[BagPart]) -> usize {
        (0..parts.len()).map(|line| self.lacks(parts, line)).sum()
    }
}

/// The list of a bag as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct BagDraft {
    /// The id of the store that it lies in; may be empty.
    pub within: String,
    /// What belongs in it, a line each: how many, then a kind, a model with or without its maker, or the mark of an
    /// item: `4 connector`, `2 Marrick Twin`, `R-012`. No number is one.
    pub list: String,
}

/// One line of a list as typed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BagLine {
    /// Its number in what was typed, from 1.
    pub number: usize,
    /// How many.
    pub count: u16,
    /// Of what.
    pub words: String,
}

impl BagDraft {
    /// The lines that were typed in; empty ones are passed over.
    ///
    /// # Errors
    /// Under `list`, every line that cannot be read.
    pub fn lines(&self) -> Result<Vec<BagLine>, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let mut lines = Vec::new();
        for (index, text) in self.list.lines().enumerate() {
            let text = text.trim();
            if text.is_empty() {
                continue;
            }
            let number = index + 1;
            match line(text) {
                Ok((count, words)) => lines.push(BagLine {
                    number,
                    count,
                    words: words.to_owned(),
                }),
                Err(why) => wrong.add("list", "line", format!("Line {number}: {why}")),
            }
        }
        if lines.len() > MOST_IN_BAG {
            let given = lines.len();
            wrong.add(
                "list",
                "range",
                format!("A list has {MOST_IN_BAG} lines at most; {given} were given."),
            );
        }
        wrong.or(|| lines)
    }
}

/// "4 connector" is 4 of "connector"; without a number it is one.
fn line(text: &str) -> Result<(u16, &str), String> {
    let (first, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let rest = rest.trim();
    let digits = first.trim_end_matches(['x', 'X', '\u{d7}']);
    if rest.is_empty() || digits.is_empty() || !digits.chars().all(|c| c.is_ascii_digit()) {
        return Ok((1, text));
    }
    match digits.parse() {
        Ok(count @ 1..=999) => Ok((count, rest)),
        _ => Err(format!(
            "the number must be from 1 to 999, not \"{digits}\"."
        )),
    }
}

/// A bag was looked through: what was in it, and what was not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct BagCheck {
    /// Its id.
    pub id: BagCheckId,
    /// The place.
    pub store: StoreId,
    /// Its name on that day.
    pub name: String,
    /// The day.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    pub on: Date,
    /// The items that live there and were there.
    pub present: Vec<ItemId>,
    /// The items that live there and were not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<ItemId>,
    /// The items that were there and live elsewhere.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<ItemId>,
    /// How many of its list were not there, whatever items; none where it has no list.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lacking: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl BagCheck {
    /// Whether everything was as it should be.
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.others.is_empty() && self.lacking.unwrap_or(0) == 0
    }

    /// Holds what was seen against what lives there: what was present, missing, and another's.
    pub fn sorted(living: &[ItemId], seen: &[ItemId]) -> (Vec<ItemId>, Vec<ItemId>, Vec<ItemId>) {
        let (lives, saw): (BTreeSet<_>, BTreeSet<_>) =
            (living.iter().collect(), seen.iter().collect());
        let all = living.iter().copied();
        let (present, missing) = all.partition(|item| saw.contains(item));
        let mut told = BTreeSet::new();
        let others = seen.iter().copied();
        let others = others.filter(|item| !lives.contains(item) && told.insert(*item));
        (present, missing, others.collect())
    }
}

/// What was seen in a bag, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct BagCheckDraft {
    /// The ids of items that were ticked, with commas between.
    pub seen: String,
    /// Codes or marks that were scanned or typed, a line each.
    pub codes: String,
    /// `yes` where nothing of what lives there was found: asked where nothing is ticked or scanned.
    pub empty: String,
    /// A note.
    pub note: String,
}

/// Codes or marks of items that are moved, a line each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct MoveDraft {
    /// Codes or marks, a line each.
    pub codes: String,
}

/// An item went from one place to another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ItemMoved {
    /// The item.
    pub item: ItemId,
    /// Where it lived.
    pub from: StoreId,
    /// Where it lives now.
    pub to: StoreId,
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The most places of a list that can be filled, by trying every item at every line.
    fn exhaustive(parts: &[BagPart], counts: &mut [u16], packed: &[Packed]) -> usize {
        let [first, rest @ ..] = packed else { return 0 };
        let mut most = exhaustive(parts, counts, rest);
        for line in 0..parts.len() {
            if counts[line] > 0 && parts[line].what.takes(first) {
                counts[line] -= 1;
                most = most.max(1 + exhaustive(parts, counts, rest));
                counts[line] += 1;
            }
        }
        most
    }

    fn ids<T>(make: impl Fn() -> T) -> Vec<T> {
        (0..4).map(|_| make()).collect()
    }

    proptest! {
        #[test]
        fn as_many_places_are_filled_as_can_be(
            parts in prop::collection::vec((0..3_u8, 0..4_usize, 1..3_u16), 0..5),
            packed in prop::collection::vec(0..4_usize, 0..5),
        ) {
            let (items, models) = (ids(ItemId::new), ids(ModelId::new));
            let kinds = [Kind::Rope, Kind::Pulley];
            let parts: Vec<BagPart> = parts.into_iter().map(|(which, at, count)| BagPart {
                what: match which {
                    0 => Belonging::Item(items[at]),
                    1 => Belonging::Model(models[at / 2]),
                    _ => Belonging::Kind(kinds[at % 2]),
                },
                count,
            }).collect();
            let mut once = packed.clone();
            once.sort_unstable();
            once.dedup();
            // Two items of each model; both models of one kind.
            let packed: Vec<Packed> = once.iter().map(|at| Packed { item: items[*at], model: models[at / 2], kind: kinds[0] }).collect();
            let contents = Contents::of(&parts, &packed);
            let filled: usize = contents.filled.iter().map(Vec::len).sum();
            let mut counts: Vec<u16> = parts.iter().map(|part| part.count).collect();
            prop_assert_eq!(filled, exhaustive(&parts, &mut counts, &packed));
            prop_assert_eq!(filled + contents.beyond.len(), packed.len());
        }
    }

    #[test]
    fn lines_are_read_as_people_write_them() {
        let draft = BagDraft {
            list: "4 connector\n\n2x Marrick Twin\nR-012\n0 pulley\n12345 sling".to_owned(),
            ..BagDraft::default()
        };
        let wrong = draft.lines().unwrap_err();
        assert_eq!(wrong.0.len(), 2);
        assert!(wrong.0[0].message.starts_with("Line 5: "), "{wrong:?}");
        let draft = BagDraft {
            list: "4 connector\n\n2x Marrick Twin\nR-012\n11 mm rope\n3".to_owned(),
            ..BagDraft::default()
        };
        let lines = draft.lines().unwrap();
        let read: Vec<_> = lines
            .iter()
            .map(|line| (line.number, line.count, line.words.as_str()))
            .collect();
        let expected = [
            (1, 4, "connector"),
            (3, 2, "Marrick Twin"),
            (4, 1, "R-012"),
            (5, 11, "mm rope"),
            (6, 1, "3"),
        ];
        assert_eq!(read, expected);
    }

    #[test]
    fn what_was_seen_is_held_against_what_lives_there() {
        let all = ids(ItemId::new);
        let sorted = BagCheck::sorted(&all[..3], &[all[0], all[3], all[0], all[3]]);
        assert_eq!(sorted, (vec![all[0]], vec![all[1], all[2]], vec![all[3]]));
    }
}
