//! A rulebook: what gear must hold, be approved for and be known of before it may go on a job. Data.
//!
//! # How to add a rulebook
//!
//! 1. Copy `rulebook/european.toml` to a file named for the new key and change what differs. Each
//!    number stands as printed, with its unit and with `from = { source, known }`; say honestly in
//!    `known` whether the source was read, reported by a page, or is from memory. The label follows
//!    the number onto every page. No sentence may be taken from a standard; write what is asked in
//!    your own words.
//! 2. Every kind of gear needs one `[[kind]]` entry. A kind without a `[[minimum]]` says why in
//!    `no_minimum`, one without an `[[approval]]` in `no_approval`.
//! 3. Add the file to `SHEETS` below. The tests parse and check every sheet; [`Rulebook::parse`]
//!    names all faults at once.
//!
//! A rulebook never loosens what an item's own record says: a maker's shorter interval, lower rated
//! load or narrower rope range counts before anything here.

mod asked;
mod check;
mod standard;

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::entered::EnteredMass;
use super::{Cited, Kind, Load};
use crate::rigging::{Mass, SafetyFactor};

pub use asked::{ApprovalAsked, Minimum, StandardClass, When};
pub use check::RulebookError;
pub use standard::{same_class, same_standard};

/// The sheets that come with the program.
const SHEETS: [&str; 2] = [
    include_str!("rulebook/european.toml"),
    include_str!("rulebook/us-rescue.toml"),
];

static SHIPPED: LazyLock<Vec<Rulebook>> = LazyLock::new(|| {
    let parsed = SHEETS.iter().map(|sheet| Rulebook::parse(sheet));
    parsed
        .map(|rulebook| rulebook.expect("a test parses every shipped sheet"))
        .collect()
});

/// The rulebooks that come with the program, in the order in which they are offered.
pub fn shipped() -> &'static [Rulebook] {
    &SHIPPED
}

/// The shipped rulebook with this key.
pub fn rulebook(key: &str) -> Option<&'static Rulebook> {
    shipped().iter().find(|rulebook| rulebook.key == key)
}

/// What gear must hold, be approved for and be known of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rulebook {
    key: String,
    title: String,
    covers: String,
    leaves_out: Vec<String>,
    #[serde(rename = "source")]
    sources: Vec<Cited>,
    person: PersonMass,
    factor: Factor,
    limit: LimitRule,
    identity: Identity,
    #[serde(rename = "interval")]
    intervals: Vec<Interval>,
    #[serde(rename = "kind")]
    kinds: Vec<KindRule>,
    #[serde(rename = "approval")]
    approvals: Vec<ApprovalAsked>,
    #[serde(rename = "minimum")]
    minimums: Vec<Minimum>,
}

/// The mass of one person with kit, as planned with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonMass {
    /// The mass.
    pub mass: EnteredMass,
    /// Why this mass.
    pub reason: String,
    /// Where it is from.
    pub from: Cited,
}

/// The factor that every breaking strength must reach over the force on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Factor {
    /// The factor; exactly it passes.
    pub value: SafetyFactor,
    /// Why this factor.
    pub reason: String,
    /// Where it is from.
    pub from: Cited,
}

/// How working limits and rated loads are judged, which have a factor of the maker's inside them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRule {
    /// The rule in words.
    pub rule: String,
    /// Where it is from.
    pub from: Cited,
}

/// Something that must be known of an item before it may hold a person.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// The maker's serial.
    Serial,
    /// When it was made.
    Made,
    /// Markings that can be read.
    Markings,
}

/// What must be known of every item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Identity {
    /// What must be known.
    pub asks: Vec<Mark>,
    /// Where the rule is from.
    pub from: Cited,
}

/// The longest time between thorough examinations.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Interval {
    /// Calendar months.
    pub months: u16,
    /// The kinds that it binds; empty is all.
    #[serde(default)]
    pub kinds: Vec<Kind>,
    /// Where it is from.
    pub from: Cited,
}

/// Which strength must be known of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StrengthAsked {
    /// A breaking strength.
    Breaking,
    /// A breaking strength, a working limit or a rated load.
    Any,
    /// None: it carries nobody.
    Nothing,
}

/// What is asked of a kind as a whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KindRule {
    /// The kind.
    pub kind: Kind,
    /// Which strength must be known.
    pub strength: StrengthAsked,
    /// Why there is no minimum strength, where there is none.
    pub no_minimum: Option<String>,
    /// Why no approval is asked for, where none is.
    pub no_approval: Option<String>,
}

impl Rulebook {
    /// Reads a rulebook from its sheet and checks it.
    ///
    /// # Errors
    /// Every fault of the sheet.
    pub fn parse(sheet: &str) -> Result<Self, RulebookError> {
        let read = toml::from_str(sheet).map_err(|error| RulebookError {
            faults: vec![format!("The sheet cannot be read: {error}")],
        });
        read.and_then(check::checked)
    }

    /// The short name that jobs and addresses use.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The name in plain words.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// What it covers, in a sentence or two.
    pub fn covers(&self) -> &str {
        &self.covers
    }

    /// What it leaves out on purpose, a sentence each.
    pub fn leaves_out(&self) -> &[String] {
        &self.leaves_out
    }

    /// The standards and papers behind it.
    pub fn sources(&self) -> &[Cited] {
        &self.sources
    }

    /// The mass of one person with kit.
    pub fn person(&self) -> &PersonMass {
        &self.person
    }

    /// The factor that breaking strengths must reach.
    pub fn factor(&self) -> &Factor {
        &self.factor
    }

    /// How working limits and rated loads are judged.
    pub fn limit(&self) -> &LimitRule {
        &self.limit
    }

    /// What must be known of every item.
    pub fn identity(&self) -> &Identity {
        &self.identity
    }

    /// All intervals between examinations.
    pub fn intervals(&self) -> &[Interval] {
        &self.intervals
    }

    /// The shortest interval that binds a kind.
    pub fn interval(&self, kind: Kind) -> Option<&Interval> {
        let binds =
            |interval: &&Interval| interval.kinds.is_empty() || interval.kinds.contains(&kind);
        self.intervals
            .iter()
            .filter(binds)
            .min_by_key(|interval| interval.months)
    }

    /// What is asked of each kind as a whole.
    pub fn kinds(&self) -> &[KindRule] {
        &self.kinds
    }

    /// Which strength must be known of a kind.
    pub fn strength_asked(&self, kind: Kind) -> StrengthAsked {
        let rule = self.kinds.iter().find(|rule| rule.kind == kind);
        // Checked when it was read; a kind without a rule would be asked for the most.
        rule.map_or(StrengthAsked::Breaking, |rule| rule.strength)
    }

    /// All approvals that are asked for.
    pub fn approvals(&self) -> &[ApprovalAsked] {
        &self.approvals
    }

    /// The approvals that are asked for of a kind in a use; those for any use among them.
    pub fn approvals_asked(
        &self,
        kind: Kind,
        uses: &[When],
    ) -> impl Iterator<Item = &ApprovalAsked> {
        self.approvals.iter().filter(move |asked| {
            asked.kind == kind && (asked.when == When::Always || uses.contains(&asked.when))
        })
    }

    /// All minimum strengths.
    pub fn minimums(&self) -> &[Minimum] {
        &self.minimums
    }

    /// The mass of a load, persons counted as this rulebook plans with them.
    ///
    /// # Panics
    /// Never: the check of a rulebook holds a person to 300 kg, and 255 of them are a mass.
    pub fn mass(&self, load: Load) -> Mass {
        load.mass(self.person.mass.quantity())
            .expect("255 persons of 300 kg are within the limits of a mass")
    }
}
