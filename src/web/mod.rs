//! The only HTTP: doors to the deeds, for people (pages) and for programs (JSON).
//!
//! A request goes one way: [`router`]'s layers, the gate of its route in [`table()`], the handler,
//! the deed, the view. Each refusal is a [`Problem`], and the door puts its face on.
//!
//! # How to add a page
//!
//! 1. A row in `table.rs`: method, address, who may call it, handler.
//!    `GET "/items/{id}" May(Read) => item::page_show;`
//! 2. The handler in `web/<noun>.rs`. It asks for what it needs, in this order:
//!
//!    ```text
//!    pub(super) async fn page_show(
//!        State(app): State<App>,          // app.desk: database and clock, what every deed needs
//!        signed: Signed,                  // signed.actor goes into the deed
//!        Path(id): Path<ItemId>,          // also Query, Form, JsonBody, from this module
//!    ) -> Result<Page<ShowItem>, Problem> {
//!        let item = deed::item::show(&app.desk, &signed.actor, id).await?;
//!        let shell = signed.shell_in(Section::Items, &item.name);
//!        Ok(Page(ShowItem::new(shell, &item)))
//!    }
//!    ```
//!
//!    A form is answered by `page::answer`: what was done leads on with
//!    `Done::to("/items/…").saying("The item was added.")`, a 303 and the sentence on top of the next
//!    page; what does not hold shows the form again with status 422.
//! 3. The view struct in `view/<noun>.rs` with its template under the same path, extending
//!    `base.html`, filling `main`. Its parts are in `view::part` and `view::form`; `/style` shows each.
//! 4. A line in `view::samples`, so that the test renders it with text that tries to break out.
//! 5. If it is a section of its own: `view::Section`.
//!
//! API handlers are called `api_…`, stand in the same file, sit below `/api/v1`, take [`JsonBody`]
//! and answer `Json`, or `api::tagged` with the mark that comes back in [`IfMatch`]. Each has its
//! `#[utoipa::path]` and is named in `api.rs`; a test compares the description with the table. Errors
//! turn into `application/problem+json` there by themselves, and an `Idempotency-Key` is heeded.

mod admit;
mod along;
mod api;
mod assets;
mod attachment;
mod bag;
mod bench;
mod board;
mod browser;
mod bundle;
mod calendar;
mod checklist;
mod checkpoint;
mod competence;
mod course;
mod cut;
mod digest;
mod errand;
mod event;
mod examination;
mod export;
mod extract;
mod face;
mod file;
mod guest;
mod health;
mod history;
mod home;
mod hook;
mod house;
mod import;
mod item;
mod job;
mod kind;
mod known;
mod label;
mod listed;
mod listen;
mod model;
mod model_kind;
mod name;
mod notice;
mod page;
mod paper;
mod person;
mod pin;
mod place;
mod problem;
mod problem_kind;
mod question;
mod readiness;
mod repeat;
mod rig;
mod round;
mod route;
mod rulebook;
mod security;
mod sent;
mod session;
mod setting;
mod style;
mod table;
mod tag;
mod team;
mod then;
mod token;
mod trend;
mod typed;
mod unchanged;
mod upload;
mod usage;
mod watch;
mod way_back;

use std::sync::Arc;

use axum::{Router, middleware};
use tower_http::{catch_panic::CatchPanicLayer, compression::CompressionLayer};

use crate::{config::Config, deed::Desk, domain::SigningSecret};

pub use api::description;

pub use extract::{Form, IfMatch, JsonBody, Path, Query, Visitor};
pub use known::Signed;
pub use listen::{Patience, serve};
pub use page::{Done, Page};
pub use problem::{Incident, Problem};
pub use route::{Access, Limits, Route};
pub use table::table;
pub use watch::Counts;

/// What every handler may reach.
#[derive(Clone)]
pub struct App {
    /// The database and the clock.
    pub desk: Desk,
    /// The settings.
    pub config: Arc<Config>,
    /// What has been counted.
    pub counts: Arc<Counts>,
    /// What signs checkpoints; without it nothing is signed.
    pub signing: Option<SigningSecret>,
}

impl App {
    /// An app on this desk.
    pub fn new(desk: Desk, config: Config) -> Self {
        Self {
            desk,
            config: Arc::new(config),
            counts: Arc::default(),
            signing: None,
        }
    }

    /// The same app, which signs checkpoints with keys made from this secret.
    #[must_use]
    pub fn signing(mut self, secret: Option<SigningSecret>) -> Self {
        self.signing = secret;
        self
    }
}

/// The whole service: the table of routes inside its layers. The last layer is the outermost.
pub fn router(app: App) -> Router {
    let with = |app: &App| app.clone();
    route::router(&app)
        .layer(middleware::from_fn_with_state(with(&app), security::origin))
        .layer(CatchPanicLayer::custom(page::panicked))
        .layer(middleware::from_fn(face::face))
        .layer(middleware::from_fn_with_state(
            with(&app),
            security::headers,
        ))
        .layer(CompressionLayer::new())
        .layer(middleware::from_fn_with_state(with(&app), watch::watch))
        .with_state(app)
}
