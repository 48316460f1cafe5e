//! A form makes one record, under the id that it was given when it was opened. Sent a second time as it was, it is done once;
//! sent with other words, as after a step back in the browser, or by somebody else, it is refused: else the answer to the
//! first would be taken for one to what was changed since, which is kept nowhere.

use std::collections::HashMap;

use axum::{
    body::Body,
    extract::{FromRequest, Query, Request},
    http::{Method, StatusCode, Uri, header},
    middleware::Next,
    response::Response,
};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::{
    App, Form, Page, Problem, Signed,
    listed::FormId,
    repeat::{GIVEN_UP, Held},
    route::Limits,
};
use crate::{
    deed::{self, DeedError},
    domain::{Hash, ItemId, ListEdition, Names, TeamId, function_sheet},
    store::{Stage, StoreError, Tx, sent_under},
    view::sent::SentBefore,
};

const IN_FORM: &str = "What was sent from this form before, by you or by somebody else, is recorded, and what you have changed since \
     is not: a form makes one record. All that you typed stands below.";
const BEGUN: &str = "Something else, or by somebody else, was sent under this id just before. As long as it is not answered nothing of \
     it is recorded, and nothing of this is. Send this again in 10 minutes at the latest, or under an id of its own at once.";
const BY_PROGRAM: &str = "Something else, or by somebody else, was sent under this id, and is recorded; this is not. Make a new id for \
     each new record.";

/// Runs the request, unless something else was done under its id; `key` is what it was sent under besides.
pub(super) async fn under_its_id(
    (app, signed): (&App, Option<&Signed>),
    limits: Limits,
    request: Request,
    next: Next,
    key: Option<String>,
) -> Result<Response, Problem> {
    let mut keys: Vec<String> = key.into_iter().collect();
    let Some(signed) = signed else {
        return Ok(next.run(request).await);
    };
    let Some(key) = key_of(&request) else {
        return Ok(Box::pin(sent_under(signed.actor.team, keys, next.run(request))).await);
    };
    keys.push(key.clone());
    let by_program = request.uri().path().starts_with("/api/");
    let team = signed.actor.team;
    let (parts, body) = request.into_parts();
    let body = limits.whole(body).await?;
    let asked = asked(signed, &parts.uri, &body);
    let request = Request::from_parts(parts, Body::from(body));
    match sent(app, team, &key, &asked).await? {
        Sent::Otherwise(stage) if by_program => {
            let words = if stage == Stage::Begun {
                BEGUN
            } else {
                BY_PROGRAM
            };
            Err(Problem::NotAllowed(words.to_owned()))
        }
        Sent::Otherwise(stage) => {
            let why = if stage == Stage::Begun {
                BEGUN
            } else {
                IN_FORM
            };
            typed(app, signed, request, why).await
        }
        // Where a server ended between taking the id and the work, this is the work.
        Sent::Same => Ok(Box::pin(sent_under(team, keys, next.run(request))).await),
        Sent::New => {
            let mut held = Held::new(app, team, key);
            let response = Box::pin(sent_under(team, keys, next.run(request))).await;
            // A page that is shown again has recorded nothing.
            let is_done = match response.status() {
                StatusCode::SEE_OTHER => true,
                status => by_program && status.is_success(),
            };
            if is_done {
                held.keep();
            } else {
                held.give_back(!response.status().is_server_error()).await;
            }
            Ok(response)
        }
    }
}

/// What is known of an id at the moment at which something is sent under it.
enum Sent {
    /// Nothing: it is taken now.
    New,
    /// The same was sent before.
    Same,
    /// Something else was, or the same by somebody else or to another address; how far that is.
    Otherwise(Stage),
}

/// Takes the id, unless it was taken before: of two at once one has it. From who kept nothing under it for so long
/// that the server which did the work must have ended it is taken over.
async fn sent(app: &App, team: TeamId, key: &str, asked: &Hash) -> Result<Sent, StoreError> {
    let database = &app.desk.database;
    let mut before = database.read(team).await?.posted(key).await?;
    let now = app.desk.clock.now();
    let given_up = now - GIVEN_UP;
    let is_left = before
        .as_ref()
        .is_some_and(|before| before.stage == Stage::Begun && before.posted_at < given_up);
    if before.is_none() || is_left {
        let mut tx = database.write(team).await?;
        if tx.take_key_of_post(key, asked, (now, given_up)).await? {
            tx.commit().await?;
            return Ok(Sent::New);
        }
        before = tx.posted(key).await?;
    }
    Ok(match before {
        Some(before) if before.request_hash == *asked => Sent::Same,
        Some(before) => Sent::Otherwise(before.stage),
        None => Sent::Otherwise(Stage::Begun),
    })
}

/// Who asks for what and where, in whichever letters the ids of the address are written.
fn asked(signed: &Signed, uri: &Uri, body: &[u8]) -> Hash {
    let mut hash = Sha256::new();
    hash.update(signed.actor.person.0);
    hash.update(uri.path().to_ascii_lowercase());
    hash.update([0]);
    hash.update(body);
    hash.finalize().into()
}

/// What was typed into a form that made its record already, to be sent under an id of its own.
async fn typed(
    app: &App,
    signed: &Signed,
    request: Request,
    why: &str,
) -> Result<Response, Problem> {
    let action = anew(request.uri());
    let Form(fields) = Form::<Vec<(String, String)>>::from_request(request, app).await?;
    let shell = signed.shell("This is not recorded: the form was sent before");
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let names = names(&mut tx, &fields).await?;
    let asks = asks(&mut tx, &fields).await?;
    let view = SentBefore::new(shell, why, action, fields, (&names, &asks));
    Ok(Page::again(StatusCode::CONFLICT, view))
}

/// The names of the items, people and stores that the fields name by their ids.
async fn names(tx: &mut Tx, fields: &[(String, String)]) -> Result<Names, StoreError> {
    let texts = fields.iter().flat_map(|(name, text)| {
        let parts = name.split(['[', ']']);
        parts.chain([text.as_str()])
    });
    let ids: Vec<ItemId> = texts.filter_map(|text| text.parse().ok()).collect();
    let mut names = Names::default();
    names.add(tx.items_of(&ids).await?.into_values(), |item| {
        (item.id.0, item.mark)
    });
    names.add(tx.people().await?, |person| (person.id.0, person.name));
    names.add(tx.stores().await?, |store| (store.id.0, store.name));
    Ok(names)
}

/// What is asked under each key of the list that the fields answer: that of an examination, which they name, or of a
/// function check.
async fn asks(
    tx: &mut Tx,
    fields: &[(String, String)],
) -> Result<HashMap<String, String>, Problem> {
    let mut named = fields.iter().filter(|(name, _)| name == "checklist");
    let edition = named.find_map(|(_, text)| text.trim().parse::<ListEdition>().ok());
    let Some(edition) = edition else {
        let lines = function_sheet().check.iter();
        return Ok(lines
            .map(|line| (line.key.clone(), line.asks.clone()))
            .collect());
    };
    let criteria = match deed::checklist::of_edition(tx, edition).await {
        Ok(list) => list.criteria,
        Err(DeedError::NotFound(_)) => Vec::new(),
        Err(other) => return Err(other.into()),
    };
    let criteria = criteria.into_iter();
    Ok(criteria.map(|one| (one.key, one.words)).collect())
}

/// The same address with a new id.
fn anew(uri: &Uri) -> String {
    let pairs = uri.query().unwrap_or_default().split('&');
    let pairs = pairs.filter(|pair| !pair.is_empty() && !pair.starts_with("id="));
    let new = format!("id={}", Uuid::now_v7());
    let pairs: Vec<&str> = pairs.chain([new.as_str()]).collect();
    format!("{}?{}", uri.path(), pairs.join("&"))
}

/// What a post is kept under that brings an id; none where it brings a file, which is told apart by its own hash.
fn key_of(request: &Request) -> Option<String> {
    if request.method() != Method::POST {
        return None;
    }
    let kind = request.headers().get(header::CONTENT_TYPE)?.to_str().ok()?;
    let is_text = ["application/x-www-form-urlencoded", "application/json"];
    if !is_text.iter().any(|one| kind.starts_with(one)) {
        return None;
    }
    let Query(asked): Query<FormId> = Query::try_from_uri(request.uri()).ok()?;
    // Records are known by their id alone, whatever address they were made at.
    Some(format!("id {}", asked.given()?))
}
