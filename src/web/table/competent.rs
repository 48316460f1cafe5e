//! Who is competent to examine what.

use axum::http::Method;

use super::super::{
    competence,
    route::{Access, Route},
};
use crate::domain::Deed;

/// Who is competent to examine what.
pub(super) fn competent() -> Vec<Route> {
    routes! {
        GET  "/competence"                   May(Read)       => competence::page_list;
        POST "/competence"                   May(KeepPeople) => competence::page_create;
        GET  "/competence/{id}"              May(Read)       => competence::page_show;
        POST "/competence/{id}/end"          May(KeepPeople) => competence::page_end;
        POST "/competence/{id}/address"      May(KeepPeople) => competence::page_address;
        GET  "/api/v1/qualifications"        May(Read)       => competence::api_list;
        POST "/api/v1/qualifications"        May(KeepPeople) => competence::api_record;
        POST "/api/v1/qualifications/{id}/end" May(KeepPeople) => competence::api_end;
        PUT  "/api/v1/qualifications/{id}/address" May(KeepPeople) => competence::api_address;
    }
}
