//! A form makes one record, under the id that it was given when it was opened. Sent a second time as it was, it is done once;
//! sent with other words, as after a step back in the browser, or by somebody else, it is refused: else the answer to the
//! first would be taken for one to what was changed since, which is kept nowhere.

use axum::{
    body::Body,
    extract::{FromRequest, Query, Request},
    http::{Method, StatusCode, Uri, header},
    middleware::Next,
    response::Response,
};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::{App, Form, Page, Problem, Signed, listed::FormId, repeat::Held, route::Limits};
use crate::{
    domain::{Hash, ItemId, Names, TeamId},
    store::{StoreError, Tx, sent_under},
    view::sent::SentBefore,
};

const IN_FORM: &str = "What was sent from this form before, by you or by somebody else, is recorded, and what you have changed since \
     is not: a form makes one record. All that you typed stands below.";
const BY_PROGRAM: &str = "Something else, or by somebody else, was sent under this id, and is recorded; this is not. Make a new id for \
     each new record.";

/// Runs the request, unless something else was done under its id.
pub(super) async fn under_its_id(
    app: &App,
    signed: Option<&Signed>,
    limits: Limits,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let (Some(signed), Some(key)) = (signed, key_of(&request)) else {
        return Ok(next.run(request).await);
    };
    let by_program = request.uri().path().starts_with("/api/");
    let team = signed.actor.team;
    let (parts, body) = request.into_parts();
    let body = limits.whole(body).await?;
    let asked = asked(signed, &parts.uri, &body);
    let request = Request::from_parts(parts, Body::from(body));
    match sent(app, team, &key, &asked).await? {
        Sent::Otherwise if by_program => Err(Problem::NotAllowed(BY_PROGRAM.to_owned())),
        Sent::Otherwise => typed(app, signed, request).await,
        Sent::Same => Ok(next.run(request).await),
        Sent::New => {
            let mut held = Held::new(app, team, key.clone());
            let response = Box::pin(sent_under(team, key, next.run(request))).await;
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
    /// Something else was, or the same by somebody else or to another address.
    Otherwise,
}

/// Takes the id, unless it was taken before: of two at once one has it.
async fn sent(app: &App, team: TeamId, key: &str, asked: &Hash) -> Result<Sent, StoreError> {
    let database = &app.desk.database;
    let mut before = database.read(team).await?.posted(key).await?;
    if before.is_none() {
        let now = app.desk.clock.now();
        let mut tx = database.write(team).await?;
        if tx.take_key_of_post(key, asked, (now, now)).await? {
            tx.commit().await?;
            return Ok(Sent::New);
        }
        before = tx.posted(key).await?;
    }
    Ok(match before {
        Some(before) if before.request_hash == *asked => Sent::Same,
        _ => Sent::Otherwise,
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
async fn typed(app: &App, signed: &Signed, request: Request) -> Result<Response, Problem> {
    let action = anew(request.uri());
    let Form(fields) = Form::<Vec<(String, String)>>::from_request(request, app).await?;
    let shell = signed.shell("This is not recorded: the form was sent before");
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let names = names(&mut tx, &fields).await?;
    let view = SentBefore::new(shell, IN_FORM, action, fields, &names);
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
