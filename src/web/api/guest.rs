//! Links of outside auditors, for programs.

use axum::{
    Extension, Json,
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use serde::Serialize;
use time::OffsetDateTime;
use utoipa::ToSchema;

use super::{ProblemJson, Shown, created};
use crate::{
    deed::{self, guest::WithdrawalDraft},
    domain::{GuestLink, GuestLinkDraft, GuestLinkId, KeptGuest},
    web::{
        App, JsonBody, Path, Problem, Query, Signed,
        guest::link_address,
        listed::{FormId, ROWS, cursor},
        repeat::ShownOnce,
    },
};

/// A link of an outside auditor.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct GuestLinkJson {
    /// The record.
    record: GuestLink,
    /// How it stands today: `not-yet`, `open`, `shut` (whoever made it may no longer sign in), `ended` or `withdrawn`.
    state: &'static str,
    /// The name of whoever made it.
    made_by: String,
    /// How many reads by it have been noted.
    reads: u64,
    /// When it was read by last.
    #[serde(with = "time::serde::rfc3339::option")]
    last_read_at: Option<OffsetDateTime>,
    /// How many of the reads the ledger has taken up.
    taken_up: u64,
}

fn json(app: &App, signed: &Signed, kept: KeptGuest) -> GuestLinkJson {
    let standing = kept.link.standing(signed.today(app), kept.maker_active);
    GuestLinkJson {
        record: kept.link,
        state: standing.key(),
        made_by: kept.maker,
        reads: kept.reads,
        last_read_at: kept.last_read_at,
        taken_up: kept.counted,
    }
}

/// A page of links.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct GuestLinksJson {
    /// The links, the newest first.
    links: Vec<GuestLinkJson>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

/// A link that was just made.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct NewGuestLinkJson {
    #[serde(flatten)]
    link: GuestLinkJson,
    /// What opens it, shown this once. Without the server's own address where the server was not told it.
    address: String,
}

/// One read by a link.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct GuestReadJson {
    /// Its number, from 1.
    number: u64,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    at: OffsetDateTime,
    /// The method.
    method: String,
    /// The address; what stands behind its question mark is left out where it was refused.
    path: String,
    /// The status of the answer.
    status: u16,
    /// The name of the file that was taken along.
    file: Option<String>,
    /// SHA-256 of the chain of the read before it (32 zero bytes before the first) and of the canonical JSON (RFC 8785)
    /// of the other members, in hexadecimal.
    chain: String,
}

/// A page of reads.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct GuestReadsJson {
    /// The reads, the last first.
    reads: Vec<GuestReadJson>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

/// What came of holding the reads against each other and against the ledger.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HeldReadsJson {
    /// Whether everything agrees.
    agrees: bool,
    /// What does not.
    fault: Option<String>,
    /// How many reads have been noted.
    reads: u64,
    /// How many of them the ledger has taken up.
    taken_up: u64,
    /// The entry that did so last.
    entry: Option<u64>,
}

/// Links of outside auditors, the newest first
///
/// For administrators and auditors.
#[utoipa::path(get, path = "/api/v1/guest-links", tag = "people",
    params(("after" = Option<String>, Query, description = "The `next` of the page before")),
    responses((status = 200, body = GuestLinksJson), (status = 403, body = ProblemJson)))]
pub(in crate::web) async fn api_guest_links(
    State(app): State<App>,
    signed: Signed,
    Query(shown): Query<Shown>,
) -> Result<Json<GuestLinksJson>, Problem> {
    let after = cursor(&shown.after)?;
    let (page, _) = deed::guest::list(&app.desk, &signed.actor, after.as_ref(), ROWS).await?;
    let links = page.rows.into_iter();
    Ok(Json(GuestLinksJson {
        links: links.map(|kept| json(&app, &signed, kept)).collect(),
        next: page.next.map(|next| next.to_string()),
    }))
}

/// Let an outside auditor in
///
/// `from` and `until` are days on the team's clocks, such as `2026-03-01`; `from` may be empty for today, and 90 days are
/// the most. The address is in this answer and in no other, a repeated one under the same `Idempotency-Key` included:
/// give an `id`, so that what is sent twice is made once.
#[utoipa::path(post, path = "/api/v1/guest-links", tag = "people", params(("id" = Option<Uuid>, Query)),
    request_body = GuestLinkDraft, responses((status = 201, body = NewGuestLinkJson), (status = 403, body = ProblemJson),
        (status = 409, body = ProblemJson, description = "There is a link of this id"), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_make_guest_link(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<GuestLinkDraft>,
) -> Result<Response, Problem> {
    let id = GuestLinkId(given.id());
    let secret = deed::guest::make(&app.desk, &signed.actor, id, &draft).await?;
    let (kept, _) = deed::guest::show(&app.desk, &signed.actor, id).await?;
    let made = NewGuestLinkJson {
        link: json(&app, &signed, kept),
        address: link_address(&app, &secret),
    };
    let headers = [(header::CACHE_CONTROL, "no-store")];
    Ok((Extension(ShownOnce), headers, created("1", made)).into_response())
}

/// One link
#[utoipa::path(get, path = "/api/v1/guest-links/{id}", tag = "people", params(("id" = Uuid, Path)),
    responses((status = 200, body = GuestLinkJson), (status = 403, body = ProblemJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_guest_link(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<GuestLinkId>,
) -> Result<Json<GuestLinkJson>, Problem> {
    let (kept, _) = deed::guest::show(&app.desk, &signed.actor, id).await?;
    Ok(Json(json(&app, &signed, kept)))
}

/// What was read by a link, the last first
#[utoipa::path(get, path = "/api/v1/guest-links/{id}/reads", tag = "people",
    params(("id" = Uuid, Path), ("after" = Option<String>, Query, description = "The `next` of the page before")),
    responses((status = 200, body = GuestReadsJson), (status = 403, body = ProblemJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_guest_reads(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<GuestLinkId>,
    Query(shown): Query<Shown>,
) -> Result<Json<GuestReadsJson>, Problem> {
    let after = cursor(&shown.after)?;
    let page = deed::guest::reads(&app.desk, &signed.actor, id, after.as_ref(), ROWS).await?;
    let reads = page.rows.into_iter().map(|(read, chain)| GuestReadJson {
        number: read.number,
        at: read.at,
        method: read.method,
        path: read.path,
        status: read.status,
        file: read.file,
        chain: hex::encode(chain),
    });
    Ok(Json(GuestReadsJson {
        reads: reads.collect(),
        next: page.next.map(|next| next.to_string()),
    }))
}

/// Hold what was read against the ledger
///
/// Works out the chain of every noted read again, and compares it with what the ledger took up last.
#[utoipa::path(get, path = "/api/v1/guest-links/{id}/reads/check", tag = "people", params(("id" = Uuid, Path)),
    responses((status = 200, body = HeldReadsJson), (status = 403, body = ProblemJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_hold_guest_reads(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<GuestLinkId>,
) -> Result<Json<HeldReadsJson>, Problem> {
    let held = deed::guest::hold(&app.desk, &signed.actor, id).await?;
    Ok(Json(HeldReadsJson {
        agrees: held.fault.is_none(),
        fault: held.fault,
        reads: held.reads,
        taken_up: held.taken_up.map_or(0, |(_, reads)| reads),
        entry: held.taken_up.map(|(seq, _)| seq),
    }))
}

/// Withdraw a link
///
/// For good and at once: whoever reads by it is turned out at their next step.
#[utoipa::path(post, path = "/api/v1/guest-links/{id}/withdraw", tag = "people", params(("id" = Uuid, Path)),
    request_body = WithdrawalDraft, responses((status = 200, body = GuestLinkJson), (status = 403, body = ProblemJson),
        (status = 404, body = ProblemJson), (status = 409, body = ProblemJson, description = "It was withdrawn, or has ended"),
        (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_withdraw_guest_link(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<GuestLinkId>,
    JsonBody(draft): JsonBody<WithdrawalDraft>,
) -> Result<Json<GuestLinkJson>, Problem> {
    deed::guest::withdraw(&app.desk, &signed.actor, id, &draft).await?;
    let (kept, _) = deed::guest::show(&app.desk, &signed.actor, id).await?;
    Ok(Json(json(&app, &signed, kept)))
}
