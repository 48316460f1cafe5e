//! Rigs: those that come with the program and the team's own, how the rope runs, and the editor.

mod editor;
mod list;
mod look;
mod part;
mod row;
mod show;

pub use editor::{EditorTarget, RigEditor, Tab};
pub use list::{OwnRow, RigList, RigRow};
pub use look::{Look, ShareRow};
pub use show::{OwnFacts, PositionLine, RigSheet, VersionRow};

use super::words;
use crate::rigging::Rig;

/// Load over hand force without friction, in words.
fn advantage(rig: &Rig) -> String {
    rig.ideal_advantage().map_or_else(
        |_| String::new(),
        |ideal| format!("{} : 1", words::digits(ideal.ratio(), 3)),
    )
}
