//! What is looked at when gear of a kind is examined: lists that are data, and a team's own criteria.
//!
//! # How to change a list
//!
//! Records name the edition of the list that they were done by, and are shown with it for ever. So a
//! sheet in `checklist/` that was ever shipped is not edited: write the next edition into a sheet of its
//! own and add it to `SHEETS` behind the older one. A key keeps its meaning through all editions. Each
//! criterion is a sentence that holds of gear that is whole, and carries its source; where there is none
//! it says so. `out` puts the item out at once where it fails; `quick` puts the criterion on the short
//! list for a look before or after use.

mod answer;
mod edition;
mod found;
mod held;
mod length;
mod limit;
mod own;
mod read;
mod watch;

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::entered::LengthUnit;
use super::{Cited, Kind};

pub use answer::{Answer, AnswerDraft, Finding};
pub use edition::ListEdition;
pub(super) use held::{Looked, read_answers};
pub use length::{Doubted, KEY as LENGTH, LONGER, SHORTER};
pub(super) use length::{about_as_recorded, longer_than_recorded, shorter_than_recorded};
pub use limit::{LimitDraft, ModelLimit, measured, read_value};
pub use own::{CriterionDraft, MOST_OWN, TeamChecklist};
pub use read::{ChecklistError, Sheet, read};
pub use watch::{Watched, watched};

/// The sheets that come with the program; of one kind the older editions stand first.
const SHEETS: &[&str] = &[
    include_str!("checklist/rope.toml"),
    include_str!("checklist/cord.toml"),
    include_str!("checklist/pulley.toml"),
    include_str!("checklist/rope-clamp.toml"),
    include_str!("checklist/connector.toml"),
    include_str!("checklist/descender.toml"),
    include_str!("checklist/back-up-device.toml"),
    include_str!("checklist/sling.toml"),
    include_str!("checklist/lanyard.toml"),
    include_str!("checklist/harness.toml"),
    include_str!("checklist/anchor-device.toml"),
    include_str!("checklist/litter.toml"),
    include_str!("checklist/tripod.toml"),
    include_str!("checklist/helmet.toml"),
    include_str!("checklist/swivel.toml"),
    include_str!("checklist/rigging-plate.toml"),
    include_str!("checklist/edge-protector.toml"),
    include_str!("checklist/other-equipment.toml"),
];
/// What is looked at on every kind, the older editions first.
const COMMON: &[&str] = &[include_str!("checklist/common.toml")];

static SHIPPED: LazyLock<Vec<(Kind, u32, Vec<Criterion>)>> = LazyLock::new(|| {
    let sheet = |text: &&str| read(text).expect("a test reads every shipped list");
    let common: Vec<Sheet> = COMMON.iter().map(sheet).collect();
    let lists = SHEETS.iter().map(sheet);
    let whole = lists.filter_map(|own| {
        let behind = common.iter().find(|one| Some(one.edition) == own.common);
        let mut criteria = own.criteria;
        criteria.extend(behind.into_iter().flat_map(|one| one.criteria.clone()));
        Some((own.kind?, own.edition, criteria))
    });
    whole.collect()
});

/// How something is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// With the eyes.
    Sight,
    /// With the hand.
    Touch,
    /// By making it work.
    Function,
    /// With a gauge or a tape.
    Measure,
}

impl By {
    /// All ways.
    pub const ALL: [Self; 4] = [Self::Sight, Self::Touch, Self::Function, Self::Measure];

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sight => "look",
            Self::Touch => "feel",
            Self::Function => "try",
            Self::Measure => "measure",
        }
    }
}

/// Where an item goes at once if a criterion fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Out {
    /// To quarantine at least, until a competent person decides.
    Quarantine,
    /// Out of use for good.
    Retire,
}

impl Out {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Quarantine, Self::Retire];

    /// The words behind a criterion.
    pub fn words(self) -> &'static str {
        match self {
            Self::Quarantine => "a fail puts it out at once",
            Self::Retire => "a fail puts it out for good",
        }
    }
}

/// A length that is measured.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Measurement {
    /// What is measured, in words.
    pub of: String,
    /// The unit that a bare number is read in.
    pub unit: LengthUnit,
    /// At how many points.
    pub points: u16,
}

/// One thing that is looked at: a sentence that holds of gear that is whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Criterion {
    /// The word for programs; it keeps its meaning through all editions.
    pub key: String,
    /// The sentence.
    pub words: String,
    /// How it is looked at.
    pub by: By,
    /// Where the item goes at once if it fails.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out: Option<Out>,
    /// Whether it is on the short list for a look before or after use.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub quick: bool,
    /// What is measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measure: Option<Measurement>,
    /// The limit that a team sets to what its own criterion measures. What comes with the program has none: that one is
    /// on the record of the model.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<ModelLimit>,
    /// Who says that it is looked at.
    pub from: Cited,
}

impl Criterion {
    /// Whether it asks what the item's record says: what is written there then speaks against a pass.
    pub fn asks_the_record(&self) -> bool {
        self.key == "log"
    }

    /// Whether it asks if the markings can be read.
    pub fn asks_the_markings(&self) -> bool {
        self.key == "marks"
    }
}

/// What is looked at on gear of a kind, in one edition.
#[derive(Clone, Debug, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Checklist {
    /// Which list it is.
    pub edition: ListEdition,
    /// What is looked at, in order.
    pub criteria: Vec<Criterion>,
}

impl Checklist {
    /// The newest list of a kind with the team's own criteria behind it.
    ///
    /// # Panics
    /// Never: a test finds a list for every kind.
    pub fn newest(kind: Kind, own: Option<&TeamChecklist>) -> Self {
        let mut of_kind = SHIPPED.iter().filter(|(of, _, _)| *of == kind);
        let (_, shipped, _) = of_kind
            .next_back()
            .expect("a test finds a list for every kind");
        let edition = ListEdition {
            kind,
            shipped: *shipped,
            own: own.map_or(0, |own| own.revision),
        };
        Self::of(edition, own).expect("the newest is there")
    }

    /// The list that an edition names, with the team's own criteria of that edition; none if the program
    /// has no such list.
    pub fn of(edition: ListEdition, own: Option<&TeamChecklist>) -> Option<Self> {
        let mut shipped = SHIPPED.iter();
        let (_, _, criteria) = shipped
            .find(|(kind, number, _)| (*kind, *number) == (edition.kind, edition.shipped))?;
        let mut criteria = criteria.clone();
        criteria.extend(own.into_iter().flat_map(|own| own.criteria.clone()));
        Some(Self { edition, criteria })
    }

    /// The criterion with a key.
    pub fn criterion(&self, key: &str) -> Option<&Criterion> {
        self.criteria.iter().find(|one| one.key == key)
    }

    /// The short list for a look before or after use, or all of it.
    pub fn for_look(&self, thorough: bool) -> impl Iterator<Item = &Criterion> {
        self.criteria
            .iter()
            .filter(move |one| thorough || one.quick)
    }
}
