//! A rulebook: what gear must hold, be approved for and be known of before it may go on a job. Data.
//!
//! # How to add a rulebook
//!
//! 1. Write `rulebook/<key>.toml`. Where it is much like another, name that in `based_on` and write
//!    only what differs: a rule of the same name stands in place of the other's, and a rule of another
//!    name is added. Each number stands as printed, with its unit and with `from = { source, known }`;
//!    say honestly in `known` whether the source was read, reported by a page, or is from memory. The
//!    label follows the number onto every page. Where the source is law, write `law = true`; where
//!    other sources say otherwise, tell it in `disagrees`. No sentence may be taken from a standard;
//!    write what is asked in your own words.
//! 2. Every kind of gear needs one `[[kind]]` entry; its `strength` says what must be known, see [`StrengthAsked`]. A kind without a `[[minimum]]` says why in
//!    `no_minimum`, one without an `[[approval]]` in `no_approval`. An approval's `when` says in which use it is asked
//!    for, see [`When`]: `catches` is asked of what stops a belay rope. What nothing on record can be held
//!    against is `[[told]]`, and people must see to it.
//!    How long papers are kept is `[[retention]]`: `until` in words; `paper`, `ends`, `then_months` so that it is counted.
//! 3. Add the file to `SHEETS` below, behind what it is based on. The tests read every sheet, and
//!    `ropeloft rulebook check FILE` names all faults with their lines.
//!
//! A rulebook never loosens what an item's own record says: a maker's shorter interval, lower rated
//! load or narrower rope range counts before anything here.

mod amount;
mod asked;
mod bound;
mod check;
mod draft;
pub(super) mod fault;
mod kept;
mod kind;
mod laid;
mod looser;
mod measure;
mod named;
mod number;
mod numbered;
mod own;
pub(super) mod part;
mod read;
mod rule;
mod standard;
mod suited;
mod told;

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::{Cited, Edition, Kind, Load, Material};
use crate::rigging::Mass;
use fault::Faults;

pub use amount::{Amount, Measure};
pub use asked::{ApprovalAsked, Minimum, StandardClass, When};
pub use bound::{Bound, FurtherPerson, Side};
pub use draft::RulebookDraft;
pub use fault::{Fault, RulebookError};
pub use kept::{Ends, Paper};
pub use kind::{KindRule, StrengthAsked};
pub use named::Named;
pub use numbered::{Numbered, Stricter};
pub use own::{LARGEST_SHEET, TeamRulebook};
pub use rule::{
    ArrestRule, DepthLimit, Factor, Identity, Interval, LifeBinds, LifeFrom, LifeRule, LimitRule,
    Look, LookWhen, Mark, PersonMass, Retention,
};
pub use standard::{same_class, same_standard};
pub use suited::Suited;
pub use told::{About, Loosened, Told};

/// The sheets that come with the program; one that is based on another stands behind it.
const SHEETS: [&str; 5] = [
    include_str!("rulebook/european.toml"),
    include_str!("rulebook/uk-lifting.toml"),
    include_str!("rulebook/rope-access.toml"),
    include_str!("rulebook/us-rescue.toml"),
    include_str!("rulebook/us-general.toml"),
];

static SHIPPED: LazyLock<Vec<Rulebook>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for sheet in SHEETS {
        let rulebook = Rulebook::parse_among(sheet, &all);
        all.push(rulebook.expect("a test reads every shipped sheet"));
    }
    all
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
    #[serde(default, skip_serializing_if = "Option::is_none")]
    based_on: Option<String>,
    #[serde(rename = "source")]
    sources: Vec<Cited>,
    person: PersonMass,
    factor: Factor,
    limit: LimitRule,
    identity: Identity,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    depth: Option<DepthLimit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    arrest: Option<ArrestRule>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    catch: Option<Factor>,
    #[serde(rename = "interval")]
    intervals: Vec<Interval>,
    #[serde(rename = "life", default)]
    lives: Vec<LifeRule>,
    #[serde(rename = "look", default)]
    looks: Vec<Look>,
    #[serde(rename = "retention", default)]
    retentions: Vec<Retention>,
    #[serde(rename = "kind")]
    kinds: Vec<KindRule>,
    #[serde(rename = "approval")]
    approvals: Vec<ApprovalAsked>,
    #[serde(rename = "minimum")]
    minimums: Vec<Minimum>,
    #[serde(rename = "further_person", default)]
    further: Vec<FurtherPerson>,
    #[serde(rename = "bound", default)]
    bounds: Vec<Bound>,
    #[serde(default)]
    told: Vec<Told>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    looser: Vec<Loosened>,
}

impl Rulebook {
    /// Reads a rulebook from its sheet and checks it; one that names a shipped rulebook in `based_on`
    /// is laid over it.
    ///
    /// # Errors
    /// Every fault of the sheet.
    pub fn parse(sheet: &str) -> Result<Self, RulebookError> {
        Self::parse_among(sheet, shipped())
    }

    fn parse_among(sheet: &str, known: &[Self]) -> Result<Self, RulebookError> {
        let mut faults = Faults::default();
        let rulebook = Self::read(sheet, known, &mut faults);
        rulebook
            .filter(|_| faults.is_empty())
            .ok_or_else(|| faults.into_error())
    }

    /// Reads and checks a sheet; what is wrong is noted.
    fn read(sheet: &str, known: &[Self], faults: &mut Faults) -> Option<Self> {
        let read = read::sheet(sheet, faults);
        let base = read.based_on.as_ref().and_then(|key| {
            let base = known.iter().find(|book| book.key == *key);
            if base.is_none() {
                let keys: Vec<&str> = known.iter().map(Self::key).collect();
                let keys = keys.join(", ");
                faults.at("based_on", format!("Write one of {keys}, not \"{key}\"."));
            }
            base
        });
        // What is missing under a base that nobody knows says nothing.
        if read.based_on.is_some() && base.is_none() {
            return None;
        }
        // A rule that could not be read is not there, which must not be told a second time.
        let whole = faults.is_empty();
        let mut rulebook = laid::laid(read, base, faults)?;
        check::check(&rulebook, faults);
        if let Some(base) = base {
            looser::mark(&mut rulebook, base, faults);
        }
        if whole {
            check::complete(&rulebook, faults);
        }
        Some(rulebook)
    }

    /// The short name that jobs and addresses use.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The name in plain words.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The name, with the version that a job or an address names.
    pub fn title_of(&self, named: &Edition<'_>) -> String {
        match named.version {
            None => self.title.clone(),
            Some(version) => format!("{} (version {version})", self.title),
        }
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

    /// The shortest interval that binds gear of a kind and material in usual use.
    pub fn interval(&self, kind: Kind, material: Material) -> Option<&Interval> {
        self.interval_in(kind, material, false)
    }

    /// The same, in arduous use where that is so.
    pub fn interval_in(&self, kind: Kind, material: Material, arduous: bool) -> Option<&Interval> {
        let binding = self.intervals.iter();
        binding
            .filter(|interval| interval.binds(kind, material, arduous))
            .min_by_key(|interval| interval.months)
    }

    /// How long gear lives, beside the makers' own limits.
    pub fn lives(&self) -> &[LifeRule] {
        &self.lives
    }

    /// The looks that people must see to.
    pub fn looks(&self) -> &[Look] {
        &self.looks
    }

    /// How long papers must be kept.
    pub fn retentions(&self) -> &[Retention] {
        &self.retentions
    }

    /// The depth beyond which a job is asked why.
    pub fn depth(&self) -> Option<&DepthLimit> {
        self.depth.as_ref()
    }

    /// The most that a person may be stopped with, if it says so.
    pub fn arrest(&self) -> Option<&ArrestRule> {
        self.arrest.as_ref()
    }

    /// The factor on breaking strengths in a catch, if it says one. The general factor is none for it.
    pub fn catch(&self) -> Option<&Factor> {
        self.catch.as_ref()
    }

    /// Limits on what a record says beside its strengths.
    pub fn bounds(&self) -> &[Bound] {
        &self.bounds
    }

    /// What further persons add to minimums.
    pub fn further(&self) -> &[FurtherPerson] {
        &self.further
    }

    /// What further persons add to a minimum, if anything.
    pub fn further_for(&self, minimum: &Minimum) -> Option<&FurtherPerson> {
        self.further.iter().find(|further| further.adds_to(minimum))
    }

    /// What nothing on record can be held against.
    pub fn told(&self) -> &[Told] {
        &self.told
    }

    /// The rules in which it asks less than what it is based on, each with its reason.
    pub fn looser(&self) -> &[Loosened] {
        &self.looser
    }

    /// The key of the rulebook that it is based on, if it is based on one.
    pub fn based_on(&self) -> Option<&str> {
        self.based_on.as_deref()
    }

    /// What is asked of each kind as a whole.
    pub fn kinds(&self) -> &[KindRule] {
        &self.kinds
    }

    /// Which strength must be known of a kind.
    pub fn strength_asked(&self, kind: Kind) -> StrengthAsked {
        if kind.is_beside_the_rig() {
            return StrengthAsked::Nothing;
        }
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
