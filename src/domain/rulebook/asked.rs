//! What a rulebook asks of a kind of gear: approvals, and strengths by class.

use serde::{Deserialize, Serialize};

use super::{same_class, same_standard};
use crate::domain::entered::{EnteredForce, EnteredLength};
use crate::domain::{Approval, Cited, Kind, Material};
use crate::rigging::LoadingMode;

/// What a device does with the rope that asks for an approval of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// Whatever it does, and as a spare too.
    Always,
    /// It captures the progress of the rope.
    Captures,
    /// It grabs the rope and ties it to a body.
    Grabs,
}

impl When {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Always => "whatever it does",
            Self::Captures => "where it captures the progress of the rope",
            Self::Grabs => "where it grabs the rope and ties it to a body",
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
    /// The standard.
    pub standard: String,
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
        match &self.class {
            Some(class) => format!("{} class {class}", self.standard),
            None => self.standard.clone(),
        }
    }

    /// Whether a breaking strength reaches it.
    ///
    /// Printed pairs are rounded (20 kN stands beside 4496 lbf, which is a hair less), so a strength
    /// is held against the number that is printed in its own unit where there is one.
    pub fn reached_by(&self, strength: EnteredForce) -> bool {
        let beside = self
            .or_printed
            .filter(|printed| printed.unit() == strength.unit());
        strength.quantity() >= beside.unwrap_or(self.at_least).quantity()
    }

    /// Whether it speaks about things with this approval.
    pub fn speaks_of(&self, approval: &Approval) -> bool {
        same_standard(&self.standard, &approval.standard)
            && (self.class.is_none()
                || same_class(self.class.as_deref(), approval.class.as_deref()))
    }
}
