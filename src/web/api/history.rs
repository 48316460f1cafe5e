//! The ledger, for programs: entries as they were hashed, each with its leaf and the root after it.

use axum::{Json, extract::State};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed::history,
    domain::{ItemId, JobId, Sealed},
    store::Direction,
    web::{App, Path, Problem, Query, Signed, listed::ROWS},
};

/// What stands behind the question mark of a history.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedHistory {
    before: Option<u64>,
}

/// One entry of the ledger.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct EntryJson {
    /// The sequence number, from 1; leaf `seq - 1` of the tree.
    seq: u64,
    /// The kind of the change.
    kind: String,
    /// The entry's canonical JSON (RFC 8785), the very text that was hashed.
    payload: String,
    /// The leaf hash of RFC 6962 over `payload`, in hexadecimal.
    leaf: String,
    /// The root of the tree of the first `seq` entries, in hexadecimal.
    root: String,
}

impl From<Sealed> for EntryJson {
    fn from(entry: Sealed) -> Self {
        Self {
            seq: entry.seq,
            kind: entry.kind,
            payload: entry.payload,
            leaf: hex::encode(entry.leaf),
            root: hex::encode(entry.root),
        }
    }
}

/// A part of a history, the newest first.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HistoryJson {
    entries: Vec<EntryJson>,
    /// `before` of the next part; `null` at the beginning of the history.
    next: Option<u64>,
}

impl From<Vec<Sealed>> for HistoryJson {
    fn from(entries: Vec<Sealed>) -> Self {
        let full = entries.len() >= ROWS as usize;
        let next = entries
            .last()
            .map(|entry| entry.seq)
            .filter(|seq| full && *seq > 1);
        Self {
            entries: entries.into_iter().map(EntryJson::from).collect(),
            next,
        }
    }
}

/// The history of the team
#[utoipa::path(get, path = "/api/v1/history", tag = "history", params(("before" = Option<u64>, Query)), responses(
    (status = 200, body = HistoryJson)))]
pub(in crate::web) async fn api_history(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedHistory>,
) -> Result<Json<HistoryJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    Ok(Json(tx.history(asked.before, ROWS).await?.into()))
}

/// The history of an item
#[utoipa::path(get, path = "/api/v1/items/{id}/history", tag = "history", params(("id" = Uuid, Path), ("before" = Option<u64>, Query)),
    responses((status = 200, body = HistoryJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_item_history(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(asked): Query<AskedHistory>,
) -> Result<Json<HistoryJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    let filter = history::of_item(&mut tx, &item).await?;
    let mut span = tx.entry_span(&filter).await?;
    if let Some(before) = asked.before {
        span = span.beyond(before, Direction::Down);
    }
    let entries = tx
        .sealed_entries(&filter, span, Direction::Down, ROWS)
        .await?;
    Ok(Json(entries.into()))
}

/// The history of a job
#[utoipa::path(get, path = "/api/v1/jobs/{id}/history", tag = "history", params(("id" = Uuid, Path), ("before" = Option<u64>, Query)),
    responses((status = 200, body = HistoryJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_job_history(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<AskedHistory>,
) -> Result<Json<HistoryJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.job(id).await?.ok_or(Problem::NotFound("job"))?;
    Ok(Json(tx.history_of(id.0, asked.before, ROWS).await?.into()))
}

/// How far the ledger has grown.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct LedgerJson {
    /// How many entries it has.
    size: u64,
    /// The root of the tree over them, in hexadecimal.
    root: String,
}

/// The size and the root of the team's ledger
#[utoipa::path(get, path = "/api/v1/ledger", tag = "history", responses((status = 200, body = LedgerJson)))]
pub(in crate::web) async fn api_ledger(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<LedgerJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let head = tx.head().await?.ok_or(Problem::NotFound("ledger"))?;
    Ok(Json(LedgerJson {
        size: head.size,
        root: hex::encode(head.root),
    }))
}
