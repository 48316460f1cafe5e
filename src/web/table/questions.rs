//! What an auditor asks of the record, and what a record was on a day in the past.

use axum::http::Method;

use super::super::{
    api, export, question,
    route::{Access, Route},
    then,
};
use crate::domain::Deed;

/// What is asked once a year takes long: it walks through the whole record.
pub(super) fn questions() -> Vec<Route> {
    routes! {
        GET "/questions"                  May(Read)   => question::page_list;
        GET "/questions/{key}"            May(Read)   => question::page_show, within 300;
        GET "/questions/{key}/answer.csv" May(Export) => export::file_csv, within 300;
        GET "/api/v1/questions"           May(Read)   => api::question::api_questions;
        GET "/api/v1/questions/{key}"     May(Read)   => api::question::api_ask, within 300;
        GET "/items/{id}/then"            May(Read)   => then::page_item;
        GET "/items/{id}/then.csv"        May(Export) => export::file_csv;
        GET "/api/v1/items/{id}/then"     May(Read)   => api::then::api_item_then;
        GET "/jobs/{id}/then"             May(Read)   => then::page_job;
        GET "/jobs/{id}/then.csv"         May(Export) => export::file_csv;
        GET "/api/v1/jobs/{id}/then"      May(Read)   => api::then::api_job_then;
        GET "/stores/{id}/then"           May(Read)   => then::page_store, within 300;
        GET "/stores/{id}/then.csv"       May(Export) => export::file_csv, within 300;
        GET "/api/v1/stores/{id}/then"    May(Read)   => api::then::api_store_then, within 300;
    }
}
