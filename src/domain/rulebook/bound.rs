//! Limits on what a record says beside its strengths, and what further persons add to a minimum.

use serde::{Deserialize, Serialize};

use super::{Measure, Minimum, same_class, same_standard};
use crate::domain::entered::EnteredForce;
use crate::domain::{Approval, Cited, Kind};

/// On which side of a number a record must lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// At it or above.
    AtLeast,
    /// At it or below.
    AtMost,
    /// Below it.
    Below,
}

impl Side {
    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::AtLeast => "at least",
            Self::AtMost => "at most",
            Self::Below => "below",
        }
    }
}

/// A limit on something else that a record says of a kind: a diameter, a length, an arrest force.
///
/// It is held against what is on record; what is not on record is not asked for here.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bound {
    /// The kind of gear.
    pub kind: Kind,
    /// The key of the attribute.
    pub attribute: String,
    /// Only what is approved to this standard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard: Option<String>,
    /// Only this class of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// On which side the record must lie.
    pub side: Side,
    /// The number, as printed.
    pub value: Measure,
    /// The same in another unit, as printed beside it; printed pairs are rounded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub or_printed: Option<Measure>,
    /// Where it is from.
    pub from: Cited,
}

impl Bound {
    /// Whether both speak about the same things: those of one standard and class, or all.
    pub(super) fn overlaps(&self, other: &Self) -> bool {
        let standards = match (&self.standard, &other.standard) {
            (Some(one), Some(other)) => same_standard(one, other),
            _ => true,
        };
        let classes = match (&self.class, &other.class) {
            (Some(one), Some(other)) => same_class(Some(one), Some(other)),
            _ => true,
        };
        standards && classes
    }

    /// Whether a recorded value holds; it is held against the number that is printed in its own unit
    /// where there is one. A value of another kind than the number does not hold.
    pub fn holds(&self, recorded: Measure) -> bool {
        let beside = self
            .or_printed
            .filter(|printed| printed.same_unit(recorded));
        let limit = beside.unwrap_or(self.value);
        let order = recorded.cmp_to(limit);
        order.is_some_and(|order| match self.side {
            Side::AtLeast => order.is_ge(),
            Side::AtMost => order.is_le(),
            Side::Below => order.is_lt(),
        })
    }
}

/// What each person beyond the first adds to the strength that is asked of an anchor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FurtherPerson {
    /// The kind of gear.
    pub kind: Kind,
    /// Only to the minimums of this standard; none is those that name no standard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard: Option<String>,
    /// What is added, as printed.
    pub adds: EnteredForce,
    /// The same in another unit, as printed beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub or_printed: Option<EnteredForce>,
    /// Where it is from.
    pub from: Cited,
}

impl FurtherPerson {
    /// Whether it adds to a minimum.
    pub fn adds_to(&self, minimum: &Minimum) -> bool {
        let standards = match (&self.standard, &minimum.standard) {
            (Some(one), Some(other)) => same_standard(one, other),
            (None, None) => true,
            _ => false,
        };
        standards && self.kind == minimum.kind
    }
}

impl Bound {
    /// What its number is of: "Nominal diameter of rope, NFPA 2500 class T, below".
    pub fn words(&self) -> String {
        let (label, kind, side) = (self.label(), self.kind.word(), self.side.words());
        match self.standard {
            Some(_) => format!("{label} of {kind}, {}, {side}", self.title()),
            None => format!("{label} of {kind}, {side}"),
        }
    }

    /// The attribute, in words.
    pub fn label(&self) -> &str {
        let attribute = self.kind.attribute(&self.attribute);
        attribute.map_or(self.attribute.as_str(), |attribute| attribute.label)
    }

    /// The standard with its class, in words.
    pub fn title(&self) -> String {
        title(self.standard.as_deref(), self.class.as_deref())
    }

    /// Whether it speaks about things with these approvals.
    pub fn speaks_of(&self, approvals: &[Approval]) -> bool {
        speaks_of(self.standard.as_deref(), self.class.as_deref(), approvals)
    }
}

/// A standard with its class, in words; without one it is the rulebook itself that asks.
pub(super) fn title(standard: Option<&str>, class: Option<&str>) -> String {
    match (standard, class) {
        (Some(standard), Some(class)) => format!("{standard} class {class}"),
        (Some(standard), None) => standard.to_owned(),
        (None, _) => "the rulebook".to_owned(),
    }
}

/// Whether a rule of a standard and class speaks about things with these approvals; one without a
/// standard speaks about all.
pub(super) fn speaks_of(
    standard: Option<&str>,
    class: Option<&str>,
    approvals: &[Approval],
) -> bool {
    let Some(standard) = standard else {
        return true;
    };
    approvals.iter().any(|approval| {
        same_standard(standard, &approval.standard)
            && (class.is_none() || same_class(class, approval.class.as_deref()))
    })
}
