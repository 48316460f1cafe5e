//! The first set-up of a house.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use super::{App, Done, Form, Page, Problem, Visitor, session::Address};
use crate::{
    deed::{
        DeedError,
        house::{self, SetupDraft},
    },
    domain::FieldErrors,
    view::{Shell, form, house::Welcome, rulebook::choices},
};

/// The form to set the house up; once that is done it leads to the start.
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

/// Sets the house up.
pub(super) async fn page_create(
    State(app): State<App>,
    Address(address): Address,
    Form(draft): Form<SetupDraft>,
) -> Result<Response, Problem> {
    let given = app.config.setup_code.as_deref();
    match house::set_up(&app.desk, &draft, given, &address).await {
        Ok(()) => Ok(Done::to("/sign-in")
            .saying("The house is set up. Sign in with the name and password that you chose.")
            .into_response()),
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
        name: draft.name.clone(),
        sign_in: draft.sign_in.clone(),
    }
}
