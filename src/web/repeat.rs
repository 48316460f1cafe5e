//! A post that is sent twice with one `Idempotency-Key` is done once, and answered alike, also where both come at once or
//! before two servers.
//!
//! The key is taken before the work. Who comes second waits for the answer of the first, and is told if it takes long. That
//! the work is done is kept in its own transaction, its answer behind it: what a server leaves lying that ended between is
//! known as done, and what it never did is begun anew once [`GIVEN_UP`] is over.

use std::time::Duration;

use axum::{
    body::{Body, to_bytes},
    extract::Request,
    http::{HeaderName, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use sha2::{Digest, Sha256};
use tokio::runtime::Handle;

use super::{App, Problem, Signed, route::Limits, sent::under_its_id};
use crate::{
    domain::{FieldErrors, Hash, TeamId},
    store::{Database, Posted, Stage, StoreError},
};

const HEADER: HeaderName = HeaderName::from_static("idempotency-key");
/// The longest answer that is kept.
const LONGEST_ANSWER: usize = 4 * 1024 * 1024;
/// How often, and how many times, the answer of the first is looked for.
const PAUSE: Duration = Duration::from_millis(50);
const LOOKS: u32 = 200;
/// How often what is done is looked at for its answer.
const LOOKS_FOR_ANSWER: u32 = 40;
/// After how long somebody who took a key and kept nothing is taken to be gone.
pub(super) const GIVEN_UP: time::Duration = time::Duration::minutes(10);

/// On an answer that holds what is shown once and kept nowhere, so that it is not kept here either.
#[derive(Clone, Copy)]
pub(super) struct ShownOnce;

/// Runs the request, or gives the answer that was given before.
pub(super) async fn once(
    app: &App,
    signed: Option<&Signed>,
    limits: Limits,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let is_post = request.method() == Method::POST && request.uri().path().starts_with("/api/");
    let (Some(key), Some(signed), true) = (request.headers().get(HEADER), signed, is_post) else {
        return under_its_id((app, signed), limits, request, next, None).await;
    };
    // A key belongs to the person, so that nobody is given another's answer.
    let key = format!("{} {}", signed.actor.person, readable(key)?);
    let (parts, body) = request.into_parts();
    let body = limits.whole(body).await?;
    let mut hash = Sha256::new();
    hash.update(parts.uri.to_string());
    hash.update([0]);
    hash.update(&body);
    let asked: Hash = hash.finalize().into();
    let team = signed.actor.team;
    if let Some(before) = begin(app, team, &key, &asked).await? {
        return Ok(before);
    }
    let mut held = Held::new(app, team, key.clone());
    // The id of a record in its address makes one record under whichever key.
    let request = Request::from_parts(parts, Body::from(body));
    let of = (app, Some(signed));
    let response = match Box::pin(under_its_id(of, limits, request, next, Some(key))).await {
        Ok(response) => response,
        Err(problem) => {
            held.give_back(true).await;
            return Err(problem);
        }
    };
    let status = response.status();
    if !status.is_success() {
        // What was refused may be mended and sent again. Of a fault it is kept that it was done, if it was.
        held.give_back(!status.is_server_error()).await;
        return Ok(response);
    }
    if response.extensions().get::<ShownOnce>().is_some() {
        held.keep();
        return Ok(response);
    }
    let (parts, body) = response.into_parts();
    let body = to_bytes(body, LONGEST_ANSWER)
        .await
        .map_err(Problem::internal)?;
    let text = String::from_utf8_lossy(&body);
    // What was asked is done, and is told as done; a repeat is told so too.
    if let Err(error) = held
        .answer(app, (parts.status.as_u16(), text.as_ref()))
        .await
    {
        tracing::warn!(error = %error, "Could not keep the answer to a key");
    }
    Ok(Response::from_parts(parts, Body::from(body)))
}

/// Takes the key, or gives the answer that was given under it.
async fn begin(
    app: &App,
    team: TeamId,
    key: &str,
    asked: &Hash,
) -> Result<Option<Response>, Problem> {
    let database = &app.desk.database;
    let mut unanswered = 0;
    for _ in 0..LOOKS {
        let before = database.read(team).await?.posted(key).await?;
        let now = app.desk.clock.now();
        let given_up = now - GIVEN_UP;
        let open = match before {
            None => true,
            // The answer follows the deed at once, if it is kept at all.
            Some(before) if before.stage == Stage::Done && unanswered < LOOKS_FOR_ANSWER => {
                unanswered += 1;
                false
            }
            Some(before) => {
                let left = before.stage == Stage::Begun && before.posted_at < given_up;
                if let Some(answer) = again(before, asked)? {
                    return Ok(Some(answer));
                }
                left
            }
        };
        if open {
            let mut tx = database.write(team).await?;
            if tx.take_key_of_post(key, asked, (now, given_up)).await? {
                tx.commit().await?;
                return Ok(None);
            }
        }
        tokio::time::sleep(PAUSE).await;
    }
    Err(Problem::NotAllowed(
        "What was sent with this key is being done. Send it again in a while for its answer."
            .to_owned(),
    ))
}

/// A key that was taken; given back where its request goes away unanswered.
pub(super) struct Held {
    database: Database,
    team: TeamId,
    key: Option<String>,
}

impl Held {
    pub(super) fn new(app: &App, team: TeamId, key: String) -> Self {
        Self {
            database: app.desk.database.clone(),
            team,
            key: Some(key),
        }
    }

    /// What was sent under it is done.
    pub(super) fn keep(&mut self) {
        self.key = None;
    }

    async fn answer(&mut self, app: &App, answer: (u16, &str)) -> Result<(), StoreError> {
        let Some(key) = self.key.take() else {
            return Ok(());
        };
        let mut tx = self.database.write(self.team).await?;
        tx.answer_post(&key, answer, app.desk.clock.now()).await?;
        tx.commit().await
    }

    pub(super) async fn give_back(&mut self, and_done: bool) {
        if let Some(key) = self.key.take() {
            give_back(self.database.clone(), self.team, key, and_done).await;
        }
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        if let (Some(key), Ok(runtime)) = (self.key.take(), Handle::try_current()) {
            runtime.spawn(give_back(self.database.clone(), self.team, key, false));
        }
    }
}

async fn give_back(database: Database, team: TeamId, key: String, and_done: bool) {
    let given = async {
        let mut tx = database.write(team).await?;
        tx.give_key_back(&key, and_done).await?;
        tx.commit().await
    };
    if let Err(error) = given.await {
        tracing::warn!(error = %error, "Could not give a key back");
    }
}

fn readable(key: &HeaderValue) -> Result<&str, Problem> {
    key.to_str()
        .ok()
        .map(str::trim)
        .filter(|key| (1..=200).contains(&key.len()))
        .ok_or_else(|| {
            Problem::Invalid(FieldErrors::one(
                "Idempotency-Key",
                "range",
                "Write a key of 1 to 200 plain characters, such as a new UUID.",
            ))
        })
}

/// The answer that was given; none where it is still to come.
fn again(before: Posted, asked: &Hash) -> Result<Option<Response>, Problem> {
    if before.request_hash != *asked {
        return Err(Problem::Invalid(FieldErrors::one(
            "Idempotency-Key",
            "taken",
            "Another request was sent with this key. Make a new key for each new wish.",
        )));
    }
    let (status, body) = match before.stage {
        Stage::Begun => return Ok(None),
        Stage::Done => {
            return Err(Problem::NotAllowed(
                "What was sent with this key was done. Its answer is kept nowhere: it was shown once, or the server that \
                 did it ended before it was sent. Look for it in the record."
                    .to_owned(),
            ));
        }
        Stage::Answered { status, body } => (status, body),
    };
    let status = StatusCode::from_u16(status).map_err(Problem::internal)?;
    let headers = [
        (header::CONTENT_TYPE, "application/json"),
        (HeaderName::from_static("idempotent-replayed"), "true"),
    ];
    Ok(Some((status, headers, body).into_response()))
}
