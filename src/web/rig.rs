//! Rigs, those of the team's own with their editor; and rulebooks, to be read.

mod editor;
mod sent;
mod show;

pub(super) use editor::{page_create, page_edit, page_file, page_look, page_new, page_revise};
pub(super) use show::{Asked, Own, file, found, page_list, page_show, page_withdraw, schema};

use super::{Page, Path, Problem, Signed};
use crate::{
    domain::rulebook::{self, rulebook},
    view::{
        Section,
        formula::Formulas,
        rulebook::{RulebookList, RulebookSheet},
    },
};

/// How every number of a verdict comes about.
pub(super) async fn page_formulas(signed: Signed) -> Page<Formulas> {
    let shell = signed.shell_in(Section::Rigs, "How the numbers come about");
    Page(Formulas::new(shell))
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
