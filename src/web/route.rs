//! What a route is: its address, its gate, its limits. All of them stand in `table`.

use std::time::Duration;

use axum::{
    Router,
    body::{Body, Bytes, to_bytes},
    extract::DefaultBodyLimit,
    handler::Handler,
    http::Method,
    middleware,
    routing::{MethodFilter, MethodRouter, on},
};

use super::{
    App, Problem, Visitor,
    admit::{Gate, admit},
    table::table,
    unchanged,
};
use crate::domain::Deed;

/// Who may call a route. There is no default: a route that does not say cannot be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Everybody, signed in or not.
    Open,
    /// Whoever is signed in, or shows a token.
    Anyone,
    /// Whoever of the team is signed in, or shows a token; no outside auditor.
    Member,
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

impl Limits {
    /// A body that is read whole.
    ///
    /// # Errors
    /// [`Problem::TooLarge`] beyond the limit.
    pub(super) async fn whole(self, body: Body) -> Result<Bytes, Problem> {
        to_bytes(body, self.body)
            .await
            .map_err(|_| Problem::TooLarge {
                limit: self.body,
                given: None,
            })
    }
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
    pub(super) fn new<H, T>(method: Method, path: &'static str, access: Access, handler: H) -> Self
    where
        H: Handler<T, App>,
        T: 'static,
    {
        let filter = MethodFilter::try_from(method.clone())
            .expect("every row of the table gives a method that axum knows");
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

/// The table as a router: each route behind its own gate.
pub(super) fn router(app: &App) -> Router<App> {
    let mut router = Router::new();
    for route in table() {
        let gate = Gate {
            app: app.clone(),
            access: route.access,
            limits: route.limits,
        };
        let handler = if unchanged::is_spared(&route) {
            let spare = middleware::from_fn_with_state(app.clone(), unchanged::spare);
            route.handler.route_layer(spare)
        } else {
            route.handler
        };
        let handler = handler
            .route_layer(DefaultBodyLimit::max(route.limits.body))
            .route_layer(middleware::from_fn_with_state(gate, admit));
        router = router.route(route.path, handler);
    }
    router
        .fallback(async |_: Visitor| Problem::NotFound("page"))
        .method_not_allowed_fallback(async |_: Visitor| Problem::WrongMethod)
}
