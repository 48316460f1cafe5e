//! The first set-up of a house.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{
    App, Done, Form, Page, Problem, Visitor,
    browser::Browser,
    session::{self, Address},
};
use crate::{
    deed::{
        self, DeedError,
        house::{self, SetupDraft},
    },
    domain::FieldErrors,
    view::{
        Shell, form,
        house::Welcome,
        rulebook::{WhichRulebook, choices},
    },
};

/// The form to set Ropeloft up; once that is done it leads to the start.
pub(super) async fn page_new(
    State(app): State<App>,
    visitor: Visitor,
) -> Result<Response, Problem> {
    if !house::is_open(&app.desk).await? {
        return Ok(Done::to("/").into_response());
    }
    let shell = visitor.shell("Welcome");
    let view = welcome(shell, &SetupDraft::default(), &FieldErrors::default());
    Ok(Page(view).into_response())
}

/// Sets Ropeloft up for a team and signs its first administrator in.
pub(super) async fn page_create(
    State(app): State<App>,
    Address(address): Address,
    Browser(browser): Browser,
    Form(draft): Form<SetupDraft>,
) -> Result<Response, Problem> {
    let given = app.config.setup_code.as_deref();
    match house::set_up(&app.desk, &draft, given, &address).await {
        Ok(actor) => {
            deed::checkpoint::begin(&app.desk, &actor, app.signing.as_ref()).await?;
            let secret = deed::session::sign_in(
                &app.desk,
                &draft.sign_in,
                &draft.password,
                (&address, &browser),
                session::lasts(&app.config),
            )
            .await?;
            let done =
                Done::to("/").saying("Ropeloft is set up for your team, and you are signed in.");
            Ok(session::opened(&app.config, secret, done))
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(welcome(
            Shell::for_stranger("Welcome"),
            &draft,
            &wrong,
        ))),
        Err(other) => Err(other.into()),
    }
}

fn welcome(shell: Shell, draft: &SetupDraft, wrong: &FieldErrors) -> Welcome {
    Welcome {
        shell,
        form: form::Form::new(wrong),
        code: draft.code.clone(),
        team: draft.team.clone(),
        rulebook: draft.rulebook.clone(),
        rulebooks: choices(&[]),
        which: WhichRulebook::new(&[]),
        time_zone: draft.time_zone.clone(),
        name: draft.name.clone(),
        sign_in: draft.sign_in.clone(),
        competent: draft.competent == "yes",
        competent_since: draft.competent_since.clone(),
        evidence: draft.evidence.clone(),
    }
}
