//! Which rulebook a register is kept by, as the approvals on its records tell.

use super::{Rulebook, shipped};
use crate::domain::Model;

/// A rulebook that a plan begins with, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Suited<'a> {
    /// The rulebook.
    pub book: &'a Rulebook,
    /// Why, in a sentence; it can be chosen otherwise always.
    pub why: String,
}

impl Rulebook {
    /// Of how many models the approvals that it always asks for are on record. Kinds of which it asks none count for
    /// nothing: whatever they carry tells nothing about it.
    fn carried(&self, models: &[Model]) -> usize {
        let carries = |model: &&Model| {
            let mut asked = self.approvals_asked(model.kind, &[]).peekable();
            let has = |asked: &super::ApprovalAsked| {
                let mut approvals = model.approvals.iter();
                approvals.any(|approval| asked.takes(approval))
            };
            asked.peek().is_some() && asked.all(has)
        };
        models.iter().filter(carries).count()
    }

    /// The rulebook that a plan of a team begins with which works by this one: this one, unless it comes with the
    /// program, asks for approvals, and most of the approved models carry those of another. A team that wrote a rulebook
    /// of its own has chosen it. `models` are those of the register.
    pub fn suited<'a>(&'a self, models: &[Model]) -> Suited<'a> {
        let approved = models.iter().filter(|model| !model.approvals.is_empty());
        let approved = approved.count();
        let own = self.carried(models);
        let keep = || {
            let why = match approved {
                0 => "It is the rulebook that your team works by.".to_owned(),
                all => format!(
                    "It is the rulebook that your team works by; {own} of the {all} approved models of the register carry the approvals that it asks for."
                ),
            };
            Suited { book: self, why }
        };
        if !shipped().contains(self) || self.approvals().is_empty() {
            return keep();
        }
        // Of rulebooks that are carried alike the first, which is the one that the others are based on.
        let others = shipped().iter().rev();
        let most = others.max_by_key(|other| other.carried(models));
        let Some((most, count)) = most.map(|most| (most, most.carried(models))) else {
            return keep();
        };
        if count <= own || 2 * count <= approved {
            return keep();
        }
        Suited {
            book: most,
            why: format!(
                "Chosen by the register: {count} of its {approved} approved models carry the approvals that this one asks for, and {own} those of \"{}\", by which your team works. Choose that one if the job goes by it.",
                self.title()
            ),
        }
    }
}
