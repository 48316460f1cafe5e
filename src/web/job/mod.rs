//! Jobs: planning them, their kit list, the verdict.

mod kit;
mod plan;
mod verdict;
mod what_if;

pub(super) use kit::{page_add, page_position, page_remove, page_show};
pub(super) use plan::{page_change, page_create, page_edit, page_end, page_list, page_new};
pub(super) use verdict::{page_keep, page_verdict};
pub(super) use what_if::page_what_if;

use super::{Problem, Signed};
use crate::{
    domain::{Deed, FieldErrors, Job, rulebook},
    rigging::{Rig, shipped_rig},
    view::Shell,
};

/// The rig of a job and the title of its rulebook; a job whose rig has gone cannot be shown.
fn rig_of(job: &Job) -> Result<(&'static Rig, &'static str), Problem> {
    let rig = shipped_rig(&job.rig)
        .ok_or_else(|| Problem::internal("a job's rig is not among the shipped ones"))?;
    let rulebook =
        rulebook::rulebook(&job.rulebook).map_or("not known any more", |rulebook| rulebook.title());
    Ok((rig, rulebook))
}

fn shell(signed: &Signed, title: &str) -> Shell {
    signed.shell_in(crate::view::Section::Jobs, title)
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
