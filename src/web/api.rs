//! What all of the API has in common: its description, made from the code; the marks of records; the
//! shape of a problem.

pub(super) mod attachment;
pub(super) mod checklist;
pub(super) mod checkpoint;
pub(super) mod course;
pub(super) mod crew_plan;
pub(super) mod cut;
pub(super) mod declared;
pub(super) mod function_check;
pub(super) mod guest;
pub(super) mod history;
pub(super) mod hook;
pub(super) mod import;
pub(super) mod issue;
pub(super) mod job;
pub(super) mod kit_return;
pub(super) mod look;
pub(super) mod paper;
mod problem;
pub(super) mod proposal;
pub(super) mod question;
pub(super) mod recall;
pub(super) mod reference;
pub(super) mod register;
pub(super) mod retention;
pub(super) mod rig;
pub(super) mod rulebook;
pub(super) mod tag;
pub(super) mod then;
pub(super) mod trend;
pub(super) mod usage;

use std::{fmt::Display, sync::Arc};

use axum::{
    Json,
    http::{HeaderValue, StatusCode, header},
    response::{IntoResponse, Redirect, Response},
};
use serde::{Deserialize, Serialize};
use utoipa::{
    Modify, OpenApi, ToSchema,
    openapi::{
        OpenApi as Description,
        security::{HttpAuthScheme, HttpBuilder, SecurityRequirement, SecurityScheme},
    },
};

use super::{
    Path, Problem, bag, board, bundle, competence, export, name, person, pin, readiness, round,
    team,
};
use problem::FieldErrorJson;
pub(super) use problem::ProblemJson;

/// The description of the API. A new `api_…` handler is named here; a test compares it with the table.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "Ropeloft",
        description = "Rope-rescue gear: the register, jobs and their kit, whether it is strong enough, and the history. \
            Errors are `application/problem+json` (RFC 9457). A POST may carry an `Idempotency-Key`: sent twice, it is \
            done once, also where both come at once; the second has the answer of the first. Results are arithmetic on what people entered and approve no rig."
    ),
    paths(
        person::api::api_me,
        person::api::api_list,
        person::api::api_show,
        person::api::api_create,
        person::api::api_revise,
        name::api_remove,
        bundle::api_bundle,
        competence::api_list,
        competence::api_record,
        competence::api_end,
        competence::api_address,
        board::api_show,
        round::api_list,
        round::api_show,
        round::api_plan,
        round::api_close,
        import::api_send,
        import::api_rehearsal,
        import::api_answer,
        import::api_leave_out_wrong,
        import::api_left_out,
        import::api_take,
        attachment::api_attachments,
        attachment::api_attachment,
        attachment::api_attachment_file,
        attachment::api_attach,
        attachment::api_withdraw_attachment,
        checklist::api_checklists,
        checklist::api_checklist,
        checklist::api_add_criterion,
        checklist::api_take_criterion_back,
        history::api_history,
        history::api_item_history,
        history::api_job_history,
        history::api_ledger,
        export::api_export,
        checkpoint::api_checkpoints,
        checkpoint::api_make_checkpoint,
        checkpoint::api_latest_checkpoint,
        checkpoint::api_checkpoint,
        checkpoint::api_witness_checkpoint,
        checkpoint::api_prove_inclusion,
        checkpoint::api_prove_consistency,
        checkpoint::api_ledger_keys,
        checkpoint::api_take_ledger_key,
        checkpoint::api_witnesses,
        checkpoint::api_name_witness,
        checkpoint::api_end_witness,
        job::api_jobs,
        job::api_job,
        job::api_plan,
        job::api_revise_job,
        job::api_end,
        job::api_candidates,
        job::api_what_if,
        job::api_add_line,
        job::api_remove_line,
        job::api_swap_line,
        job::api_keep_verdict,
        crew_plan::api_crew,
        crew_plan::api_plan_crew,
        issue::api_issues,
        issue::api_issue,
        issue::api_issued,
        issue::api_take_back,
        function_check::api_checks,
        function_check::api_sign,
        kit_return::api_returns,
        kit_return::api_count,
        proposal::api_propose,
        proposal::api_add_lines,
        course::api_courses,
        cut::api_cut_rope,
        guest::api_guest_links,
        guest::api_make_guest_link,
        guest::api_guest_link,
        guest::api_guest_reads,
        guest::api_hold_guest_reads,
        guest::api_withdraw_guest_link,
        hook::api_hooks,
        hook::api_add_hook,
        hook::api_try_hook_out,
        hook::api_switch_hook_on,
        hook::api_remove_hook,
        look::api_examinations,
        look::api_examine,
        look::api_events,
        look::api_report_event,
        look::api_notices,
        look::api_notice,
        look::api_open_notice,
        look::api_close_notice,
        look::api_correct_notice,
        look::api_withdraw_notice,
        paper::api_due_list,
        paper::api_record,
        paper::api_report,
        paper::api_labels,
        paper::api_kit_list,
        paper::api_calendar,
        recall::api_holders,
        question::api_questions,
        question::api_ask,
        then::api_item_then,
        then::api_job_then,
        then::api_store_then,
        reference::api_kinds,
        rig::api_rigs,
        rig::api_rig,
        rig::api_add_rig,
        rig::api_revise_rig,
        rig::api_withdraw_rig,
        rig::api_take_up_rig,
        rig::api_look_at_rig,
        register::api_items,
        register::api_item,
        register::api_add_item,
        register::api_revise_item,
        register::api_step_item,
        register::model::api_models,
        register::model::api_model,
        register::model::api_add_model,
        register::model::api_revise_model,
        register::model::api_change_kind,
        register::api_stores,
        register::api_add_store,
        register::api_revise_store,
        retention::api_item_retention,
        retention::api_examination_retention,
        retention::api_job_retention,
        rulebook::api_rulebooks,
        rulebook::api_add_rulebook,
        rulebook::api_check_rulebook,
        rulebook::api_rulebook,
        rulebook::api_revise_rulebook,
        rulebook::api_withdraw_rulebook,
        rulebook::api_take_up_rulebook,
        tag::api_scan,
        tag::api_scan_photo,
        tag::api_tags,
        tag::api_put_tag,
        tag::api_make_tag,
        tag::api_remove_tag,
        team::api_show,
        team::api_revise,
        bag::api_show,
        bag::api_list,
        bag::api_check,
        bag::api_move,
        readiness::api_show,
        pin::api_pins,
        pin::api_pin,
        pin::api_unpin,
        trend::api_ages,
        trend::api_ahead,
        trend::api_failures,
        trend::api_retired,
        usage::api_usage,
        usage::api_log_use,
    ),
    components(schemas(ProblemJson)),
    modifiers(&Bearer),
    tags(
        (name = "people", description = "Who may sign in, and what they may do"),
        (name = "register", description = "Models, stores and items"),
        (name = "tags", description = "Codes on items, and what a scanner gives"),
        (name = "import", description = "Bringing in a list that was kept elsewhere"),
        (name = "examinations", description = "What looks at items found, and what happened to them"),
        (name = "attachments", description = "Photos and documents on items, models, examinations and events"),
        (name = "checklists", description = "What is looked at when gear is examined: what comes with the program, and the team's own criteria"),
        (name = "papers", description = "Files to print and to keep, labels, and the calendar"),
        (name = "trends", description = "What was measured over time, and what the register says of its gear as a whole"),
        (name = "notices", description = "Safety notices and the items that they cover"),
        (name = "jobs", description = "Plans, kit lists, refusals and verdicts"),
        (name = "history", description = "The ledger of the team"),
        (name = "rigs", description = "How a rope may run: what comes with the program, and the team's own"),
        (name = "rulebooks", description = "What jobs are judged by: what comes with the program, and the team's own"),
        (name = "reference", description = "Kinds of gear"),
    )
)]
struct Api;

/// Says that a token is shown as a bearer.
struct Bearer;

impl Modify for Bearer {
    fn modify(&self, description: &mut Description) {
        let scheme = HttpBuilder::new().scheme(HttpAuthScheme::Bearer).build();
        description
            .components
            .get_or_insert_default()
            .add_security_scheme("token", SecurityScheme::Http(scheme));
        let empty: [&str; 0] = [];
        description.security = Some(vec![SecurityRequirement::new("token", empty)]);
    }
}

/// The description of the whole API, as `OpenAPI` 3.1 writes it.
pub fn description() -> Description {
    Api::openapi()
}

/// The description.
pub(super) async fn show() -> Json<Description> {
    Json(description())
}

/// What the viewer needs beyond our own pages: it sets styles itself and holds small images in its text.
const VIEWER_CONTENT: &str = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; \
     img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// The viewer's front page.
pub(super) async fn viewer() -> Result<Response, Problem> {
    viewer_file(Path("index.html".to_owned())).await
}

/// The way to the viewer, for who leaves away what stands at its end.
pub(super) async fn to_viewer() -> Redirect {
    Redirect::permanent("/api/docs/")
}

/// A file of the viewer, which is built into the program and asks nobody else.
pub(super) async fn viewer_file(Path(path): Path<String>) -> Result<Response, Problem> {
    let config = utoipa_swagger_ui::Config::from("/api/v1/openapi.json")
        .use_base_layout()
        .validator_url("none");
    let file = utoipa_swagger_ui::serve(&path, Arc::new(config))
        .map_err(|error| Problem::internal(error.to_string()))?
        .ok_or(Problem::NotFound("file"))?;
    Ok((
        [
            (header::CONTENT_TYPE, file.content_type.as_str()),
            (header::CONTENT_SECURITY_POLICY, VIEWER_CONTENT),
        ],
        file.bytes.into_owned(),
    )
        .into_response())
}

/// A body with the mark of the record it shows, for `If-Match` on the way back.
pub(super) fn tagged<T: Serialize>(mark: impl Display, body: T) -> Response {
    let mut response = Json(body).into_response();
    if let Ok(tag) = HeaderValue::from_str(&format!("\"{mark}\"")) {
        response.headers_mut().insert(header::ETAG, tag);
    }
    response
}

/// Where a page of a list begins.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Shown {
    pub(super) after: String,
}

/// A page of a list.
#[derive(Serialize, ToSchema)]
pub(super) struct PageJson<T> {
    /// What stands on it.
    rows: Vec<T>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

impl<T> From<crate::store::Page<T>> for PageJson<T> {
    fn from(page: crate::store::Page<T>) -> Self {
        Self {
            rows: page.rows,
            next: page.next.map(|next| next.to_string()),
        }
    }
}

/// What was made, with its mark.
pub(super) fn created<T: Serialize>(mark: impl Display, body: T) -> Response {
    (StatusCode::CREATED, tagged(mark, body)).into_response()
}
