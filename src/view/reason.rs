//! A reason as every page shows it: the sentence, what was looked at, the rule with its source, and the way
//! to where it can be mended. Its quantities are told in the reader's units too.

use askama::Template;

use super::{Shell, part::html_parts};
use crate::domain::{Deed, Mend, Refusal, kit_strength::KitGap};

/// Why an item may not go, or what a verdict lacks.
#[derive(Clone, Debug, PartialEq, Eq, Template)]
#[template(path = "part/reason.html")]
pub struct Reason {
    /// What is wrong and what would mend it.
    pub sentence: String,
    /// What was looked at; may be empty.
    pub evidence: String,
    /// The rule and how it is known; may be empty.
    pub source: String,
    /// Where it can be mended: words and address. None where no record would, or this person may not.
    pub mend: Option<(&'static str, String)>,
}

html_parts!(Reason);

impl Reason {
    /// A reason against an item.
    pub fn of(refusal: &Refusal, shell: &Shell) -> Self {
        Self {
            sentence: shell.units.beside(&refusal.sentence),
            evidence: shell.units.beside(&refusal.looked_at()),
            source: refusal.rule.to_string(),
            mend: refusal.mend.and_then(|mend| Self::link(mend, shell)),
        }
    }

    /// The reasons against an item.
    pub fn all(refusals: &[Refusal], shell: &Shell) -> Vec<Self> {
        refusals
            .iter()
            .map(|refusal| Self::of(refusal, shell))
            .collect()
    }

    /// What a verdict lacks.
    pub fn of_gap(gap: &KitGap, mend: Option<Mend>, shell: &Shell) -> Self {
        Self {
            sentence: shell.units.beside(&gap.sentence),
            evidence: String::new(),
            source: String::new(),
            mend: mend.and_then(|mend| Self::link(mend, shell)),
        }
    }

    /// A reason to test with.
    pub(super) fn sample() -> Self {
        use super::PROBE;
        Self {
            sentence: PROBE.to_owned(),
            evidence: PROBE.to_owned(),
            source: PROBE.to_owned(),
            mend: Some(("Change the model's record", "/models/1/edit".to_owned())),
        }
    }

    /// The words and the address of where something is mended, for who may do it. A form leads back to the page that
    /// tells the reason.
    pub fn link(mend: Mend, shell: &Shell) -> Option<(&'static str, String)> {
        let (deed, words, href) = match mend {
            Mend::ItemRecord(id) => (
                Deed::KeepRegister,
                "Change the item's record",
                shell.leading_back(format!("/items/{id}/edit")),
            ),
            Mend::ItemState(id) => (Deed::Read, "Open the item", format!("/items/{id}")),
            Mend::Examination(id) => (
                Deed::ReportEvent,
                "Record an examination",
                shell.leading_back(format!("/items/{id}/examinations/new")),
            ),
            Mend::ModelRecord(id) => (
                Deed::KeepRegister,
                "Change the model's record",
                shell.leading_back(format!("/models/{id}/edit")),
            ),
            Mend::Notice(id) => (Deed::Read, "Open the notice", format!("/notices/{id}")),
            Mend::JobPlan(id) => (Deed::PlanJob, "Change the plan", format!("/jobs/{id}/edit")),
        };
        shell.may(deed).then_some((words, href))
    }
}
