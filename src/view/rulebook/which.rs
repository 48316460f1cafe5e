//! What each rulebook is for, beside the field in which one is chosen.

use askama::Template;

use crate::{
    domain::rulebook::{TeamRulebook, shipped},
    view::part::html_parts,
};

/// The rulebooks with what each is for, folded away.
#[derive(Clone, Debug, Template)]
#[template(path = "rulebook/which.html")]
pub struct WhichRulebook {
    /// The title of each and what it covers.
    rows: Vec<(String, String)>,
}

impl WhichRulebook {
    /// Those that come with the program, then the team's own.
    pub fn new(own: &[TeamRulebook]) -> Self {
        let own = own.iter().map(|own| &own.book);
        let all = shipped().iter().chain(own);
        Self {
            rows: all
                .map(|book| (book.title().to_owned(), book.covers().to_owned()))
                .collect(),
        }
    }
}

html_parts!(WhichRulebook);
