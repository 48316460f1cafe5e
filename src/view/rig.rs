//! Rigs: how the rope runs, what each position needs, and the limits.

use askama::Template;

use crate::{
    rigging::{CAUTIONS, Rig},
    view::{
        Shell,
        job::takes,
        part::{Cautions, Facts},
        words,
    },
};

/// Every rig that comes with the program.
#[derive(Template)]
#[template(path = "rig/list.html")]
pub struct RigList {
    /// The frame.
    pub shell: Shell,
    /// One a rig.
    pub rows: Vec<RigRow>,
}

/// One rig of the list.
pub struct RigRow {
    /// Where it is shown.
    pub href: String,
    /// Its title.
    pub title: String,
    /// When it is used.
    pub when: String,
    /// Strands at the load.
    pub strands: usize,
    /// Load over hand force without friction.
    pub advantage: String,
}

impl RigRow {
    /// The row of a rig.
    pub fn new(rig: &Rig) -> Self {
        Self {
            href: format!("/rigs/{}", rig.key()),
            title: rig.title().to_owned(),
            when: rig.when().to_owned(),
            strands: rig.strands_at_load(),
            advantage: advantage(rig),
        }
    }
}

fn advantage(rig: &Rig) -> String {
    rig.ideal_advantage().map_or_else(
        |_| String::new(),
        |ideal| format!("{} : 1", words::digits(ideal.ratio(), 3)),
    )
}

impl RigList {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let row = RigRow {
            href: "/rigs/1".to_owned(),
            title: PROBE.to_owned(),
            when: PROBE.to_owned(),
            strands: 4,
            advantage: "4 : 1".to_owned(),
        };
        vec![Self {
            shell: Shell::sample("Rigs"),
            rows: vec![row],
        }]
    }
}

/// One rig.
#[derive(Template)]
#[template(path = "rig/show.html")]
pub struct RigSheet {
    /// The frame.
    pub shell: Shell,
    /// When it is used.
    pub when: String,
    /// Strands and advantage.
    pub facts: Facts,
    /// What it does not do.
    pub limits: Vec<String>,
    /// Each position: its title, what it takes, how it is loaded, whether it may stay empty.
    pub positions: Vec<PositionLine>,
    /// What the numbers do not tell.
    pub cautions: Cautions,
}

/// One position of a rig.
pub struct PositionLine {
    /// Its title.
    pub title: String,
    /// What it takes.
    pub takes: String,
    /// How it is loaded.
    pub loaded: String,
    /// Whether it may stay empty.
    pub optional: bool,
}

impl RigSheet {
    /// The page of a rig.
    pub fn new(shell: Shell, rig: &Rig) -> Self {
        let positions = rig.positions().iter().map(|position| PositionLine {
            title: position.title().to_owned(),
            takes: takes(position),
            loaded: position.loaded().words().to_owned(),
            optional: position.is_optional(),
        });
        Self {
            shell,
            when: rig.when().to_owned(),
            facts: Facts::default()
                .wide()
                .and("Strands at the load", rig.strands_at_load().to_string())
                .and("Load over hand force without friction", advantage(rig))
                .and("Ropes", rig.ropes().len().to_string()),
            limits: rig.limits().to_vec(),
            positions: positions.collect(),
            cautions: Cautions {
                lines: CAUTIONS.iter().map(|line| (*line).to_owned()).collect(),
            },
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let line = |optional| PositionLine {
            title: PROBE.to_owned(),
            takes: PROBE.to_owned(),
            loaded: PROBE.to_owned(),
            optional,
        };
        vec![Self {
            shell: Shell::sample(PROBE),
            when: PROBE.to_owned(),
            facts: Facts::default().and(PROBE, PROBE),
            limits: vec![PROBE.to_owned()],
            positions: vec![line(true), line(false)],
            cautions: Cautions {
                lines: vec![PROBE.to_owned()],
            },
        }]
    }
}
