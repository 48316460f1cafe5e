//! Tokens for machines.

use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use time::OffsetDateTime;

use super::{App, Done, Form, Page, Path, Problem, Signed};
use crate::{
    deed::{
        DeedError,
        token::{self, TokenDraft},
    },
    domain::{FieldErrors, Role, TokenId, Zone},
    store::Token,
    view::{
        form,
        part::{Badge, Tone},
        setting::nav,
        token::{TokenLine, Tokens},
        words::day,
    },
};

/// One's tokens, and the form for a new one.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Tokens>, Problem> {
    let draft = TokenDraft {
        role: signed.actor.role.key().to_owned(),
        days: "90".to_owned(),
        ..TokenDraft::default()
    };
    Ok(Page(
        list(&app, &signed, draft, &FieldErrors::default()).await?,
    ))
}

async fn list(
    app: &App,
    signed: &Signed,
    draft: TokenDraft,
    wrong: &FieldErrors,
) -> Result<Tokens, Problem> {
    let tokens = token::list(&app.desk, &signed.actor).await?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let people = tx.people().await?;
    let now = app.desk.clock.now();
    let rows = tokens
        .into_iter()
        .map(|token| {
            let maker = people.iter().find(|person| person.id == token.person);
            line(
                &token,
                maker.map_or("", |person| &person.name),
                (now, &signed.zone),
            )
        })
        .collect();
    Ok(Tokens {
        shell: signed.shell("Tokens for machines"),
        nav: nav("/settings/tokens"),
        rows,
        form: form::Form::new(wrong),
        label: draft.label,
        role: draft.role,
        days: draft.days,
        roles: Role::ALL
            .into_iter()
            .filter(|role| signed.actor.role.includes(*role))
            .map(|role| (role.key().to_owned(), role.word().to_owned()))
            .collect(),
        secret: None,
    })
}

fn line(token: &Token, maker: &str, (now, zone): (OffsetDateTime, &Zone)) -> TokenLine {
    let ended = token.expires_at.is_some_and(|at| at <= now);
    let state = match (token.revoked_at, ended) {
        (Some(_), _) => Badge::new(Tone::Out, "Revoked"),
        (None, true) => Badge::new(Tone::Out, "Ended"),
        (None, false) => Badge::new(Tone::Fit, "Works"),
    };
    TokenLine {
        id: token.id.to_string(),
        label: token.label.clone(),
        role: token.role.word(),
        maker: maker.to_owned(),
        made: day(zone.day(token.created_at)),
        ends: token
            .expires_at
            .map_or_else(|| "never".to_owned(), |at| zone.words(at)),
        live: token.revoked_at.is_none() && !ended,
        state,
    }
}

/// Makes a token and shows its secret, once.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Form(draft): Form<TokenDraft>,
) -> Result<Response, Problem> {
    match token::make(&app.desk, &signed.actor, &draft).await {
        Ok(secret) => {
            let fresh = TokenDraft {
                role: draft.role,
                days: draft.days,
                label: String::new(),
            };
            let mut view = list(&app, &signed, fresh, &FieldErrors::default()).await?;
            view.secret = Some(secret);
            // No redirect: the secret must stand in no address, cookie or cache.
            Ok(([(header::CACHE_CONTROL, "no-store")], Page(view)).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            Ok(Page::wrong(list(&app, &signed, draft, &wrong).await?))
        }
        Err(other) => Err(other.into()),
    }
}

/// Revokes a token.
pub(super) async fn page_revoke(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<TokenId>,
) -> Result<Response, Problem> {
    token::revoke(&app.desk, &signed.actor, id).await?;
    Ok(Done::to("/settings/tokens")
        .saying("The token is revoked.")
        .into_response())
}
