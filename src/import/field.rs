//! The fields that a column can be read as.

use std::collections::BTreeSet;

use crate::domain::{Attribute, Kind, Takes};
use crate::rigging::{LoadingMode, StrengthKind};

macro_rules! fields {
    ($( $name:ident, $key:literal, $label:literal; )+) => {
        /// A field that a column can be read as.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Field {
            $(
                #[doc = concat!($label, ".")]
                $name,
            )+
            /// A strength: of what kind, and loaded how; none is the usual way of the kind of gear.
            Strength(StrengthKind, Option<LoadingMode>),
            /// What is written down about a kind beside that, by its key.
            Attribute(&'static str),
        }

        impl Field {
            /// The fields that are neither strengths nor attributes.
            pub const PLAIN: &'static [Self] = &[$(Self::$name),+];

            fn plain_key(self) -> Option<(&'static str, &'static str)> {
                match self {
                    $(Self::$name => Some(($key, $label)),)+
                    Self::Strength(..) | Self::Attribute(_) => None,
                }
            }
        }
    };
}

fields! {
    Mark, "mark", "The team's mark on the item";
    Kind, "kind", "Kind of gear";
    Maker, "maker", "Maker";
    Model, "model", "Model";
    Serial, "serial", "Serial number";
    Lot, "lot", "Lot or batch";
    Made, "made", "Date made";
    Quantity, "quantity", "How many items the row stands for";
    Bought, "bought", "Day bought";
    FirstUsed, "first-used", "Day of first use";
    Store, "store", "Store";
    LastExamined, "last-examined", "Day last examined";
    NextDue, "next-due", "Day the next examination is due";
    Examiner, "examiner", "Who examined it";
    Verdict, "verdict", "Verdict of the last examination";
    State, "state", "State";
    StateReason, "state-reason", "Reason for the state";
    Arduous, "arduous", "Arduous use, and why";
    Note, "note", "Note";
    MarkingsReadable, "markings-readable", "Markings readable";
    Material, "material", "Material (textile, plastic, metal)";
    LifeSupport, "life-support", "May hold people";
    LifeFromMade, "life-from-made", "Years of life from the day made";
    LifeFromFirstUse, "life-from-first-use", "Years of life from the first use";
    MostHours, "most-hours", "Most hours of use";
    MostUses, "most-uses", "Most times of use";
    MostFalls, "most-falls", "Most falls held";
    ExamineEvery, "examine-every", "Months between examinations";
    Instructions, "instructions", "Where the instructions are";
    Price, "price", "Price of a new one";
    StrengthSource, "strength-source", "Where the strengths were read";
    Standard, "standard", "Standard";
    Edition, "edition", "Edition of the standard";
    Class, "class", "Class or type in the standard";
    RopeLeast, "rope-least", "Thinnest rope";
    RopeMost, "rope-most", "Thickest rope";
    RopeRange, "rope-range", "Thinnest and thickest rope";
    RopeKinds, "rope-kinds", "Kinds of rope allowed";
    RatedLoad, "rated-load", "Rated load";
    LeastStrands, "least-strands", "Fewest strands";
    Figures, "figures", "Strengths and loads, each with its words (WLL 5, becket 18, gate open 9)";
}

/// The kinds of strength that have a column of their own; a rated load has the field of that name.
const STRENGTHS: [(StrengthKind, &str, &str); 2] = [
    (
        StrengthKind::Breaking,
        "breaking-strength",
        "Breaking strength",
    ),
    (StrengthKind::WorkingLimit, "working-limit", "Working limit"),
];

impl Field {
    /// The word for programs.
    pub fn key(self) -> String {
        match self {
            Self::Strength(kind, mode) => {
                let (word, _) = strength(kind);
                match mode {
                    Some(mode) => format!("{word}-{}", mode.key()),
                    None => word.to_owned(),
                }
            }
            Self::Attribute(key) => format!("attribute-{key}"),
            plain => plain
                .plain_key()
                .map(|(key, _)| key)
                .unwrap_or_default()
                .to_owned(),
        }
    }

    /// The words for people.
    pub fn label(self) -> String {
        match self {
            Self::Strength(kind, mode) => {
                let (_, label) = strength(kind);
                match mode {
                    Some(mode) => format!("{label} {}", mode.words()),
                    None => format!("{label}, loaded as usual"),
                }
            }
            Self::Attribute(key) => attributes_named(key)
                .next()
                .map_or(key, |attribute| attribute.label)
                .to_owned(),
            plain => plain
                .plain_key()
                .map(|(_, label)| label)
                .unwrap_or_default()
                .to_owned(),
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase();
        Self::all().into_iter().find(|field| field.key() == key)
    }

    /// The words for programs of every field, in one line.
    pub fn keys() -> String {
        let keys: Vec<String> = Self::all().into_iter().map(Self::key).collect();
        keys.join(", ")
    }

    /// Every field, in the order in which they are offered.
    pub fn all() -> Vec<Self> {
        let mut all = Self::PLAIN.to_vec();
        for (kind, ..) in STRENGTHS {
            all.push(Self::Strength(kind, None));
            all.extend(LoadingMode::ALL.map(|mode| Self::Strength(kind, Some(mode))));
        }
        // One column may serve several kinds: the length of ropes, slings and lanyards.
        let mut keys = BTreeSet::new();
        for kind in Kind::ALL {
            let attributes = kind.attributes().iter();
            for attribute in attributes.filter(|one| !one.is_confirmation()) {
                keys.insert(attribute.key);
            }
        }
        all.extend(keys.into_iter().map(Self::Attribute));
        all
    }

    /// The words that can stand in its cells, where they are few.
    pub fn choices(self) -> Vec<String> {
        let Self::Attribute(key) = self else {
            return Vec::new();
        };
        match attributes_named(key)
            .next()
            .map(|attribute| attribute.takes)
        {
            Some(Takes::Choice(words)) => words.iter().map(|word| (*word).to_owned()).collect(),
            Some(Takes::YesNo) => vec!["yes".to_owned(), "no".to_owned()],
            _ => Vec::new(),
        }
    }

    /// Whether its cells are numbers, with or without a unit.
    pub(super) fn is_number(self) -> bool {
        match self {
            Self::Strength(..)
            | Self::RatedLoad
            | Self::Price
            | Self::RopeLeast
            | Self::RopeMost
            | Self::RopeRange => true,
            Self::Attribute(key) => attributes_named(key).all(|attribute| {
                matches!(
                    attribute.takes,
                    Takes::Length | Takes::Mass | Takes::Force | Takes::Number | Takes::Share
                )
            }),
            _ => false,
        }
    }

    /// Whether its cells are days.
    pub(super) fn is_day(self) -> bool {
        matches!(
            self,
            Self::Made | Self::Bought | Self::FirstUsed | Self::LastExamined | Self::NextDue
        )
    }
}

fn strength(kind: StrengthKind) -> (&'static str, &'static str) {
    STRENGTHS
        .into_iter()
        .find(|(known, ..)| *known == kind)
        .map_or(
            ("rated-load-force", "Rated load as a force"),
            |(_, key, label)| (key, label),
        )
}

/// The attributes of this key, one of each kind of gear that has it.
pub(super) fn attributes_named(key: &str) -> impl Iterator<Item = &'static Attribute> {
    Kind::ALL.iter().filter_map(move |kind| kind.attribute(key))
}
