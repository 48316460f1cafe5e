//! Jobs: planning them, their kit list, the verdict.

mod crew_plan;
mod facts;
mod function_check;
mod issue;
mod kit;
mod kit_line;
mod kit_return;
mod pack;
mod plan;
mod proposal;
mod verdict;
mod what_if;

pub(super) use crew_plan::{page_crew, page_plan_crew};
pub(super) use facts::{page_facts, page_write_facts};
pub(super) use function_check::{page_check, page_sign, page_sign_beside};
pub(super) use issue::{page_issue, page_issued, page_issues, page_take_back};
pub(super) use kit::{page_position, page_show};
pub(super) use kit_line::{page_add, page_remove, page_swap};
pub(super) use kit_return::{page_count, page_return};
pub(super) use pack::{file_pack, kit_list, page_short};
pub(super) use plan::{
    choices, page_change, page_create, page_edit, page_end, page_list, page_new,
};
pub(super) use proposal::{page_propose, page_take};
pub(super) use verdict::{page_keep, page_verdict};
pub(super) use what_if::page_what_if;

use super::{Signed, way_back::way_to};
use crate::{
    domain::{Deed, FieldErrors},
    view::Shell,
};

fn shell(signed: &Signed, title: &str) -> Shell {
    signed.shell_in(crate::view::Section::Jobs, title)
}

/// The frame of a page that tells reasons: the forms in which they are mended lead back to it.
fn shell_at(signed: &Signed, title: &str, page: &str) -> Shell {
    Shell {
        here: Some(way_to(page)),
        ..shell(signed, title)
    }
}

fn may_plan(signed: &Signed) -> bool {
    signed.actor.role.may(Deed::PlanJob)
}

/// The first sentence of what was wrong, for a page that has no form to show it in.
fn first_sentence(wrong: &FieldErrors) -> String {
    wrong
        .0
        .first()
        .map(|error| error.message.clone())
        .unwrap_or_default()
}
