//! What programs call.

use axum::http::Method;

use super::super::{
    api,
    route::{Access, Route},
};
use crate::domain::Deed;
use crate::import::LARGEST_FILE;

/// The same deeds for programs.
pub(super) fn programs() -> Vec<Route> {
    routes! {
        POST   "/api/v1/imports"                   May(KeepRegister) => api::import::api_send, takes LARGEST_FILE + 1024, within 120;
        GET    "/api/v1/imports/{id}"              May(KeepRegister) => api::import::api_rehearsal, within 120;
        PUT    "/api/v1/imports/{id}/answers"      May(KeepRegister) => api::import::api_answer, within 120;
        POST   "/api/v1/imports/{id}/leave-out-wrong" May(KeepRegister) => api::import::api_leave_out_wrong, within 120;
        GET    "/api/v1/imports/{id}/left-out.csv"    May(KeepRegister) => api::import::api_left_out, within 120;
        POST   "/api/v1/imports/{id}/take"         May(KeepRegister) => api::import::api_take, within 600;
        GET    "/api/v1/history"                   May(Read)         => api::history::api_history;
        GET    "/api/v1/items/{id}/history"        May(Read)         => api::history::api_item_history;
        GET    "/api/v1/jobs/{id}/history"         May(Read)         => api::history::api_job_history;
        GET    "/api/v1/ledger"                    May(Read)         => api::history::api_ledger;
        GET    "/api/v1/jobs"                      May(Read)         => api::job::api_jobs;
        GET    "/api/v1/jobs/{id}"                 May(Read)         => api::job::api_job;
        POST   "/api/v1/jobs"                      May(PlanJob)      => api::job::api_plan;
        PUT    "/api/v1/jobs/{id}"                 May(PlanJob)      => api::job::api_revise_job;
        POST   "/api/v1/jobs/{id}/end"             May(PlanJob)      => api::job::api_end;
        GET    "/api/v1/jobs/{id}/candidates"      May(Read)         => api::job::api_candidates;
        GET    "/api/v1/jobs/{id}/what-if"         May(Read)         => api::job::api_what_if;
        GET    "/api/v1/jobs/{id}/proposal"        May(Read)         => api::proposal::api_propose;
        POST   "/api/v1/jobs/{id}/kit/lines"       May(PlanJob)      => api::proposal::api_add_lines;
        POST   "/api/v1/jobs/{id}/kit"             May(PlanJob)      => api::job::api_add_line;
        DELETE "/api/v1/jobs/{id}/kit/{line}"      May(PlanJob)      => api::job::api_remove_line;
        POST   "/api/v1/jobs/{id}/kit/{line}/swap" May(PlanJob)      => api::job::api_swap_line;
        POST   "/api/v1/jobs/{id}/verdicts"        May(PlanJob)      => api::job::api_keep_verdict;
        GET    "/api/v1/items/{id}/examinations"   May(Read)         => api::look::api_examinations;
        POST   "/api/v1/items/{id}/examinations"   May(ReportEvent)  => api::look::api_examine;
        POST   "/api/v1/items/{id}/cuts"           May(KeepRegister) => api::cut::api_cut_rope;
        GET    "/api/v1/items/{id}/usage"          May(Read)         => api::usage::api_usage;
        POST   "/api/v1/items/{id}/usage"          May(ReportEvent)  => api::usage::api_log_use;
        GET    "/api/v1/items/{id}/events"         May(Read)         => api::look::api_events;
        POST   "/api/v1/items/{id}/events"         May(ReportEvent)  => api::look::api_report_event;
        GET    "/api/v1/notices"                   May(Read)         => api::look::api_notices;
        GET    "/api/v1/notices/{id}"              May(Read)         => api::look::api_notice;
        GET    "/api/v1/notices/{id}/holders"      May(Read)         => api::recall::api_holders;
        POST   "/api/v1/notices"                   May(KeepRegister) => api::look::api_open_notice;
        POST   "/api/v1/notices/{id}/items/{item}" May(Examine)      => api::look::api_close_notice;
        PUT    "/api/v1/notices/{id}"              May(KeepRegister) => api::look::api_correct_notice;
        POST   "/api/v1/notices/{id}/withdrawal"   May(KeepRegister) => api::look::api_withdraw_notice;
        GET    "/api/v1/kinds"                     May(Read)         => api::reference::api_kinds;
        GET    "/api/v1/items"                     May(Read)         => api::register::api_items;
        GET    "/api/v1/items/{id}"                May(Read)         => api::register::api_item;
        POST   "/api/v1/items"                     May(KeepRegister) => api::register::api_add_item;
        PUT    "/api/v1/items/{id}"                May(KeepRegister) => api::register::api_revise_item;
        POST   "/api/v1/items/{id}/steps"          May(ReportEvent)  => api::register::api_step_item;
        GET    "/api/v1/models"                    May(Read)         => api::register::model::api_models;
        GET    "/api/v1/models/{id}"               May(Read)         => api::register::model::api_model;
        POST   "/api/v1/models"                    May(KeepRegister) => api::register::model::api_add_model;
        PUT    "/api/v1/models/{id}"               May(KeepRegister) => api::register::model::api_revise_model, within 300;
        POST   "/api/v1/models/{id}/kind"          May(KeepRegister) => api::register::model::api_change_kind;
        GET    "/api/v1/stores"                    May(Read)         => api::register::api_stores;
        POST   "/api/v1/stores"                    May(KeepRegister) => api::register::api_add_store;
        PUT    "/api/v1/stores/{id}"               May(KeepRegister) => api::register::api_revise_store;
    }
}
