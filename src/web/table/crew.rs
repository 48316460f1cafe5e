//! The crew's day: the kit handed out, checked, and counted back.

use axum::http::Method;

use super::super::{
    api, job,
    route::{Access, Route},
};
use crate::domain::Deed;

/// From a planned job to gear back on its shelf.
pub(super) fn crew() -> Vec<Route> {
    routes! {
        GET  "/jobs/{id}/crew"                             May(Read)    => job::page_crew;
        POST "/jobs/{id}/crew"                             May(PlanJob) => job::page_plan_crew, takes 512 * 1024;
        GET  "/api/v1/jobs/{id}/crew"                      May(Read)    => api::crew_plan::api_crew;
        POST "/api/v1/jobs/{id}/crew"                      May(PlanJob) => api::crew_plan::api_plan_crew, takes 512 * 1024;
        GET  "/j/{id}"                                     May(Read)   => job::page_short;
        GET  "/jobs/{id}/kit.pdf"                          May(Export) => job::file_pack, within 120;
        GET  "/api/v1/jobs/{id}/kit.pdf"                   May(Export) => api::paper::api_kit_list, within 120;
        GET  "/jobs/{id}/issues"                           May(Read)    => job::page_issues;
        POST "/jobs/{id}/issues"                           May(PlanJob) => job::page_issue;
        GET  "/jobs/{id}/issues/{issue}"                   May(Read)    => job::page_issued;
        POST "/jobs/{id}/issues/{issue}/take-back"         May(PlanJob) => job::page_take_back;
        GET  "/jobs/{id}/issues/{issue}/check"             May(Read)        => job::page_check;
        POST "/jobs/{id}/issues/{issue}/checks"            May(ReportEvent) => job::page_sign;
        POST "/jobs/{id}/issues/{issue}/checks/beside"     May(ReportEvent) => job::page_sign_beside;
        GET  "/jobs/{id}/issues/{issue}/return"            May(Read)        => job::page_return;
        POST "/jobs/{id}/issues/{issue}/returns"           May(ReportEvent) => job::page_count, takes 2 * 1024 * 1024, within 120;
        GET  "/api/v1/jobs/{id}/issues/{issue}/returns"    May(Read)        => api::kit_return::api_returns;
        POST "/api/v1/jobs/{id}/issues/{issue}/returns"    May(ReportEvent) => api::kit_return::api_count, takes 2 * 1024 * 1024, within 120;
        GET  "/api/v1/jobs/{id}/issues/{issue}/checks"     May(Read)        => api::function_check::api_checks;
        POST "/api/v1/jobs/{id}/issues/{issue}/checks"     May(ReportEvent) => api::function_check::api_sign;
        GET  "/api/v1/jobs/{id}/issues"                    May(Read)    => api::issue::api_issues;
        POST "/api/v1/jobs/{id}/issues"                    May(PlanJob) => api::issue::api_issue;
        GET  "/api/v1/jobs/{id}/issues/{issue}"            May(Read)    => api::issue::api_issued;
        POST "/api/v1/jobs/{id}/issues/{issue}/take-back"  May(PlanJob) => api::issue::api_take_back;
    }
}
