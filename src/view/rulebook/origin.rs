//! Whose a rulebook is, in which version it is shown, and how it stands with the team.

use crate::{
    domain::rulebook::{Rulebook, TeamRulebook},
    view::part::{Badge, Tone},
};

/// Who keeps a rulebook, and in which version it is shown.
pub enum Origin<'a> {
    /// It comes with the program.
    Shipped(&'static Rulebook),
    /// The team's own, and the number of its newest version.
    Own(&'a TeamRulebook, u32),
}

/// Who looks at a rulebook, and how it stands with the team.
#[derive(Clone, Copy, Debug)]
pub struct Standing {
    /// Whether this person may change it.
    pub may_keep: bool,
    /// Whether the team works by it.
    pub is_home: bool,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

/// Who keeps it, in which version.
pub(super) fn badge(origin: &Origin<'_>) -> Badge {
    match origin {
        Origin::Shipped(_) => Badge::new(Tone::Note, "comes with the program"),
        Origin::Own(own, newest) if own.revision < *newest => Badge::new(
            Tone::Out,
            format!("the team's own, version {} of {newest}", own.revision),
        ),
        Origin::Own(own, _) => Badge::new(
            Tone::Fit,
            format!("the team's own, version {}, the newest", own.revision),
        ),
    }
}

/// Other rulebooks and versions to look at.
pub(super) fn notes(origin: &Origin<'_>) -> Vec<(String, String)> {
    let book = match origin {
        Origin::Shipped(book) => *book,
        Origin::Own(own, _) => &own.book,
    };
    let mut notes = Vec::new();
    if let Some(base) = book.base() {
        let words = format!("Based on {}", base.title());
        notes.push((words, format!("/rulebooks/{}", base.key())));
    }
    if let Origin::Own(own, newest) = origin {
        let versions = (1..=*newest).filter(|version| *version != own.revision);
        notes.extend(versions.map(|version| {
            let href = format!("/rulebooks/{}@{version}", book.key());
            (format!("Version {version}"), href)
        }));
    }
    notes
}

/// The address of the newest version of one of the team's own; an older one is only read.
pub(super) fn newest(origin: &Origin<'_>) -> Option<String> {
    match origin {
        Origin::Own(own, newest) if own.revision == *newest => {
            Some(format!("/rulebooks/{}", own.book.key()))
        }
        _ => None,
    }
}
