//! The one table of routes: the index of the house. Every route says who may call it.

use std::time::Duration;

use axum::{
    Router,
    extract::DefaultBodyLimit,
    handler::Handler,
    http::Method,
    middleware,
    routing::{MethodFilter, MethodRouter, on},
};

use super::{
    App, Problem, Visitor,
    admit::{Gate, admit},
    api, assets, event, examination, health, home, house, item, job, kind, model, notice, person,
    place, rig, session, setting, style, team, token,
};
use crate::domain::Deed;

/// Who may call a route. There is no default: a route that does not say cannot be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Everybody, signed in or not.
    Open,
    /// Whoever is signed in, or shows a token.
    Anyone,
    /// Whoever is signed in with a password; no token will do.
    InPerson,
    /// Whoever's role may do this.
    May(Deed),
}

/// How much a route takes and how long.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The largest body, in bytes.
    pub body: usize,
    /// The longest time until the answer begins.
    pub time: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            body: 256 * 1024,
            time: Duration::from_secs(30),
        }
    }
}

/// One row of the table.
pub struct Route {
    /// The method.
    pub method: Method,
    /// The address, its variable parts in braces.
    pub path: &'static str,
    /// Who may call it.
    pub access: Access,
    /// How much it takes.
    pub limits: Limits,
    handler: MethodRouter<App>,
}

impl Route {
    fn new<H, T>(method: Method, path: &'static str, access: Access, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        let filter = MethodFilter::try_from(method.clone())
            .expect("each of the functions below gives a method that axum knows");
        Self {
            method,
            path,
            access,
            limits: Limits::default(),
            handler: on(filter, handler),
        }
    }

    /// Takes bodies of up to so many bytes.
    #[must_use]
    pub fn takes(mut self, bytes: usize) -> Self {
        self.limits.body = bytes;
        self
    }

    /// May take so many seconds to begin its answer.
    #[must_use]
    pub fn within(mut self, seconds: u64) -> Self {
        self.limits.time = Duration::from_secs(seconds);
        self
    }
}

macro_rules! methods {
    ($($(#[$doc:meta])* $name:ident $method:ident;)+) => {$(
        $(#[$doc])*
        #[allow(dead_code, reason = "the table may have no route of a method yet")]
        fn $name<H, T>(path: &'static str, access: Access, handler: H) -> Route
        where
            H: Handler<T, App>,
            T: 'static,
        {
            Route::new(Method::$method, path, access, handler)
        }
    )+};
}

methods! {
    /// A route that reads.
    get GET;
    /// A route that does something.
    post POST;
    /// A route that replaces something.
    put PUT;
    /// A route that changes a part of something.
    patch PATCH;
    /// A route that takes something away.
    delete DELETE;
}

/// Every route of the house.
pub fn table() -> Vec<Route> {
    [house(), items(), register(), jobs(), programs(), people()]
        .into_iter()
        .flatten()
        .collect()
}

/// What is there before anything else.
fn house() -> Vec<Route> {
    use Access::Open;
    vec![
        get("/static/{*path}", Open, assets::show),
        get("/health", Open, health::show),
        get("/metrics", Access::Anyone, health::metrics),
        get("/style", Open, style::page_show),
        get("/", Access::Anyone, home::page_show),
        get("/api/v1/openapi.json", Open, api::show),
        get("/api/docs/", Open, api::viewer),
        get("/api/docs/{*path}", Open, api::viewer_file),
        get("/problem/{key}", Open, kind::page_show),
        get("/welcome", Open, house::page_new),
        post("/welcome", Open, house::page_create),
    ]
}

/// Items, and what is done with each.
fn items() -> Vec<Route> {
    use Access::May;
    vec![
        get("/items", May(Deed::Read), item::page_list),
        get("/items/new", May(Deed::KeepRegister), item::page_new),
        post("/items", May(Deed::KeepRegister), item::page_create),
        get("/items/{id}", May(Deed::Read), item::page_show),
        get("/items/{id}/edit", May(Deed::KeepRegister), item::page_edit),
        post("/items/{id}", May(Deed::KeepRegister), item::page_revise),
        get(
            "/items/{id}/step",
            May(Deed::ReportEvent),
            item::page_step_new,
        ),
        post(
            "/items/{id}/step",
            May(Deed::ReportEvent),
            item::page_step_create,
        ),
        get(
            "/items/{id}/examinations/new",
            May(Deed::ReportEvent),
            examination::page_new,
        ),
        post(
            "/items/{id}/examinations",
            May(Deed::ReportEvent),
            examination::page_create,
        ),
        get(
            "/items/{id}/events/new",
            May(Deed::ReportEvent),
            event::page_new,
        ),
        post(
            "/items/{id}/events",
            May(Deed::ReportEvent),
            event::page_create,
        ),
    ]
}

/// What items are of and where they live, and the notices about them.
fn register() -> Vec<Route> {
    use Access::May;
    vec![
        get("/models", May(Deed::Read), model::page_list),
        get("/models/new", May(Deed::KeepRegister), model::page_new),
        post("/models", May(Deed::KeepRegister), model::page_create),
        get("/models/{id}", May(Deed::Read), model::page_show),
        get(
            "/models/{id}/edit",
            May(Deed::KeepRegister),
            model::page_edit,
        ),
        post("/models/{id}", May(Deed::KeepRegister), model::page_revise),
        get("/stores", May(Deed::Read), place::page_list),
        get("/stores/new", May(Deed::KeepRegister), place::page_new),
        post("/stores", May(Deed::KeepRegister), place::page_create),
        get(
            "/stores/{id}/edit",
            May(Deed::KeepRegister),
            place::page_edit,
        ),
        post("/stores/{id}", May(Deed::KeepRegister), place::page_revise),
        get("/notices", May(Deed::Read), notice::page_list),
        get("/notices/new", May(Deed::KeepRegister), notice::page_new),
        post("/notices", May(Deed::KeepRegister), notice::page_create),
        get("/notices/{id}", May(Deed::Read), notice::page_show),
        post(
            "/notices/{id}/closings",
            May(Deed::Examine),
            notice::page_close,
        ),
    ]
}

/// Jobs and their kit, and what they are judged by.
fn jobs() -> Vec<Route> {
    use Access::May;
    vec![
        get("/jobs", May(Deed::Read), job::page_list),
        get("/jobs/new", May(Deed::PlanJob), job::page_new),
        post("/jobs", May(Deed::PlanJob), job::page_create),
        get("/jobs/{id}", May(Deed::Read), job::page_show),
        get("/jobs/{id}/edit", May(Deed::PlanJob), job::page_edit),
        post("/jobs/{id}/edit", May(Deed::PlanJob), job::page_change),
        post("/jobs/{id}/end", May(Deed::PlanJob), job::page_end),
        get(
            "/jobs/{id}/positions/{key}",
            May(Deed::Read),
            job::page_position,
        ),
        post("/jobs/{id}/kit", May(Deed::PlanJob), job::page_add),
        post(
            "/jobs/{id}/kit/{line}/remove",
            May(Deed::PlanJob),
            job::page_remove,
        ),
        get("/jobs/{id}/verdict", May(Deed::Read), job::page_verdict),
        post("/jobs/{id}/verdict", May(Deed::PlanJob), job::page_keep),
        get("/rigs", May(Deed::Read), rig::page_list),
        get("/rigs/{key}", May(Deed::Read), rig::page_show),
        get("/rulebooks", May(Deed::Read), rig::page_rulebooks),
        get("/rulebooks/{key}", May(Deed::Read), rig::page_rulebook),
    ]
}

/// The same deeds for programs.
fn programs() -> Vec<Route> {
    use Access::May;
    vec![
        get(
            "/api/v1/history",
            May(Deed::Read),
            api::history::api_history,
        ),
        get(
            "/api/v1/items/{id}/history",
            May(Deed::Read),
            api::history::api_item_history,
        ),
        get(
            "/api/v1/jobs/{id}/history",
            May(Deed::Read),
            api::history::api_job_history,
        ),
        get("/api/v1/ledger", May(Deed::Read), api::history::api_ledger),
        get("/api/v1/jobs", May(Deed::Read), api::job::api_jobs),
        get("/api/v1/jobs/{id}", May(Deed::Read), api::job::api_job),
        post("/api/v1/jobs", May(Deed::PlanJob), api::job::api_plan),
        put(
            "/api/v1/jobs/{id}",
            May(Deed::PlanJob),
            api::job::api_revise_job,
        ),
        post(
            "/api/v1/jobs/{id}/end",
            May(Deed::PlanJob),
            api::job::api_end,
        ),
        get(
            "/api/v1/jobs/{id}/candidates",
            May(Deed::Read),
            api::job::api_candidates,
        ),
        post(
            "/api/v1/jobs/{id}/kit",
            May(Deed::PlanJob),
            api::job::api_add_line,
        ),
        delete(
            "/api/v1/jobs/{id}/kit/{line}",
            May(Deed::PlanJob),
            api::job::api_remove_line,
        ),
        post(
            "/api/v1/jobs/{id}/verdicts",
            May(Deed::PlanJob),
            api::job::api_keep_verdict,
        ),
        get(
            "/api/v1/items/{id}/examinations",
            May(Deed::Read),
            api::look::api_examinations,
        ),
        post(
            "/api/v1/items/{id}/examinations",
            May(Deed::ReportEvent),
            api::look::api_examine,
        ),
        get(
            "/api/v1/items/{id}/events",
            May(Deed::Read),
            api::look::api_events,
        ),
        post(
            "/api/v1/items/{id}/events",
            May(Deed::ReportEvent),
            api::look::api_report_event,
        ),
        get("/api/v1/notices", May(Deed::Read), api::look::api_notices),
        get(
            "/api/v1/notices/{id}",
            May(Deed::Read),
            api::look::api_notice,
        ),
        post(
            "/api/v1/notices",
            May(Deed::KeepRegister),
            api::look::api_open_notice,
        ),
        post(
            "/api/v1/notices/{id}/items/{item}",
            May(Deed::Examine),
            api::look::api_close_notice,
        ),
        get("/api/v1/kinds", May(Deed::Read), api::reference::api_kinds),
        get("/api/v1/rigs", May(Deed::Read), api::reference::api_rigs),
        get(
            "/api/v1/rigs/{key}",
            May(Deed::Read),
            api::reference::api_rig,
        ),
        get(
            "/api/v1/rulebooks",
            May(Deed::Read),
            api::reference::api_rulebooks,
        ),
        get(
            "/api/v1/rulebooks/{key}",
            May(Deed::Read),
            api::reference::api_rulebook,
        ),
        get("/api/v1/items", May(Deed::Read), api::register::api_items),
        get(
            "/api/v1/items/{id}",
            May(Deed::Read),
            api::register::api_item,
        ),
        post(
            "/api/v1/items",
            May(Deed::KeepRegister),
            api::register::api_add_item,
        ),
        put(
            "/api/v1/items/{id}",
            May(Deed::KeepRegister),
            api::register::api_revise_item,
        ),
        post(
            "/api/v1/items/{id}/steps",
            May(Deed::ReportEvent),
            api::register::api_step_item,
        ),
        get("/api/v1/models", May(Deed::Read), api::register::api_models),
        get(
            "/api/v1/models/{id}",
            May(Deed::Read),
            api::register::api_model,
        ),
        post(
            "/api/v1/models",
            May(Deed::KeepRegister),
            api::register::api_add_model,
        ),
        put(
            "/api/v1/models/{id}",
            May(Deed::KeepRegister),
            api::register::api_revise_model,
        ),
        get("/api/v1/stores", May(Deed::Read), api::register::api_stores),
        post(
            "/api/v1/stores",
            May(Deed::KeepRegister),
            api::register::api_add_store,
        ),
        put(
            "/api/v1/stores/{id}",
            May(Deed::KeepRegister),
            api::register::api_revise_store,
        ),
    ]
}

/// Sessions, one's own account, the people of the team.
fn people() -> Vec<Route> {
    use Access::{InPerson, May, Open};
    vec![
        get("/sign-in", Open, session::page_new),
        post("/sign-in", Open, session::page_create),
        post("/sign-out", InPerson, session::page_end),
        get("/settings", InPerson, setting::page_show),
        post("/settings", InPerson, setting::page_save),
        get("/settings/password", InPerson, setting::page_password),
        post(
            "/settings/password",
            InPerson,
            setting::page_change_password,
        ),
        get("/settings/sessions", InPerson, setting::page_sessions),
        post(
            "/settings/sessions/end",
            InPerson,
            setting::page_end_session,
        ),
        post(
            "/settings/sessions/end-others",
            InPerson,
            setting::page_end_others,
        ),
        get("/settings/tokens", InPerson, token::page_list),
        post("/settings/tokens", InPerson, token::page_create),
        post("/settings/tokens/{id}/revoke", InPerson, token::page_revoke),
        get("/team", May(Deed::KeepPeople), team::page_show),
        post("/team", May(Deed::KeepPeople), team::page_revise),
        get("/api/v1/team", May(Deed::Read), team::api_show),
        put("/api/v1/team", May(Deed::KeepPeople), team::api_revise),
        get("/people", May(Deed::KeepPeople), person::page_list),
        post("/people", May(Deed::KeepPeople), person::page_create),
        get("/people/new", May(Deed::KeepPeople), person::page_new),
        get("/people/{id}", May(Deed::KeepPeople), person::page_show),
        post("/people/{id}", May(Deed::KeepPeople), person::page_revise),
        get("/api/v1/me", Access::Anyone, person::api_me),
        get("/api/v1/people", May(Deed::KeepPeople), person::api_list),
        post("/api/v1/people", May(Deed::KeepPeople), person::api_create),
        get(
            "/api/v1/people/{id}",
            May(Deed::KeepPeople),
            person::api_show,
        ),
        put(
            "/api/v1/people/{id}",
            May(Deed::KeepPeople),
            person::api_revise,
        ),
        post(
            "/people/{id}/password",
            May(Deed::KeepPeople),
            person::page_password,
        ),
    ]
}

/// The table as a router: each route behind its own gate.
pub(super) fn router(app: &App) -> Router<App> {
    let mut router = Router::new();
    for route in table() {
        let gate = Gate {
            app: app.clone(),
            access: route.access,
            limits: route.limits,
        };
        let handler = route
            .handler
            .route_layer(DefaultBodyLimit::max(route.limits.body))
            .route_layer(middleware::from_fn_with_state(gate, admit));
        router = router.route(route.path, handler);
    }
    router
        .fallback(async |_: Visitor| Problem::NotFound("page"))
        .method_not_allowed_fallback(async |_: Visitor| Problem::WrongMethod)
}
