//! Rulebooks: each number with its source and how it is known, and the forms of a team's own.

mod form;
mod line;
mod list;
mod origin;
mod sheet;
mod show;
mod which;

pub use form::{RulebookForm, RulebookTarget};
pub use line::{RuleLine, Source};
pub use list::{RulebookList, RulebookStart};
pub use origin::{Origin, Standing};
pub use sheet::SheetForm;
pub use show::RulebookSheet;
pub use which::WhichRulebook;

use super::form::Choices;
use crate::domain::rulebook::{TeamRulebook, shipped};

/// The rulebooks that a team can work by: those that come with the program, then its own.
pub fn choices(own: &[TeamRulebook]) -> Choices {
    let shipped = shipped().iter();
    let shipped = shipped.map(|book| (book.key().to_owned(), book.title().to_owned()));
    let own = own.iter();
    let own = own.map(|own| (own.book.key().to_owned(), own.book.title().to_owned()));
    shipped.chain(own).collect()
}

/// The rulebooks that a job can be planned under, each of the team's own in its newest version; and what
/// the job was `planned` under.
pub fn job_choices(own: &[TeamRulebook], planned: &str) -> Choices {
    let shipped = shipped().iter();
    let shipped = shipped.map(|book| (book.key().to_owned(), book.title().to_owned()));
    let own = own.iter().map(|own| {
        let edition = own.edition();
        let words = format!("{} (own, version {})", own.book.title(), own.revision);
        (edition.to_string(), words)
    });
    let mut all: Choices = shipped.chain(own).collect();
    if !planned.is_empty() && !all.iter().any(|(key, _)| key == planned) {
        all.push((planned.to_owned(), format!("{planned}, as it was planned")));
    }
    all
}
