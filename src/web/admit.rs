//! Lets a request in, or not: who sent it, whether they may, how much it may send, how long it may take.

use axum::{
    extract::{FromRequestParts, MatchedPath, Request, State},
    http::{HeaderMap, HeaderName, Method, StatusCode, Uri, header, request::Parts},
    middleware::Next,
    response::{IntoResponse, Response},
};
use axum_extra::extract::CookieJar;
use time::{Duration, OffsetDateTime};

use super::{
    App, Problem, Signed,
    api::declared,
    known::{Known, Who},
    repeat,
    route::{Access, Limits},
    session,
};
use crate::{
    deed::{self, DeedError, guest::Sitting, session::hash_of},
    domain::{GuestRead, Hash, LONGEST_ADDRESS, Role},
    store::{GuestAtDoor, StoreError, Visit},
};

/// What stands at the door of one route.
#[derive(Clone)]
pub(super) struct Gate {
    pub app: App,
    pub access: Access,
    pub limits: Limits,
}

/// Runs before every handler.
pub(super) async fn admit(
    State(gate): State<Gate>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let route = request.extensions().get::<MatchedPath>().cloned();
    let (mut parts, body) = request.into_parts();
    let known = parts.extensions.get::<Known>().cloned();
    let asked = (parts.method.clone(), parts.uri.clone());
    let answer = async {
        let signed = check(&gate, &mut parts).await?;
        if let Some(route) = &route {
            declared::hold(&parts.method, route.as_str(), &parts.uri)?;
        }
        parts.extensions.insert(gate.limits);
        let request = Request::from_parts(parts, body);
        tokio::time::timeout(
            gate.limits.time,
            repeat::once(&gate.app, signed.as_ref(), gate.limits, request, next),
        )
        .await
        .map_err(|_| Problem::Slow)?
    }
    .await;
    let mut response = answer.into_response();
    let signed = known.as_ref().and_then(Known::signed);
    if let (Some(Who::Guest(guest)), false) = (
        signed.map(|signed| &signed.who),
        gate.access == Access::Open,
    ) {
        response = note_read(&gate.app, guest, asked, response).await;
    }
    if let Some(route) = route {
        // For the log and the counts, which must not hold what stands in an address.
        response.extensions_mut().insert(route);
    }
    Ok(response)
}

async fn check(gate: &Gate, parts: &mut Parts) -> Result<Option<Signed>, Problem> {
    let declared = declared_length(&parts.headers);
    if declared.is_some_and(|length| length > gate.limits.body) {
        return Err(Problem::TooLarge {
            limit: gate.limits.body,
            given: declared,
        });
    }
    if matches!(gate.access, Access::Open) {
        return Ok(None);
    }
    let signed = who(&gate.app, parts).await?.ok_or(Problem::SignIn)?;
    if is_anothers(&parts.headers, &signed) {
        return Err(Problem::SignIn);
    }
    match gate.access {
        Access::InPerson if signed.session.is_some() => Ok(Some(signed)),
        Access::InPerson | Access::Member if signed.person().is_none() => Err(Problem::Forbidden(
            "This belongs to the people of the team. An outside auditor has no account here."
                .to_owned(),
        )),
        Access::Open | Access::Anyone | Access::Member => Ok(Some(signed)),
        Access::InPerson => Err(Problem::Forbidden(
            "A machine's token cannot do this; a person has to sign in.".to_owned(),
        )),
        Access::May(deed) if signed.may(deed) => Ok(Some(signed)),
        Access::May(_) => Err(forbidden(signed.actor.role)),
    }
}

/// Whose a request is, where it was kept on a device and is sent later.
const PERSON: HeaderName = HeaderName::from_static("ropeloft-person");

/// Whether a request was written by somebody else than who is signed in now: it would be kept under the wrong name.
fn is_anothers(headers: &HeaderMap, signed: &Signed) -> bool {
    let person = headers.get(PERSON);
    person.is_some_and(|person| person.as_bytes() != signed.actor.person.to_string().as_bytes())
}

/// The sentence for a role that may not.
pub(super) fn forbidden(role: Role) -> Problem {
    Problem::Forbidden(format!(
        "Your role ({}) does not allow this. Ask somebody who may, or an administrator of your team.",
        role.word()
    ))
}

fn declared_length(headers: &HeaderMap) -> Option<usize> {
    headers
        .get(header::CONTENT_LENGTH)?
        .to_str()
        .ok()?
        .parse()
        .ok()
}

/// Who sent the request: by its token if it shows one, else by the cookie of its session or sitting. Asked of the
/// database once a request.
pub(super) async fn who(app: &App, parts: &mut Parts) -> Result<Option<Signed>, Problem> {
    let known = parts.extensions.get::<Known>().cloned().unwrap_or_default();
    if let Some(signed) = known.signed() {
        return Ok(Some(signed.clone()));
    }
    let signed = match bearer(&parts.headers) {
        Some(token) => by_token(app, token, &known).await?,
        None => by_session(app, &parts.headers, &known).await?,
    };
    if let Some(signed) = &signed {
        known.keep(signed.clone());
    }
    Ok(signed)
}

/// The token behind `Authorization: Bearer`.
fn bearer(headers: &HeaderMap) -> Option<&str> {
    let value = headers.get(header::AUTHORIZATION)?.to_str().ok()?;
    let (scheme, token) = value.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then(|| token.trim())
}

async fn by_token(app: &App, token: &str, known: &Known) -> Result<Option<Signed>, Problem> {
    let mut door = app.desk.database.door().await?;
    let found = door.bearer(&hash_of(token), app.desk.clock.now()).await?;
    Ok(found.map(|mut found| {
        // A token is never stronger than its maker is today.
        if !found.person.role.includes(found.actor.role) {
            found.actor.role = found.person.role;
        }
        Signed::new(found, known)
    }))
}

async fn by_session(
    app: &App,
    headers: &HeaderMap,
    known: &Known,
) -> Result<Option<Signed>, Problem> {
    let jar = CookieJar::from_headers(headers);
    let Some(cookie) = jar.get(session::cookie_name(&app.config)) else {
        return Ok(None);
    };
    let hash = hash_of(cookie.value());
    let now = app.desk.clock.now();
    let Some(visit) = app.desk.database.door().await?.visit(&hash, now).await? else {
        return by_sitting(app, &hash, known).await;
    };
    note_visit(app, &hash, &visit, now).await?;
    let mut signed = Signed::new(visit.signed, known);
    signed.preference = visit.preference;
    signed.session = Some(hash);
    Ok(Some(signed))
}

/// The outside auditor whose sitting it is.
async fn by_sitting(app: &App, hash: &Hash, known: &Known) -> Result<Option<Signed>, Problem> {
    match deed::guest::arrive(&app.desk, hash).await? {
        None => Ok(None),
        Some(Sitting::Lasts(guest)) => Ok(Some(Signed::guest(*guest, known))),
        Some(Sitting::Over(words)) => Err(Problem::LinkOver(words)),
    }
}

/// Notes what an outside auditor asked for and how it was answered. What cannot be noted is not answered: only what went
/// wrong is told then.
async fn note_read(
    app: &App,
    guest: &GuestAtDoor,
    (method, uri): (Method, Uri),
    response: Response,
) -> Response {
    let forbidden = response.status() == StatusCode::FORBIDDEN;
    // What was refused showed nothing, and its question may hold what is nobody's business.
    let path = uri.path_and_query().filter(|_| !forbidden);
    let path = path.map_or(uri.path(), |path| path.as_str());
    let file = response.headers().get(header::CONTENT_DISPOSITION);
    let file = file.and_then(|value| value.to_str().ok()?.split_once("filename=\""));
    let read = GuestRead {
        number: 0,
        at: app.desk.clock.now(),
        method: method.as_str().to_owned(),
        path: path.chars().take(LONGEST_ADDRESS).collect(),
        status: response.status().as_u16(),
        file: file.and_then(|(_, name)| name.split('"').next().map(str::to_owned)),
    };
    match deed::guest::note(&app.desk, guest, read).await {
        Ok(()) => response,
        Err(DeedError::Store(
            error @ (StoreError::Busy(_) | StoreError::Away(_) | StoreError::Full(_)),
        )) => Problem::from(error).into_response(),
        Err(error) => Problem::internal(error).into_response(),
    }
}

/// How long a visit stays noted before the next one is: reading stays reading.
const NOTED: Duration = Duration::minutes(10);
/// How long a page waits for a visit to be noted. Where the database is busy that long, the next visit is noted.
const PATIENCE: std::time::Duration = std::time::Duration::from_secs(1);

/// Notes a visit with a session, which lasts from it.
async fn note_visit(
    app: &App,
    hash: &Hash,
    visit: &Visit,
    now: OffsetDateTime,
) -> Result<(), Problem> {
    if visit.seen_at.is_some_and(|seen_at| now - seen_at < NOTED) {
        return Ok(());
    }
    let full = now + Duration::days(i64::from(app.config.session_days));
    let noted = async {
        let mut door = app.desk.database.write_door().await?;
        door.note_visit(hash, now, full).await?;
        door.commit().await
    };
    match tokio::time::timeout(PATIENCE, noted).await {
        Ok(noted) => Ok(noted?),
        Err(_) => Ok(()),
    }
}

impl FromRequestParts<App> for Known {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &App) -> Result<Self, Self::Rejection> {
        Ok(parts.extensions.get::<Self>().cloned().unwrap_or_default())
    }
}
