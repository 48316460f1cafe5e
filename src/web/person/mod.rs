//! The people of a team.

pub(super) mod api;
mod page;

pub(super) use api::{api_create, api_list, api_me, api_revise, api_show};
pub(super) use page::{page_create, page_list, page_new, page_password, page_revise, page_show};
