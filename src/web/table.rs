//! The one table of routes: the index of the house. Every route says who may call it.
//!
//! A row is: method, address, who may call it, handler. A route that takes large bodies or long says so:
//! `takes 32 * 1024 * 1024, within 120`, the bytes and the seconds. What may change when a million items fall due takes long.

use axum::http::Method;

use super::{
    along, api, assets, attachment, bag, bench, board, calendar, checklist, course, cut, event,
    examination, export, health, history, home, house, import, item, job, kind, label, model,
    model_kind, paper, pin, place, readiness, rig, round,
    route::{Access, Route},
    rulebook, style, tag, trend, usage,
};
use crate::{
    domain::{Deed, LARGEST_RIG, LARGEST_UPLOAD, rulebook::LARGEST_SHEET},
    import::LARGEST_FILE,
};

/// Makes rows; the formatter leaves them one a line.
macro_rules! routes {
    ($($method:ident $path:literal $who:ident $(($deed:ident))? => $handler:path
        $(, takes $bytes:expr)? $(, within $seconds:literal)?;)+) => {
        vec![$(
            Route::new(Method::$method, $path, Access::$who $((Deed::$deed))?, $handler)
                $(.takes($bytes))? $(.within($seconds))?
        ),+]
    };
}

mod competent;
mod crew;
mod guests;
mod notices;
mod people;
mod programs;
mod questions;
mod seals;

use competent::competent;
use crew::crew;
use guests::guests;
use notices::notices;
use people::people;
use programs::programs;
use questions::questions;
use seals::seals;

/// Every route of the house.
pub fn table() -> Vec<Route> {
    [
        house(),
        items(),
        tags(),
        attachments(),
        at_the_bench(),
        papers(),
        trends(),
        rounds(),
        lists(),
        register(),
        jobs(),
        crew(),
        rigs(),
        rulebooks(),
        checklists(),
        history(),
        seals(),
        questions(),
        notices(),
        programs(),
        people(),
        competent(),
        guests(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What is there before anything else.
fn house() -> Vec<Route> {
    routes! {
        GET  "/static/{*path}"      Open   => assets::show;
        GET  "/health"              Open   => health::show;
        GET  "/metrics"             Member => health::metrics;
        GET  "/style"               Open   => style::page_show;
        GET  "/"                    Anyone => home::page_show;
        GET  "/api/v1/openapi.json" Open   => api::show;
        GET  "/api"                 Open   => api::to_viewer;
        GET  "/api/docs"            Open   => api::to_viewer;
        GET  "/api/docs/"           Open   => api::viewer;
        GET  "/api/docs/{*path}"    Open   => api::viewer_file;
        GET  "/problem/{key}"       Open   => kind::page_show;
        GET  "/welcome"             Open   => house::page_new;
        POST "/welcome"             Open   => house::page_create;
    }
}

/// Items, and what is done with each.
fn items() -> Vec<Route> {
    routes! {
        GET  "/items"                       May(Read)         => item::page_list;
        GET  "/items/new"                   May(KeepRegister) => item::page_new;
        POST "/items"                       May(KeepRegister) => item::page_create;
        GET  "/items/{id}"                  May(Read)         => item::page_show;
        GET  "/items/{id}/edit"             May(KeepRegister) => item::page_edit;
        POST "/items/{id}"                  May(KeepRegister) => item::page_revise;
        GET  "/items/{id}/step"             May(ReportEvent)  => item::page_step_new;
        POST "/items/{id}/step"             May(ReportEvent)  => item::page_step_create;
        GET  "/items/{id}/examinations/new" May(ReportEvent)  => examination::page_new;
        POST "/items/{id}/examinations"     May(ReportEvent)  => examination::page_create;
        GET  "/items/{id}/examinations/{examination}" May(Read)     => examination::page_show;
        GET  "/items/{id}/cuts/new"         May(KeepRegister) => cut::page_new;
        POST "/items/{id}/cuts"             May(KeepRegister) => cut::page_create;
        GET  "/items/{id}/usage/new"        May(ReportEvent)  => usage::page_new;
        POST "/items/{id}/usage"            May(ReportEvent)  => usage::page_create;
        GET  "/items/{id}/events/new"       May(ReportEvent)  => event::page_new;
        POST "/items/{id}/events"           May(ReportEvent)  => event::page_create;
    }
}

/// Codes on items, and finding an item by one.
fn tags() -> Vec<Route> {
    routes! {
        GET  "/scan"                            May(Read)         => tag::page_scan;
        GET  "/t/{code}"                        May(Read)         => tag::page_own;
        POST "/scan/photo"                      May(ReportEvent)  => tag::page_photo, takes LARGEST_UPLOAD + 64 * 1024, within 120;
        POST "/tags"                            May(KeepRegister) => tag::page_put;
        GET  "/items/{id}/tags/new"             May(KeepRegister) => tag::page_new;
        POST "/items/{id}/tags"                 May(KeepRegister) => tag::page_create;
        POST "/items/{id}/tags/own"             May(KeepRegister) => tag::page_make;
        GET  "/items/{id}/tags/{tag}/off"       May(KeepRegister) => tag::page_off;
        POST "/items/{id}/tags/{tag}/off"       May(KeepRegister) => tag::page_remove;
        GET  "/api/v1/scan"                     May(Read)         => api::tag::api_scan;
        POST "/api/v1/scan/photo"               May(ReportEvent)  => api::tag::api_scan_photo, takes LARGEST_UPLOAD, within 120;
        GET  "/api/v1/items/{id}/tags"          May(Read)         => api::tag::api_tags;
        POST "/api/v1/items/{id}/tags"          May(KeepRegister) => api::tag::api_put_tag;
        POST "/api/v1/items/{id}/tags/own"      May(KeepRegister) => api::tag::api_make_tag;
        POST "/api/v1/items/{id}/tags/{tag}/off" May(KeepRegister) => api::tag::api_remove_tag;
    }
}

/// Photos and documents. Who may put one on a record depends on the record, and the deed asks again.
fn attachments() -> Vec<Route> {
    routes! {
        GET  "/attachments/new"                        May(ReportEvent) => attachment::page_new;
        POST "/attachments"                            May(ReportEvent) => attachment::page_create, takes LARGEST_UPLOAD + 64 * 1024, within 120;
        GET  "/attachments/{id}"                       May(Read)        => attachment::page_show;
        GET  "/attachments/{id}/{file}"                May(Read)        => attachment::file_show, within 120;
        GET  "/attachments/{id}/withdraw"              May(ReportEvent) => attachment::page_off;
        POST "/attachments/{id}/withdraw"              May(ReportEvent) => attachment::page_withdraw;
        GET  "/api/v1/attachments"                     May(Read)        => api::attachment::api_attachments;
        GET  "/api/v1/attachments/{id}"                May(Read)        => api::attachment::api_attachment;
        PUT  "/api/v1/attachments/{id}"                May(ReportEvent) => api::attachment::api_attach, takes LARGEST_UPLOAD, within 120;
        GET  "/api/v1/attachments/{id}/files/{sha256}" May(Read)        => api::attachment::api_attachment_file, within 120;
        POST "/api/v1/attachments/{id}/withdraw"       May(ReportEvent) => api::attachment::api_withdraw_attachment;
    }
}

/// Looking at many items one after another.
fn at_the_bench() -> Vec<Route> {
    routes! {
        GET  "/bench"        May(ReportEvent) => bench::page_show, within 60;
        POST "/bench"        May(ReportEvent) => bench::page_record;
        GET  "/bench/sheets" May(ReportEvent) => bench::page_sheets, within 120;
        GET  "/along"        Anyone          => along::page_show;
        GET  "/worker.js"    Open             => assets::worker;
    }
}

/// Files to print and to keep, and calendars.
fn papers() -> Vec<Route> {
    routes! {
        GET  "/due"                                   May(Read)         => board::page_show;
        GET  "/due.csv"                               May(Export)       => export::file_csv;
        GET  "/api/v1/due"                            May(Read)         => board::api_show;
        GET  "/papers"                                May(Read)         => paper::page_list;
        GET  "/due.pdf"                               May(Export)       => paper::file_due, within 120;
        GET  "/items/{id}/record.pdf"                 May(Export)       => paper::file_record, within 120;
        GET  "/examinations/{examination}/report.pdf" May(Export)       => paper::file_report, within 120;
        GET  "/labels"                                May(KeepRegister) => label::page_new;
        POST "/labels"                                May(KeepRegister) => label::page_print, within 120;
        GET  "/settings/calendars"                    InPerson          => calendar::page_list;
        POST "/settings/calendars"                    InPerson          => calendar::page_create;
        POST "/settings/calendars/{id}/revoke"        InPerson          => calendar::page_revoke;
        GET  "/calendar/{file}"                       Open              => calendar::file_show, within 120;
        GET  "/api/v1/due.pdf"                        May(Export)       => api::paper::api_due_list, within 120;
        GET  "/api/v1/items/{id}/record.pdf"          May(Export)       => api::paper::api_record, within 120;
        GET  "/api/v1/examinations/{examination}/report.pdf" May(Export)       => api::paper::api_report, within 120;
        POST "/api/v1/labels"                         May(KeepRegister) => api::paper::api_labels, within 120;
        GET  "/api/v1/calendar.ics"                   May(Export)       => api::paper::api_calendar, within 120;
    }
}

/// What numbers say over time.
fn trends() -> Vec<Route> {
    routes! {
        GET  "/items/{id}/measurements"        May(Read)   => course::page_list;
        GET  "/items/{id}/measurements.csv"    May(Export) => export::file_csv;
        GET  "/api/v1/items/{id}/measurements" May(Read)   => api::course::api_courses;
        GET  "/trends"                         May(Read)   => trend::page_ages;
        GET  "/trends/ages.csv"                May(Export) => export::file_csv;
        GET  "/trends/failures"                May(Read)   => trend::page_failures;
        GET  "/trends/failures.csv"            May(Export) => export::file_csv;
        GET  "/trends/failures/{id}"           May(Read)   => trend::page_failed;
        GET  "/trends/retired"                 May(Read)   => trend::page_retired;
        GET  "/trends/retired.csv"             May(Export) => export::file_csv;
        GET  "/trends/ahead"                   May(Read)   => trend::page_ahead;
        GET  "/trends/ahead.csv"               May(Export) => export::file_csv;
        GET  "/readiness"                      May(Read)   => readiness::page_list, within 120;
        GET  "/readiness/sets"                 May(Read)   => readiness::page_show, within 120;
        GET  "/readiness/sets.csv"             May(Export) => export::file_csv, within 120;
        POST "/readiness/pins"                 May(PlanJob) => pin::page_pin, within 120;
        POST "/readiness/pins/{id}/remove"     May(PlanJob) => pin::page_unpin;
        GET  "/api/v1/readiness"               May(Read)   => readiness::api_show, within 120;
        GET  "/api/v1/readiness/pins"          May(Read)    => pin::api_pins;
        POST "/api/v1/readiness/pins"          May(PlanJob) => pin::api_pin;
        DELETE "/api/v1/readiness/pins/{id}"   May(PlanJob) => pin::api_unpin;
        GET  "/api/v1/trends/ages"             May(Read)   => api::trend::api_ages;
        GET  "/api/v1/trends/failures"         May(Read)   => api::trend::api_failures;
        GET  "/api/v1/trends/retired"          May(Read)   => api::trend::api_retired;
        GET  "/api/v1/trends/ahead"            May(Read)   => api::trend::api_ahead;
    }
}

/// Rounds of examinations. A form of a round has a field for each of its items.
fn rounds() -> Vec<Route> {
    routes! {
        GET  "/rounds"                   May(Read)    => round::page_list;
        GET  "/rounds/new"               May(Examine) => round::page_new;
        POST "/rounds"                   May(Examine) => round::page_create, takes 128 * 1024;
        GET  "/rounds/{id}"              May(Read)    => round::page_show;
        POST "/rounds/{id}/close"        May(Examine) => round::page_close, takes 2 * 1024 * 1024;
        GET  "/rounds/{id}/list.pdf"     May(Export)  => round::file_list, within 120;
        GET  "/api/v1/rounds"            May(Read)    => round::api_list;
        POST "/api/v1/rounds"            May(Examine) => round::api_plan, takes 128 * 1024;
        GET  "/api/v1/rounds/{id}"       May(Read)    => round::api_show;
        POST "/api/v1/rounds/{id}/close" May(Examine) => round::api_close, takes 2 * 1024 * 1024;
    }
}

/// Bringing in lists that were kept elsewhere.
fn lists() -> Vec<Route> {
    routes! {
        GET  "/import"           May(KeepRegister) => import::page_new;
        POST "/import"           May(KeepRegister) => import::page_create, takes LARGEST_FILE + 64 * 1024, within 120;
        GET  "/import/{id}"      May(KeepRegister) => import::page_show, within 120;
        POST "/import/{id}"      May(KeepRegister) => import::page_answer, within 120;
        POST "/import/{id}/file" May(KeepRegister) => import::page_replace, takes LARGEST_FILE + 64 * 1024, within 120;
        GET  "/import/{id}/left-out.csv" May(KeepRegister) => import::file_left_out, within 120;
        POST "/import/{id}/take" May(KeepRegister) => import::page_take, within 600;
        POST "/import/{id}/drop" May(KeepRegister) => import::page_drop;
    }
}

/// What items are of and where they live.
fn register() -> Vec<Route> {
    routes! {
        GET  "/models"                May(Read)         => model::page_list;
        GET  "/models/new"            May(KeepRegister) => model::page_new;
        POST "/models"                May(KeepRegister) => model::page_create;
        GET  "/models/{id}"           May(Read)         => model::page_show;
        GET  "/models/{id}/edit"      May(KeepRegister) => model::page_edit;
        POST "/models/{id}"           May(KeepRegister) => model::page_revise, within 300;
        GET  "/models/{id}/kind"      May(KeepRegister) => model_kind::page_ask;
        POST "/models/{id}/kind"      May(KeepRegister) => model_kind::page_change;
        GET  "/stores"                May(Read)         => place::page_list;
        GET  "/stores/new"            May(KeepRegister) => place::page_new;
        POST "/stores"                May(KeepRegister) => place::page_create;
        GET  "/stores/{id}/edit"      May(KeepRegister) => place::page_edit;
        POST "/stores/{id}"           May(KeepRegister) => place::page_revise;
        GET  "/stores/{id}"           May(Read)         => bag::page_show;
        GET  "/stores/{id}/bag"       May(KeepRegister) => bag::page_edit;
        POST "/stores/{id}/bag"       May(KeepRegister) => bag::page_list;
        GET  "/stores/{id}/check"     May(ReportEvent)  => bag::page_check;
        POST "/stores/{id}/check"     May(ReportEvent)  => bag::page_checked, takes 128 * 1024;
        POST "/stores/{id}/move"      May(ReportEvent)  => bag::page_move, takes 128 * 1024;
        GET  "/stores/{id}/list.pdf"  May(Export)       => bag::file_list, within 120;
        GET  "/api/v1/stores/{id}/contents" May(Read)   => bag::api_show;
        PUT  "/api/v1/stores/{id}/bag"    May(KeepRegister) => bag::api_list;
        POST "/api/v1/stores/{id}/checks" May(ReportEvent)  => bag::api_check, takes 128 * 1024;
        POST "/api/v1/stores/{id}/moves"  May(ReportEvent)  => bag::api_move, takes 128 * 1024;
    }
}

/// Jobs and their kit, and what they are judged by.
fn jobs() -> Vec<Route> {
    routes! {
        GET  "/jobs"                        May(Read)    => job::page_list;
        GET  "/jobs/new"                    May(PlanJob) => job::page_new;
        POST "/jobs"                        May(PlanJob) => job::page_create;
        GET  "/jobs/{id}"                   May(Read)    => job::page_show;
        GET  "/jobs/{id}/edit"              May(PlanJob) => job::page_edit;
        POST "/jobs/{id}/edit"              May(PlanJob) => job::page_change;
        GET  "/jobs/{id}/usage/new"         May(ReportEvent) => usage::page_new_of_job;
        POST "/jobs/{id}/usage"             May(ReportEvent) => usage::page_create_of_job;
        POST "/jobs/{id}/end"               May(PlanJob) => job::page_end;
        GET  "/jobs/{id}/positions/{key}"   May(Read)    => job::page_position;
        POST "/jobs/{id}/kit"               May(PlanJob) => job::page_add;
        POST "/jobs/{id}/kit/{line}/remove" May(PlanJob) => job::page_remove;
        POST "/jobs/{id}/kit/{line}/swap"   May(PlanJob) => job::page_swap;
        GET  "/jobs/{id}/proposal"          May(Read)    => job::page_propose;
        POST "/jobs/{id}/proposal"          May(PlanJob) => job::page_take;
        GET  "/jobs/{id}/proposal/facts"    May(Read)    => job::page_facts;
        POST "/jobs/{id}/proposal/facts"    May(KeepRegister) => job::page_write_facts;
        GET  "/jobs/{id}/verdict"           May(Read)    => job::page_verdict;
        POST "/jobs/{id}/verdict"           May(PlanJob) => job::page_keep;
        GET  "/jobs/{id}/what-if"           May(Read)    => job::page_what_if;
        GET  "/formulas"                    May(Read)    => rig::page_formulas;
    }
}

/// Rigs, and the editor of the team's own. A form of a rig is larger than its sheet: every field has its name.
fn rigs() -> Vec<Route> {
    routes! {
        GET  "/rigs"                          May(Read)         => rig::page_list;
        POST "/rigs"                          May(KeepRegister) => rig::page_create;
        GET  "/rigs/new"                      May(KeepRegister) => rig::page_new;
        POST "/rigs/look"                     May(KeepRegister) => rig::page_look;
        POST "/rigs/file"                     May(KeepRegister) => rig::page_file, takes LARGEST_RIG + 64 * 1024;
        GET  "/rigs/{key}"                    May(Read)         => rig::page_show;
        GET  "/rigs/{key}/sheet/{form}"       May(Export)       => rig::file;
        GET  "/rigs/{key}/edit"               May(KeepRegister) => rig::page_edit;
        POST "/rigs/{key}/edit"               May(KeepRegister) => rig::page_revise;
        POST "/rigs/{key}/withdraw"           May(KeepRegister) => rig::page_withdraw;
        POST "/rigs/{key}/take-up"            May(KeepRegister) => rig::page_take_up;
        GET  "/schemas/rig.json"              Open              => rig::schema;
        GET  "/api/v1/rigs"                   May(Read)         => api::rig::api_rigs;
        POST "/api/v1/rigs"                   May(KeepRegister) => api::rig::api_add_rig;
        POST "/api/v1/rigs/preview"           May(KeepRegister) => api::rig::api_look_at_rig;
        GET  "/api/v1/rigs/{key}"             May(Read)         => api::rig::api_rig;
        PUT  "/api/v1/rigs/{key}"             May(KeepRegister) => api::rig::api_revise_rig;
        POST "/api/v1/rigs/{key}/withdraw"    May(KeepRegister) => api::rig::api_withdraw_rig;
        POST "/api/v1/rigs/{key}/take-up"     May(KeepRegister) => api::rig::api_take_up_rig;
    }
}

/// What jobs are judged by.
fn rulebooks() -> Vec<Route> {
    routes! {
        GET  "/rulebooks"                  May(Read)         => rulebook::page_list;
        GET  "/rulebooks/new"              May(KeepRegister) => rulebook::page_new;
        POST "/rulebooks"                  May(KeepRegister) => rulebook::page_create;
        GET  "/rulebooks/sheet"            May(KeepRegister) => rulebook::page_bring;
        POST "/rulebooks/sheet"            May(KeepRegister) => rulebook::page_send, takes 2 * LARGEST_SHEET + 64 * 1024;
        GET  "/rulebooks/{key}"            May(Read)         => rulebook::page_show;
        GET  "/rulebooks/{key}/edit"       May(KeepRegister) => rulebook::page_edit;
        POST "/rulebooks/{key}"            May(KeepRegister) => rulebook::page_revise, within 300;
        GET  "/rulebooks/{key}/sheet"      May(KeepRegister) => rulebook::page_bring_again;
        POST "/rulebooks/{key}/sheet"      May(KeepRegister) => rulebook::page_send_again, takes 2 * LARGEST_SHEET + 64 * 1024, within 300;
        POST "/rulebooks/{key}/withdraw"   May(KeepRegister) => rulebook::page_withdraw;
        POST "/rulebooks/{key}/take-up"    May(KeepRegister) => rulebook::page_take_up;
        GET  "/rulebooks/{key}/sheet.toml" May(Export)       => rulebook::file_sheet;
        GET  "/api/v1/rulebooks"           May(Read)         => api::rulebook::api_rulebooks;
        POST "/api/v1/rulebooks"           May(KeepRegister) => api::rulebook::api_add_rulebook, takes 2 * LARGEST_SHEET;
        POST "/api/v1/rulebooks/check"     May(KeepRegister) => api::rulebook::api_check_rulebook, takes 2 * LARGEST_SHEET;
        GET  "/api/v1/rulebooks/{key}"     May(Read)         => api::rulebook::api_rulebook;
        PUT  "/api/v1/rulebooks/{key}"     May(KeepRegister) => api::rulebook::api_revise_rulebook, takes 2 * LARGEST_SHEET, within 300;
        POST "/api/v1/rulebooks/{key}/withdraw" May(KeepRegister) => api::rulebook::api_withdraw_rulebook;
        POST "/api/v1/rulebooks/{key}/take-up"  May(KeepRegister) => api::rulebook::api_take_up_rulebook;
    }
}

/// What examinations are done by.
fn checklists() -> Vec<Route> {
    routes! {
        GET    "/checklists"                                 May(Read)         => checklist::page_list;
        GET    "/checklists/{key}"                           May(Read)         => checklist::page_show;
        POST   "/checklists/{key}/criteria"                  May(KeepRegister) => checklist::page_add;
        POST   "/checklists/{key}/criteria/{criterion}/take-back" May(KeepRegister) => checklist::page_take_back;
        GET    "/api/v1/checklists"                          May(Read)         => api::checklist::api_checklists;
        GET    "/api/v1/checklists/{kind}"                   May(Read)         => api::checklist::api_checklist;
        POST   "/api/v1/checklists/{kind}/criteria"          May(KeepRegister) => api::checklist::api_add_criterion;
        DELETE "/api/v1/checklists/{kind}/criteria/{key}"    May(KeepRegister) => api::checklist::api_take_criterion_back;
    }
}

/// What was done, and every file that can be taken away.
fn history() -> Vec<Route> {
    routes! {
        GET "/history"                May(Read)   => history::page_list;
        GET "/items/{id}/history"     May(Read)   => history::page_item;
        GET "/jobs/{id}/history"      May(Read)   => history::page_job;
        GET "/history.csv"            May(Export) => export::file_csv;
        GET "/items/{id}/history.csv" May(Export) => export::file_csv;
        GET "/jobs/{id}/history.csv"  May(Export) => export::file_csv;
        GET "/items.csv"              May(Export) => export::file_csv;
        GET "/examinations.csv"       May(Export) => export::file_csv;
        GET "/jobs.csv"               May(Export) => export::file_csv;
        GET "/refusals.csv"           May(Export) => export::file_csv;
        GET "/exports/{of}"           May(Export) => export::file_any, within 300;
        GET "/api/v1/items/{id}/retention" May(Read) => api::retention::api_item_retention;
        GET "/api/v1/jobs/{id}/retention"  May(Read) => api::retention::api_job_retention;
        GET "/api/v1/examinations/{examination}/retention" May(Read) => api::retention::api_examination_retention;
        GET "/api/v1/exports/{of}"    May(Export) => export::api_export, within 300;
    }
}
