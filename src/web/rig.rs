//! Rigs, those of the team's own with their editor.

mod editor;
mod sent;
mod show;

pub(super) use editor::{page_create, page_edit, page_file, page_look, page_new, page_revise};
pub(super) use show::{
    Asked, Own, file, found, page_list, page_show, page_take_up, page_withdraw, schema,
};

use super::{Page, Signed};
use crate::view::{Section, formula::Formulas};

/// How every number of a verdict comes about.
pub(super) async fn page_formulas(signed: Signed) -> Page<Formulas> {
    let shell = signed.shell_in(Section::Rigs, "How the numbers come about");
    Page(Formulas::new(shell))
}
