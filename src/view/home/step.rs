//! The first steps of a team, until it has items and a job.

use super::{
    super::part::{Badge, Tone},
    Today,
};
use crate::domain::{Deed, Role};

/// How far the team has come: it has these or has not.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a step of its own, in any order"
)]
#[derive(Clone, Copy, Debug, Default)]
pub struct Begun {
    /// Somebody who is recorded as competent to examine today.
    pub competent: bool,
    /// A store.
    pub store: bool,
    /// A model.
    pub model: bool,
    /// An item.
    pub item: bool,
    /// A job, whatever became of it.
    pub job: bool,
}

/// One of the first steps.
pub(super) struct Step {
    pub(super) badge: Badge,
    pub(super) words: &'static str,
    pub(super) why: &'static str,
    pub(super) href: Option<&'static str>,
}

/// The words and the consequence of nobody being recorded as competent.
pub(super) const NOBODY_COMPETENT: (&str, &str) = (
    "Say who is competent to examine",
    "Nobody is recorded: no intake or periodic examination counts until somebody is, neither a new one nor one of an \
     imported list. An administrator records it.",
);

/// The first steps until there are items and a job, those that were taken marked so.
pub(super) fn steps(role: Role, today: &Today<'_>) -> Vec<Step> {
    let begun = today.begun;
    if (begun.item && begun.job) || !role.may(Deed::PlanJob) {
        return Vec::new();
    }
    let step = |done: bool, words, why, href: &'static str| Step {
        badge: if done {
            Badge::new(Tone::Fit, "done")
        } else {
            Badge::new(Tone::Note, "to do")
        },
        words,
        why,
        href: (!done && (today.has)(href)).then_some(href),
    };
    let mut steps = Vec::new();
    let keeps = role.may(Deed::KeepRegister);
    if keeps && !begun.competent {
        let (words, why) = NOBODY_COMPETENT;
        steps.push(step(false, words, why, "/competence"));
    }
    if keeps && (today.has)("/import") {
        steps.push(step(
            begun.item,
            "Bring your list in",
            "From a CSV or XLSX file, as it is. You see first what would be taken in, and nothing is kept before you say so; stores and models are added with it.",
            "/import",
        ));
    }
    steps.push(step(
        begun.job,
        "Plan a job",
        "Where, when, how deep, with what load and rig; then its kit is chosen and the verdict is there.",
        "/jobs/new",
    ));
    if keeps && !begun.item {
        steps.extend(by_hand(begun).map(|(done, words, why, href)| step(done, words, why, href)));
    }
    steps
}

/// The way without a list: done or not, words, why, where.
fn by_hand(begun: Begun) -> [(bool, &'static str, &'static str, &'static str); 3] {
    [
        (
            begun.store,
            "Without a list: add a store",
            "A bay, a vehicle, a bag: every item lives in one.",
            "/stores/new",
        ),
        (
            begun.model,
            "Then a model",
            "What a maker sells, with its ratings and approvals; all its items share them.",
            "/models/new",
        ),
        (
            false,
            "Then its items",
            "Each with its mark, serial and the day it was made.",
            "/items/new",
        ),
    ]
}
