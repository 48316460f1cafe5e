//! The name of each rule: two rules of one name are the same rule, in two rulebooks or in two versions.

use super::rule::{Interval, LifeRule, Look, Retention};
use super::standard::{plain_class, plain_standard};
use super::{ApprovalAsked, Bound, FurtherPerson, KindRule, Minimum, Told};
use crate::domain::key_of;

/// The name of the general factor.
pub const FACTOR: &str = "factor";
/// The name of the mass of a person.
pub const PERSON: &str = "person";
/// The name of the rule on working limits and rated loads.
pub const LIMIT: &str = "limit";
/// The name of the rule on what must be known of every item.
pub const IDENTITY: &str = "identity";
/// The name of the most that a person may be stopped with.
pub const ARREST: &str = "arrest";
/// The name of the factor for a catch.
pub const CATCH: &str = "catch";
/// The name of the limit of depth.
pub const DEPTH: &str = "depth";

/// A rule of a list.
pub trait Named {
    /// Its name, lower-case letters, digits and hyphens.
    fn name(&self) -> String;
}

/// Parts of a name between hyphens; what is empty is left out.
fn joined(parts: &[&str]) -> String {
    let mut name = String::new();
    for part in parts {
        for c in part.chars().flat_map(char::to_lowercase) {
            if c.is_alphanumeric() {
                name.push(c);
            } else if !name.is_empty() && !name.ends_with('-') {
                name.push('-');
            }
        }
        if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    name.trim_end_matches('-').to_owned()
}

/// The standard and the class of a rule; one for every standard says so.
fn scope(standard: Option<&String>, class: Option<&String>) -> (String, String) {
    let standard = standard.map_or_else(|| "any".to_owned(), |text| plain_standard(text));
    let class = class.map_or_else(String::new, |text| plain_class(text).join("-"));
    (standard, class)
}

impl Named for Minimum {
    fn name(&self) -> String {
        let (standard, class) = scope(self.standard.as_ref(), self.class.as_ref());
        let diameter = self
            .diameter
            .map(|diameter| format!("{:.1}mm", diameter.quantity().millimetres()));
        joined(&[
            "minimum",
            self.kind.key(),
            &standard,
            &class,
            self.mode.key(),
            self.material.map_or("", |material| material.key()),
            diameter.as_deref().unwrap_or_default(),
        ])
    }
}

impl Named for ApprovalAsked {
    fn name(&self) -> String {
        joined(&["approval", self.kind.key(), &key_of(self.when)])
    }
}

impl Named for KindRule {
    fn name(&self) -> String {
        joined(&["kind", self.kind.key()])
    }
}

impl Named for Bound {
    fn name(&self) -> String {
        let (standard, class) = scope(self.standard.as_ref(), self.class.as_ref());
        joined(&[
            "bound",
            self.kind.key(),
            &self.attribute,
            &key_of(self.side),
            &standard,
            &class,
        ])
    }
}

impl Named for FurtherPerson {
    fn name(&self) -> String {
        let (standard, _) = scope(self.standard.as_ref(), None);
        joined(&["further-person", self.kind.key(), &standard])
    }
}

impl Named for Interval {
    fn name(&self) -> String {
        joined(&["interval", &self.of])
    }
}

impl Named for LifeRule {
    fn name(&self) -> String {
        joined(&["life", &self.of])
    }
}

impl Named for Retention {
    fn name(&self) -> String {
        joined(&["retention", &self.of])
    }
}

impl Named for Look {
    fn name(&self) -> String {
        joined(&["look", &key_of(self.when), &self.of])
    }
}

impl Named for Told {
    fn name(&self) -> String {
        joined(&["told", &self.says])
    }
}
