//! What a handler may ask of a request. Each refuses with a [`Problem`], so that what cannot be
//! read wears our face too.

use axum::{
    Json,
    extract::{
        FromRequest, FromRequestParts, Request,
        rejection::{JsonRejection, PathRejection, QueryRejection},
    },
    http::{StatusCode, header, request::Parts},
};
use axum_extra::extract::FormRejection;
use serde::de::DeserializeOwned;

use super::{App, Problem, Signed, admit::who, known::Known, route::Limits};
use crate::{
    deed::Seen,
    view::{Shell, part::Flash},
};

/// Parts of the address. One that cannot be read leads to nothing, so it answers 404.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Path), rejection(Problem))]
pub struct Path<T>(pub T);

/// What stands behind the question mark.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Query), rejection(Problem))]
pub struct Query<T>(pub T);

/// A form that was sent; a name that comes several times is a list.
pub struct Form<T>(pub T);

/// A JSON body.
pub struct JsonBody<T>(pub T);

/// The mark of the record that is to be changed, from `If-Match`; none if it says `*`, whatever is there.
pub struct IfMatch(pub Option<String>);

impl IfMatch {
    /// The version that it names.
    ///
    /// # Errors
    /// [`Problem::Stale`] if it is no number: the mark of nothing that is there.
    pub fn version(self) -> Result<Seen, Problem> {
        match self.0 {
            None => Ok(Seen::Whichever),
            Some(mark) => mark.parse().map(Seen::Version).map_err(|_| Problem::Stale),
        }
    }
}

impl FromRequestParts<App> for IfMatch {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &App) -> Result<Self, Problem> {
        let text = parts
            .headers
            .get(header::IF_MATCH)
            .and_then(|value| value.to_str().ok())
            .map(str::trim);
        match text {
            None | Some("") => Err(Problem::NeedsMark),
            Some("*") => Ok(Self(None)),
            Some(tag) => Ok(Self(Some(tag.trim_matches('"').to_owned()))),
        }
    }
}

/// Whoever asks, signed in or not.
pub struct Visitor {
    /// Who it is, if they are signed in.
    pub signed: Option<Signed>,
    flash: Option<Flash>,
}

impl Visitor {
    /// The frame of a page that everybody may see.
    pub fn shell(&self, title: &str) -> Shell {
        self.signed.as_ref().map_or_else(
            || Shell {
                flash: self.flash.clone(),
                ..Shell::for_stranger(title)
            },
            |signed| signed.shell(title),
        )
    }
}

impl From<PathRejection> for Problem {
    fn from(_: PathRejection) -> Self {
        Self::NotFound("page")
    }
}

impl From<QueryRejection> for Problem {
    fn from(rejection: QueryRejection) -> Self {
        Self::Unreadable(format!(
            "The part of the address behind the question mark cannot be read: {}.",
            rejection.body_text()
        ))
    }
}

/// The most that the address takes, for the sentence that says so.
fn limit_of(request: &Request) -> usize {
    request
        .extensions()
        .get::<Limits>()
        .map_or(Limits::default().body, |limits| limits.body)
}

impl<T: DeserializeOwned> FromRequest<App> for Form<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        let limit = limit_of(&request);
        match axum_extra::extract::Form::<T>::from_request(request, app).await {
            Ok(form) => Ok(Self(form.0)),
            Err(rejection) => Err(refused_form(&rejection, limit)),
        }
    }
}

fn refused_form(rejection: &FormRejection, limit: usize) -> Problem {
    match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => Problem::TooLarge { limit, given: None },
        StatusCode::UNSUPPORTED_MEDIA_TYPE => Problem::WrongKind(
            "Send this as a form (application/x-www-form-urlencoded).".to_owned(),
        ),
        _ => Problem::Unreadable(format!(
            "The form cannot be read: {}.",
            rejection.body_text()
        )),
    }
}

impl<T: DeserializeOwned> FromRequest<App> for JsonBody<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        let limit = limit_of(&request);
        match Json::<T>::from_request(request, app).await {
            Ok(Json(value)) => Ok(Self(value)),
            Err(rejection) => Err(refused_json(&rejection, limit)),
        }
    }
}

fn refused_json(rejection: &JsonRejection, limit: usize) -> Problem {
    match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => Problem::TooLarge { limit, given: None },
        StatusCode::UNSUPPORTED_MEDIA_TYPE => {
            Problem::WrongKind("Send this as JSON (application/json).".to_owned())
        }
        _ => Problem::Unreadable(format!(
            "The JSON cannot be read: {}.",
            rejection.body_text()
        )),
    }
}

impl FromRequestParts<App> for Visitor {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Problem> {
        Ok(Self {
            signed: match who(app, parts).await {
                // Whoever was turned out is a visitor like any other.
                Err(Problem::LinkOver(_)) => None,
                other => other?,
            },
            flash: parts
                .extensions
                .get::<Known>()
                .and_then(|known| known.flash.clone()),
        })
    }
}

impl FromRequestParts<App> for Signed {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Problem> {
        who(app, parts).await?.ok_or(Problem::SignIn)
    }
}
