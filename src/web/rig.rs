//! Rigs and rulebooks: what comes with the program, to be read.

use super::{Page, Path, Problem, Signed};
use crate::{
    domain::rulebook::{self, rulebook},
    rigging::{shipped, shipped_rig},
    view::{
        Section,
        formula::Formulas,
        rig::{RigList, RigRow, RigSheet},
        rulebook::{RulebookList, RulebookSheet},
    },
};

/// Every rig.
pub(super) async fn page_list(signed: Signed) -> Page<RigList> {
    let shell = signed.shell_in(Section::Rigs, "Rigs");
    Page(RigList {
        shell,
        rows: shipped().iter().map(RigRow::new).collect(),
    })
}

/// How every number of a verdict comes about.
pub(super) async fn page_formulas(signed: Signed) -> Page<Formulas> {
    let shell = signed.shell_in(Section::Rigs, "How the numbers come about");
    Page(Formulas::new(shell))
}

/// One rig.
pub(super) async fn page_show(
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<RigSheet>, Problem> {
    let rig = shipped_rig(&key).ok_or(Problem::NotFound("rig"))?;
    Ok(Page(RigSheet::new(
        signed.shell_in(Section::Rigs, rig.title()),
        rig,
    )))
}

/// Every rulebook.
pub(super) async fn page_rulebooks(signed: Signed) -> Page<RulebookList> {
    Page(RulebookList::new(
        signed.shell_in(Section::Rulebooks, "Rulebooks"),
        rulebook::shipped(),
    ))
}

/// One rulebook.
pub(super) async fn page_rulebook(
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<RulebookSheet>, Problem> {
    let rulebook = rulebook(&key).ok_or(Problem::NotFound("rulebook"))?;
    Ok(Page(RulebookSheet::new(
        signed.shell_in(Section::Rulebooks, rulebook.title()),
        rulebook,
    )))
}
