//! One's own account.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{App, Done, Form, Page, Problem, Signed, page::answer, session::Address};
use crate::{
    deed::{
        person::{self, NewPassword},
        session,
    },
    domain::{FieldErrors, Hash, Preference, Theme, Units},
    view::{
        form,
        setting::{
            ChangePassword, SessionLine, Sessions, Settings, nav, theme_choices, unit_choices,
        },
    },
};

/// Units and theme as typed in.
#[derive(Deserialize)]
pub(super) struct Choice {
    #[serde(default)]
    units: String,
    #[serde(default)]
    theme: String,
}

/// Units and theme.
pub(super) async fn page_show(signed: Signed) -> Page<Settings> {
    let choice = Choice {
        units: signed.preference.units.key().to_owned(),
        theme: signed.preference.theme.key().to_owned(),
    };
    Page(settings(&signed, choice, &FieldErrors::default()))
}

fn settings(signed: &Signed, choice: Choice, wrong: &FieldErrors) -> Settings {
    Settings {
        shell: signed.shell("My account"),
        nav: nav("/settings"),
        form: form::Form::new(wrong),
        units: choice.units,
        theme: choice.theme,
        unit_choices: unit_choices(),
        theme_choices: theme_choices(),
    }
}

/// Keeps units and theme.
pub(super) async fn page_save(
    State(app): State<App>,
    signed: Signed,
    Form(choice): Form<Choice>,
) -> Result<Response, Problem> {
    let mut wrong = FieldErrors::default();
    let units = Units::from_key(&choice.units);
    if units.is_none() {
        wrong.add("units", "choice", "Choose metric or us.");
    }
    let theme = Theme::from_key(&choice.theme);
    if theme.is_none() {
        wrong.add("theme", "choice", "Choose system, light or dark.");
    }
    let (Some(units), Some(theme)) = (units, theme) else {
        return Ok(Page::wrong(settings(&signed, choice, &wrong)));
    };
    person::prefer(&app.desk, &signed.actor, Preference { units, theme }).await?;
    Ok(Done::to("/settings").saying("Saved.").into_response())
}

/// The form for a new password.
pub(super) async fn page_password(signed: Signed) -> Page<ChangePassword> {
    Page(password(&signed, &FieldErrors::default()))
}

fn password(signed: &Signed, wrong: &FieldErrors) -> ChangePassword {
    ChangePassword {
        shell: signed.shell("Password"),
        nav: nav("/settings/password"),
        form: form::Form::new(wrong),
        sign_in: signed
            .person()
            .map_or_else(String::new, |person| person.sign_in.clone()),
    }
}

/// Changes one's own password.
pub(super) async fn page_change_password(
    State(app): State<App>,
    signed: Signed,
    Address(address): Address,
    Form(typed): Form<NewPassword>,
) -> Result<Response, Problem> {
    let here = signed.session.ok_or(Problem::SignIn)?;
    let done = person::change_password(&app.desk, &signed.actor, &here, &address, &typed).await;
    answer(
        done,
        |()| {
            Done::to("/settings/password")
                .saying("The password is changed, and you are signed out everywhere else.")
        },
        async |wrong| Ok(password(&signed, &wrong)),
    )
    .await
}

/// Where one is signed in.
pub(super) async fn page_sessions(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Sessions>, Problem> {
    let rows = session::mine(&app.desk, &signed.actor).await?;
    Ok(Page(Sessions {
        shell: signed.shell("Where I am signed in"),
        nav: nav("/settings/sessions"),
        rows: rows
            .into_iter()
            .map(|row| SessionLine {
                key: hex::encode(row.hash),
                browser: row.browser,
                since: signed.zone.words(row.created_at),
                seen: signed.zone.words(row.seen_at.unwrap_or(row.created_at)),
                until: signed.zone.words(row.expires_at),
                here: signed.session == Some(row.hash),
            })
            .collect(),
    }))
}

/// The session to end, by the hash that the server keeps: it opens nothing.
#[derive(Deserialize)]
pub(super) struct Ended {
    #[serde(default)]
    session: String,
}

/// Ends one session of one's own.
pub(super) async fn page_end_session(
    State(app): State<App>,
    signed: Signed,
    Form(ended): Form<Ended>,
) -> Result<Response, Problem> {
    let hash = hex::decode(&ended.session)
        .ok()
        .and_then(|bytes| Hash::try_from(bytes).ok())
        .ok_or(Problem::NotFound("session"))?;
    session::end_one(&app.desk, &signed.actor, &hash).await?;
    Ok(Done::to("/settings/sessions")
        .saying("That session is ended.")
        .into_response())
}

/// Ends every session of one's own but this one.
pub(super) async fn page_end_others(
    State(app): State<App>,
    signed: Signed,
) -> Result<Response, Problem> {
    let here = signed.session.ok_or(Problem::SignIn)?;
    let ended = session::end_others(&app.desk, &signed.actor, &here).await?;
    let words = match ended {
        0 => "You are signed in nowhere else.".to_owned(),
        1 => "One other session is ended.".to_owned(),
        n => format!("{n} other sessions are ended."),
    };
    Ok(Done::to("/settings/sessions").saying(words).into_response())
}
