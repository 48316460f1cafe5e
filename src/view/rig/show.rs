//! One rig.

use askama::Template;

use super::Look;
use crate::{
    rigging::Rig,
    view::{Shell, job::takes, offer::Offer, part::Cautions},
};

/// One rig: one that comes with the program, or a version of the team's own.
#[derive(Template)]
#[template(path = "rig/show.html")]
pub struct RigSheet {
    /// The frame.
    pub shell: Shell,
    /// When it is used.
    pub when: String,
    /// What it comes to.
    pub look: Look,
    /// What it does not do.
    pub limits: Vec<String>,
    /// Each position: its title, what it takes, how it is loaded, whether it may stay empty.
    pub positions: Vec<PositionLine>,
    /// What is known of it beside, if it is the team's own.
    pub own: Option<OwnFacts>,
    /// Where its file is, without the ending, and the version it is of.
    pub file: (String, String),
    /// Where a new one is started from it; none if this person may not.
    pub start: Option<String>,
    /// What the numbers do not tell.
    pub cautions: Cautions,
}

/// One position of a rig.
pub struct PositionLine {
    /// Its key, as sheets and programs name it.
    pub key: String,
    /// Its title.
    pub title: String,
    /// What it takes.
    pub takes: String,
    /// How it is loaded.
    pub loaded: String,
    /// Whether it may stay empty.
    pub optional: bool,
}

/// What is known of a rig of the team's own.
pub struct OwnFacts {
    /// The version that is shown.
    pub version: u32,
    /// Whether there is a newer one.
    pub older: bool,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
    /// Where it is changed; none if this person may not, or it was withdrawn.
    pub edit: Option<String>,
    /// The form to withdraw it or to take it up again; none if this person may not.
    pub offer: Option<Offer>,
    /// Every version, the newest first.
    pub versions: Vec<VersionRow>,
}

/// One version of a rig.
pub struct VersionRow {
    /// Its number.
    pub version: u32,
    /// Where it is shown.
    pub href: String,
    /// Who wrote it.
    pub by: String,
    /// When.
    pub at: String,
    /// What was new.
    pub note: String,
}

impl RigSheet {
    /// The page of a rig.
    pub fn new(shell: Shell, rig: &Rig, own: Option<OwnFacts>, start: Option<String>) -> Self {
        let positions = rig.positions().iter().map(|position| PositionLine {
            key: position.key().to_owned(),
            title: position.title().to_owned(),
            takes: takes(position),
            loaded: position.loaded().words().to_owned(),
            optional: position.is_optional(),
        });
        let version = own.as_ref().filter(|own| own.older);
        let version = version.map(|own| format!("?version={}", own.version));
        Self {
            shell,
            when: rig.when().to_owned(),
            look: Look::at(rig),
            limits: rig.limits().to_vec(),
            positions: positions.collect(),
            own,
            file: (
                format!("/rigs/{}/sheet/", rig.key()),
                version.unwrap_or_default(),
            ),
            start,
            cautions: Cautions::of_mechanics(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::{rigging::shipped, view::PROBE};
        let version = || VersionRow {
            version: 1,
            href: "/rigs/x?version=1".to_owned(),
            by: PROBE.to_owned(),
            at: PROBE.to_owned(),
            note: PROBE.to_owned(),
        };
        let own = |offer: Offer| OwnFacts {
            version: 1,
            older: true,
            withdrawn: offer.withdrawn,
            edit: Some("/rigs/x/edit".to_owned()),
            offer: Some(offer),
            versions: vec![version()],
        };
        let shell = || Shell::sample(PROBE);
        let rigs = shipped().iter();
        let mut pages: Vec<Self> = rigs
            .map(|rig| Self::new(shell(), rig, None, Some("/rigs/new".to_owned())))
            .collect();
        for offer in Offer::samples() {
            let mut of_own = Self::new(shell(), &shipped()[0], Some(own(offer)), None);
            PROBE.clone_into(&mut of_own.when);
            of_own.limits.push(PROBE.to_owned());
            pages.push(of_own);
        }
        pages
    }
}
