//! Signing in and out: the doors, and the cookie.

use std::net::SocketAddr;

use axum::{
    extract::{ConnectInfo, FromRequestParts, State},
    http::request::Parts,
    response::{IntoResponse, Response},
};
use axum_extra::extract::{
    CookieJar,
    cookie::{Cookie, SameSite},
};
use serde::Deserialize;
use time::Duration;

use super::{
    App, Done, Form, Page, Problem, Query, Signed, Visitor, browser::Browser, way_back::is_inside,
};
use crate::{
    config::Config,
    deed::{self, DeedError},
    domain::FieldErrors,
    view::{Shell, form, session::SignIn},
};

/// The name of the cookie. Over https its prefix makes browsers refuse one that was set by a
/// neighbour or without encryption.
pub(super) fn cookie_name(config: &Config) -> &'static str {
    if config.is_https() {
        "__Host-ropeloft"
    } else {
        "ropeloft"
    }
}

pub(super) fn cookie(config: &Config, value: String, lasts: Duration) -> Cookie<'static> {
    Cookie::build((cookie_name(config), value))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Lax)
        .secure(config.is_https())
        .max_age(lasts)
        .build()
}

/// What is said on the form that somebody comes back to.
const LOST: &str = "You are signed in. What you had typed was not stored. Where it does not stand below, go back in the browser to where you typed it and send it again, or write it anew here.";

/// What is typed to sign in.
#[derive(Deserialize)]
#[serde(default)]
pub(super) struct Attempt {
    sign_in: String,
    password: String,
    to: String,
    /// `yes` where a form was sent after the session had ended.
    lost: String,
}

impl Default for Attempt {
    fn default() -> Self {
        Self {
            sign_in: String::new(),
            password: String::new(),
            to: "/".to_owned(),
            lost: String::new(),
        }
    }
}

/// The form to sign in.
pub(super) async fn page_new(
    State(app): State<App>,
    visitor: Visitor,
    Query(attempt): Query<Attempt>,
) -> Result<Response, Problem> {
    if visitor.signed.is_some() {
        return Ok(Done::to(inside(&attempt.to)).into_response());
    }
    if deed::house::is_open(&app.desk).await? {
        return Ok(Done::to("/welcome").into_response());
    }
    let shell = visitor.shell("Sign in");
    Ok(Page(sign_in_page(shell, &attempt, &FieldErrors::default())).into_response())
}

fn sign_in_page(shell: Shell, attempt: &Attempt, wrong: &FieldErrors) -> SignIn {
    SignIn {
        shell,
        form: form::Form::new(wrong).failed("You are not signed in"),
        sign_in: attempt.sign_in.clone(),
        to: inside(&attempt.to),
        lost: attempt.lost == "yes",
    }
}

/// Signs in.
pub(super) async fn page_create(
    State(app): State<App>,
    Address(address): Address,
    Browser(browser): Browser,
    Form(attempt): Form<Attempt>,
) -> Result<Response, Problem> {
    let attempted = deed::session::sign_in(
        &app.desk,
        &attempt.sign_in,
        &attempt.password,
        (&address, &browser),
        lasts(&app.config),
    );
    match attempted.await {
        Ok(secret) => {
            let done = Done::to(inside(&attempt.to));
            let done = match attempt.lost.as_str() {
                "yes" => done.saying(LOST),
                _ => done,
            };
            Ok(opened(&app.config, secret, done))
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(sign_in_page(
            Shell::for_stranger("Sign in"),
            &attempt,
            &wrong,
        ))),
        Err(other) => Err(other.into()),
    }
}

/// Hands out the cookie of a session that was opened, and leads on.
pub(super) fn opened(config: &Config, secret: String, done: Done) -> Response {
    let cookie = cookie(config, secret, lasts(config));
    (CookieJar::new().add(cookie), done).into_response()
}

/// How long a session lasts without a visit.
pub(super) fn lasts(config: &Config) -> Duration {
    Duration::days(i64::from(config.session_days))
}

/// Signs out.
pub(super) async fn page_end(State(app): State<App>, signed: Signed) -> Result<Response, Problem> {
    if let Some(session) = &signed.session {
        deed::session::sign_out(&app.desk, session).await?;
    }
    Ok((
        CookieJar::new().add(cookie(&app.config, String::new(), Duration::ZERO)),
        Done::to("/sign-in").saying("You are signed out."),
    )
        .into_response())
}

/// `to` if it is an address of this server, else the start.
fn inside(to: &str) -> String {
    if is_inside(to) {
        to.to_owned()
    } else {
        "/".to_owned()
    }
}

/// Where a request comes from, to count failed attempts by.
pub(super) struct Address(pub String);

impl FromRequestParts<App> for Address {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Self::Rejection> {
        let forwarded = parts.headers.get("x-forwarded-for").and_then(|text| {
            // The last is the one that our own proxy has seen.
            text.to_str().ok()?.rsplit(',').next()
        });
        if let (true, Some(address)) = (app.config.behind_proxy, forwarded) {
            return Ok(Self(address.trim().chars().take(64).collect()));
        }
        let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>();
        Ok(Self(peer.map_or_else(
            || "unknown".to_owned(),
            |ConnectInfo(peer)| peer.ip().to_string(),
        )))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_is_led_through_us_to_another_site() {
        for (to, led) in [
            ("/items?q=rope", "/items?q=rope"),
            ("//bad.test", "/"),
            ("/\\bad.test", "/"),
            ("https://bad.test", "/"),
            ("", "/"),
            ("/a\r\nSet-Cookie: x=1", "/"),
        ] {
            assert_eq!(inside(to), led);
        }
    }
}
