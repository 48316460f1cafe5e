//! The list of rigs.

use askama::Template;

use super::advantage;
use crate::{
    domain::{LARGEST_RIG, OwnRig},
    rigging::Rig,
    view::{Shell, drawing::Drawing, figure, form::Form, words},
};

/// Every rig: the team's own, and those that come with the program.
#[derive(Template)]
#[template(path = "rig/list.html")]
pub struct RigList {
    /// The frame.
    pub shell: Shell,
    /// The team's own.
    pub own: Vec<OwnRow>,
    /// Those that come with the program.
    pub shipped: Vec<RigRow>,
    /// Whether this person may add one.
    pub may_add: bool,
    /// The form for a file, with what was wrong.
    pub form: Form,
}

/// One rig of the list.
pub struct RigRow {
    /// Where it is shown.
    pub href: String,
    /// How the rope runs, without words; none while its sheet is not read.
    pub picture: Option<Drawing>,
    /// Its title.
    pub title: String,
    /// When it is used.
    pub when: String,
    /// Strands at the load.
    pub strands: usize,
    /// Load over hand force without friction.
    pub advantage: String,
}

/// One rig of the team's own.
pub struct OwnRow {
    /// The same as of any rig.
    pub rig: RigRow,
    /// Its newest version.
    pub version: u32,
    /// Whether it was withdrawn.
    pub withdrawn: bool,
}

impl RigRow {
    /// The row of a rig.
    pub fn new(rig: &Rig) -> Self {
        Self {
            href: format!("/rigs/{}", rig.key()),
            picture: Some(figure::small(rig)),
            title: rig.title().to_owned(),
            when: rig.when().to_owned(),
            strands: rig.strands_at_load(),
            advantage: advantage(rig),
        }
    }
}

impl OwnRow {
    /// The row of a rig of the team's own. A sheet that is not read any more still has its row.
    pub fn new(own: &OwnRig, withdrawn: bool) -> Self {
        let rig = own.rig().as_ref().map_or_else(
            |faults| RigRow {
                href: format!("/rigs/{}", own.key),
                picture: None,
                title: own.title.clone(),
                when: faults.to_string(),
                strands: 0,
                advantage: String::new(),
            },
            RigRow::new,
        );
        Self {
            rig,
            version: own.revision,
            withdrawn,
        }
    }
}

impl RigList {
    /// How large a file may be, in words.
    fn limit(&self) -> String {
        format!(
            "TOML or JSON of our own form, up to {} kB.",
            words::grouped(LARGEST_RIG as u64 / 1024)
        )
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::{domain::FieldErrors, view::PROBE};
        let row = || RigRow {
            href: "/rigs/1".to_owned(),
            picture: None,
            title: PROBE.to_owned(),
            when: PROBE.to_owned(),
            strands: 4,
            advantage: "4 : 1".to_owned(),
        };
        let own = |withdrawn| OwnRow {
            rig: row(),
            version: 2,
            withdrawn,
        };
        let page = |own, may_add, wrong: &FieldErrors| Self {
            shell: Shell::sample("Rigs"),
            own,
            shipped: vec![row()],
            may_add,
            form: Form::new(wrong),
        };
        let wrong = FieldErrors::one("file", "required", PROBE);
        vec![
            page(vec![own(false), own(true)], true, &wrong),
            page(Vec::new(), false, &FieldErrors::default()),
        ]
    }
}
