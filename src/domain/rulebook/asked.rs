//! What a rulebook asks of a kind of gear: approvals, and strengths by class.

use serde::{Deserialize, Serialize};

use super::bound::{speaks_of, title};
use super::{FurtherPerson, same_class, same_standard};
use crate::domain::entered::{EnteredForce, EnteredLength};
use crate::domain::{Approval, Cited, Kind, Material};
use crate::rigging::LoadingMode;

/// What a device does with the rope, or who hangs on it, that asks for an approval of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Whatever it does, and as a spare too.
    Always,
    /// It captures the progress of the rope.
    Captures,
    /// It grabs the rope and ties it to a body.
    Grabs,
    /// It holds a belay rope, or is a harness on one: it has to stop what falls, not only to hold what hangs.
    Catches,
    /// More than one person hangs on the rope; asked of whatever has a place in the rig.
    Several,
}

impl When {
    /// All of them.
    pub(super) const ALL: [Self; 5] = [
        Self::Always,
        Self::Captures,
        Self::Grabs,
        Self::Catches,
        Self::Several,
    ];

    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Always => "whatever it does",
            Self::Captures => "where it captures the progress of the rope",
            Self::Grabs => "where it grabs the rope and ties it to a body",
            Self::Catches => "where it catches a fall, at a belay",
            Self::Several => "where more than one person hangs on the rope",
        }
    }
}

/// An approval that is asked for: any of the listed ones will do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ApprovalAsked {
    /// The kind of gear.
    pub kind: Kind,
    /// When it is asked for.
    pub when: When,
    /// The approvals, any of which will do.
    pub any_of: Vec<StandardClass>,
    /// The kinds of rope that these standards cover, for an approval that names none itself.
    #[serde(default)]
    pub rope_kinds: Vec<String>,
    /// Whether the approval must state a rated load.
    #[serde(default)]
    pub rated_load: bool,
    /// Where the rule is from.
    pub from: Cited,
}

/// A standard and its classes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandardClass {
    /// The standard.
    pub standard: String,
    /// The classes, any of which will do; empty is all.
    #[serde(default)]
    pub classes: Vec<String>,
}

/// The breaking strength that a class asks for in one way of loading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Minimum {
    /// The kind of gear.
    pub kind: Kind,
    /// The standard; none is whatever it is approved to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard: Option<String>,
    /// The class; none is every class of the standard.
    pub class: Option<String>,
    /// The way of loading.
    pub mode: LoadingMode,
    /// Only for this material.
    pub material: Option<Material>,
    /// Only for this diameter.
    pub diameter: Option<EnteredLength>,
    /// The least breaking strength, as printed.
    pub at_least: EnteredForce,
    /// The same in another unit, as printed beside it; printed pairs are rounded.
    pub or_printed: Option<EnteredForce>,
    /// Where it is from.
    pub from: Cited,
}

impl ApprovalAsked {
    /// Whether an approval is one of those that will do.
    pub fn takes(&self, approval: &Approval) -> bool {
        self.any_of.iter().any(|wanted| {
            let class = approval.class.as_deref();
            same_standard(&wanted.standard, &approval.standard)
                && (wanted.classes.is_empty()
                    || wanted
                        .classes
                        .iter()
                        .any(|wanted| same_class(Some(wanted), class)))
        })
    }

    /// What will do, in words: "EN 567, or EN 12841 class B".
    pub fn words(&self) -> String {
        let one = |wanted: &StandardClass| match wanted.classes.as_slice() {
            [] => wanted.standard.clone(),
            classes => format!("{} class {}", wanted.standard, classes.join(" or ")),
        };
        self.any_of
            .iter()
            .map(one)
            .collect::<Vec<_>>()
            .join(", or ")
    }
}

impl Minimum {
    /// The standard with its class, in words.
    pub fn title(&self) -> String {
        title(self.standard.as_deref(), self.class.as_deref())
    }

    /// What its number is of: "Breaking strength of rope, EN 1891 class A, in a straight line".
    pub fn words(&self) -> String {
        let mut words = format!("Breaking strength of {}", self.kind.word());
        let material = self.material.map(|material| material.key().to_owned());
        let diameter = self.diameter.map(|diameter| diameter.to_string());
        let title = self.standard.as_ref().map(|_| self.title());
        let parts = [
            title,
            Some(self.mode.words().to_owned()),
            material,
            diameter,
        ];
        for part in parts.into_iter().flatten() {
            words.push_str(", ");
            words.push_str(&part);
        }
        words
    }

    /// Whether a breaking strength reaches it, with what each person beyond the first adds.
    ///
    /// Printed pairs are rounded (20 kN stands beside 4496 lbf, which is a hair less), so a strength
    /// is held against the number that is printed in its own unit where there is one.
    pub fn reached_by(&self, strength: EnteredForce, more: Option<(&FurtherPerson, u8)>) -> bool {
        // A hair, so that a sum of decimals does not refuse the exact strength.
        strength.quantity().newtons() >= self.asked_of(strength, more) * (1.0 - 1e-12)
    }

    /// What it asks of a breaking strength, in newtons, with what each person beyond the first adds.
    pub fn asked_of(&self, strength: EnteredForce, more: Option<(&FurtherPerson, u8)>) -> f64 {
        let in_its_unit = |printed: EnteredForce, beside: Option<EnteredForce>| {
            let beside = beside.filter(|beside| beside.unit() == strength.unit());
            beside.unwrap_or(printed).quantity().newtons()
        };
        let mut asked = in_its_unit(self.at_least, self.or_printed);
        if let Some((further, persons)) = more {
            asked += in_its_unit(further.adds, further.or_printed) * f64::from(persons);
        }
        asked
    }

    /// Whether it speaks about things with these approvals.
    pub fn speaks_of(&self, approvals: &[Approval]) -> bool {
        speaks_of(self.standard.as_deref(), self.class.as_deref(), approvals)
    }

    /// The approval to its standard by whose class it may speak of a thing, where nothing else says whether it does.
    pub fn open_class<'a>(&self, approvals: &'a [Approval]) -> Option<&'a Approval> {
        let standard = self.standard.as_deref().filter(|_| self.class.is_some())?;
        let mut approvals = approvals.iter();
        approvals.find(|approval| same_standard(standard, &approval.standard))
    }
}
