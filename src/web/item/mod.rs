//! Items: the doors of the list, of one item, of its form and of the steps between its states.

mod form;
mod list;
mod show;
mod step;

pub(super) use form::{page_create, page_edit, page_new, page_revise};
pub(super) use list::{Asked, page_list, read};
pub(super) use show::page_show;
pub(super) use step::{page_step_create, page_step_new};
