//! Outside auditors: how they get in, and what the team sees of it.

use axum::http::Method;

use super::super::{
    api, guest,
    route::{Access, Route},
};
use crate::domain::Deed;

/// Links, the sittings by them, and what was read.
pub(super) fn guests() -> Vec<Route> {
    routes! {
        GET  "/guest/{secret}"               Open            => guest::page_welcome;
        POST "/guest/{secret}"               Open            => guest::page_open;
        POST "/leave"                        Open            => guest::page_leave;
        GET  "/guests"                       May(SeeReads)   => guest::page_list;
        POST "/guests"                       May(KeepPeople) => guest::page_create;
        GET  "/guests/{id}"                  May(SeeReads)   => guest::page_show;
        POST "/guests/{id}/withdraw"         May(KeepPeople) => guest::page_withdraw;
        GET  "/api/v1/guest-links"           May(SeeReads)   => api::guest::api_guest_links;
        POST "/api/v1/guest-links"           May(KeepPeople) => api::guest::api_make_guest_link;
        GET  "/api/v1/guest-links/{id}"      May(SeeReads)   => api::guest::api_guest_link;
        GET  "/api/v1/guest-links/{id}/reads" May(SeeReads)  => api::guest::api_guest_reads;
        GET  "/api/v1/guest-links/{id}/reads/check" May(SeeReads) => api::guest::api_hold_guest_reads, within 120;
        POST "/api/v1/guest-links/{id}/withdraw" May(KeepPeople) => api::guest::api_withdraw_guest_link;
    }
}
