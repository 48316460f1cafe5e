//! Checkpoints of the ledger and proofs over its tree, for programs and witnesses.

use axum::{Json, extract::State, http::StatusCode, response::IntoResponse};
use serde::{Deserialize, Serialize};
use time::OffsetDateTime;
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed::checkpoint,
    domain::{LedgerKey, Witness, WitnessDraft, WitnessId},
    store::KeptCheckpoint,
    web::{App, JsonBody, Path, Problem, Query, Signed, checkpoint::plain, listed::FormId},
};

/// How far the ledger had grown, signed.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CheckpointJson {
    /// How many entries it had.
    size: u64,
    /// When it was made, in UTC.
    #[serde(with = "time::serde::rfc3339")]
    made_at: OffsetDateTime,
    /// The signed note: name of the ledger, size, root in base64, an empty line, a line for each signature.
    note: String,
}

impl From<KeptCheckpoint> for CheckpointJson {
    fn from(kept: KeptCheckpoint) -> Self {
        Self {
            size: kept.size,
            made_at: kept.made_at,
            note: kept.note,
        }
    }
}

/// What stands behind the question mark of the list.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedCheckpoints {
    before: Option<u64>,
}

/// Checkpoints, the newest first
#[utoipa::path(get, path = "/api/v1/checkpoints", tag = "history",
    params(("before" = Option<u64>, Query, description = "Only those of fewer entries")),
    responses((status = 200, body = Vec<CheckpointJson>)))]
pub(in crate::web) async fn api_checkpoints(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedCheckpoints>,
) -> Result<Json<Vec<CheckpointJson>>, Problem> {
    let checkpoints = checkpoint::page(&app.desk, &signed.actor, asked.before).await?;
    let checkpoints = checkpoints.into_iter();
    Ok(Json(checkpoints.map(CheckpointJson::from).collect()))
}

/// Make a checkpoint
///
/// Of the ledger as it stands; where there is one of as many entries, that one.
#[utoipa::path(post, path = "/api/v1/checkpoints", tag = "history",
    responses((status = 200, body = CheckpointJson), (status = 409, body = ProblemJson)))]
pub(in crate::web) async fn api_make_checkpoint(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<CheckpointJson>, Problem> {
    let made = checkpoint::make(&app.desk, &signed.actor, app.signing.as_ref()).await?;
    Ok(Json(made.into()))
}

/// The newest checkpoint, as text
#[utoipa::path(get, path = "/api/v1/checkpoints/latest", tag = "history",
    responses((status = 200, body = String, content_type = "text/plain"), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_latest_checkpoint(
    State(app): State<App>,
    signed: Signed,
) -> Result<impl IntoResponse, Problem> {
    let kept = checkpoint::show(&app.desk, &signed.actor, None).await?;
    Ok(plain(kept.note))
}

/// The checkpoint of exactly so many entries
#[utoipa::path(get, path = "/api/v1/checkpoints/{size}", tag = "history", params(("size" = u64, Path)),
    responses((status = 200, body = CheckpointJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_checkpoint(
    State(app): State<App>,
    signed: Signed,
    Path(size): Path<u64>,
) -> Result<Json<CheckpointJson>, Problem> {
    let kept = checkpoint::show(&app.desk, &signed.actor, Some(size)).await?;
    Ok(Json(kept.into()))
}

/// A note that came back signed.
#[derive(Deserialize, ToSchema)]
pub(in crate::web) struct SignedNoteJson {
    /// The whole note.
    note: String,
}

/// Whose signatures were taken over.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct TakenOverJson {
    /// The names of their keys.
    witnesses: Vec<String>,
}

/// Bring a witness's signature
///
/// The whole note with the new line, of the kind cosignature/v1. Its moment lies between that of the checkpoint and now, give
/// or take 5 minutes; one line of each key is kept, the first.
#[utoipa::path(post, path = "/api/v1/checkpoints/{size}/signatures", tag = "history", params(("size" = u64, Path)),
    request_body = SignedNoteJson, responses((status = 200, body = TakenOverJson),
    (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_witness_checkpoint(
    State(app): State<App>,
    signed: Signed,
    Path(size): Path<u64>,
    JsonBody(given): JsonBody<SignedNoteJson>,
) -> Result<Json<TakenOverJson>, Problem> {
    let by = checkpoint::witnessed(&app.desk, &signed.actor, size, &given.note).await?;
    let witnesses = by.into_iter().map(|one| one.name).collect();
    Ok(Json(TakenOverJson { witnesses }))
}

/// A key that signs checkpoints.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct LedgerKeyJson {
    /// The entry that took it; it signs from there on.
    seq: u64,
    /// Whether the key before it signed the checkpoint with that entry too, so that whoever trusts that one can go on;
    /// `null` of the first.
    vouched: Option<bool>,
    #[serde(flatten)]
    key: LedgerKey,
}

/// The keys that sign checkpoints, the newest first
#[utoipa::path(get, path = "/api/v1/ledger/keys", tag = "history", responses((status = 200, body = Vec<LedgerKeyJson>)))]
pub(in crate::web) async fn api_ledger_keys(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<Vec<LedgerKeyJson>>, Problem> {
    let keys = checkpoint::keys(&app.desk, &signed.actor).await?;
    let keys = keys.into_iter();
    let keys = keys.map(|(seq, key, vouched)| LedgerKeyJson { seq, vouched, key });
    Ok(Json(keys.collect()))
}

/// Why something is done.
#[derive(Deserialize, ToSchema)]
pub(in crate::web) struct ReasonJson {
    /// The reason; it is kept in the history.
    reason: String,
}

/// Take the next key
///
/// It signs from here on; its first checkpoint is signed by the one before it too, where this server has the secret of that
/// one. The next key comes from the server's secret: where that got out, the server gets another one first.
#[utoipa::path(post, path = "/api/v1/ledger/keys", tag = "history", request_body = ReasonJson,
    responses((status = 201, body = LedgerKey), (status = 403, body = ProblemJson), (status = 409, body = ProblemJson),
    (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_take_ledger_key(
    State(app): State<App>,
    signed: Signed,
    JsonBody(given): JsonBody<ReasonJson>,
) -> Result<(StatusCode, Json<LedgerKey>), Problem> {
    let secret = app.signing.as_ref();
    let key = checkpoint::take_key(&app.desk, &signed.actor, secret, &given.reason).await?;
    Ok((StatusCode::CREATED, Json(key)))
}

/// Who else is, or was, asked to sign checkpoints
#[utoipa::path(get, path = "/api/v1/ledger/witnesses", tag = "history", responses((status = 200, body = Vec<Witness>)))]
pub(in crate::web) async fn api_witnesses(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<Vec<Witness>>, Problem> {
    let signers = checkpoint::signers(&app.desk, &signed.actor).await?;
    Ok(Json(signers.witnesses))
}

/// Name a witness
#[utoipa::path(post, path = "/api/v1/ledger/witnesses", tag = "history", request_body = WitnessDraft,
    responses((status = 201, body = Witness), (status = 403, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_name_witness(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<WitnessDraft>,
) -> Result<(StatusCode, Json<Witness>), Problem> {
    let id = WitnessId(given.id());
    let witness = checkpoint::name_witness(&app.desk, &signed.actor, id, &draft).await?;
    Ok((StatusCode::CREATED, Json(witness)))
}

/// Ask a witness no longer
#[utoipa::path(post, path = "/api/v1/ledger/witnesses/{id}/end", tag = "history", params(("id" = Uuid, Path)),
    request_body = ReasonJson, responses((status = 204), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_end_witness(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<WitnessId>,
    JsonBody(given): JsonBody<ReasonJson>,
) -> Result<StatusCode, Problem> {
    checkpoint::end_witness(&app.desk, &signed.actor, id, &given.reason).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// What an inclusion is asked of.
#[derive(Debug, Deserialize)]
pub(in crate::web) struct AskedInclusion {
    seq: u64,
    size: Option<u64>,
}

/// That an entry is in the ledger.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct InclusionJson {
    /// The entry's sequence number; leaf `seq - 1`.
    seq: u64,
    /// The entry's leaf hash, in hexadecimal.
    leaf: String,
    /// How many entries the tree has.
    size: u64,
    /// Its root, in hexadecimal.
    root: String,
    /// The hashes from the leaf to the root, in hexadecimal: RFC 6962, section 2.1.1.
    proof: Vec<String>,
}

/// Prove that an entry is in the ledger
#[utoipa::path(get, path = "/api/v1/ledger/inclusion", tag = "history", params(
    ("seq" = u64, Query, description = "The entry"),
    ("size" = Option<u64>, Query, description = "In the tree of so many entries; of all without it")),
    responses((status = 200, body = InclusionJson), (status = 400, body = ProblemJson)))]
pub(in crate::web) async fn api_prove_inclusion(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedInclusion>,
) -> Result<Json<InclusionJson>, Problem> {
    let one = checkpoint::inclusion(&app.desk, &signed.actor, asked.seq, asked.size).await?;
    Ok(Json(InclusionJson {
        seq: one.seq,
        leaf: hex::encode(one.leaf),
        size: one.size,
        root: hex::encode(one.root),
        proof: one.proof.iter().map(hex::encode).collect(),
    }))
}

/// What a consistency is asked of.
#[derive(Debug, Deserialize)]
pub(in crate::web) struct AskedConsistency {
    old: u64,
    new: Option<u64>,
}

/// That an older ledger is the beginning of a newer one.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ConsistencyJson {
    /// How many entries the older one has.
    old: u64,
    /// Its root, in hexadecimal.
    old_root: String,
    /// How many the newer one has.
    new: u64,
    /// Its root, in hexadecimal.
    new_root: String,
    /// The hashes that lead to both roots, in hexadecimal: RFC 6962, section 2.1.2.
    proof: Vec<String>,
}

/// Prove that an older ledger is the beginning of a newer one
#[utoipa::path(get, path = "/api/v1/ledger/consistency", tag = "history", params(
    ("old" = u64, Query, description = "How many entries the older one has"),
    ("new" = Option<u64>, Query, description = "How many the newer one has; all without it")),
    responses((status = 200, body = ConsistencyJson), (status = 400, body = ProblemJson)))]
pub(in crate::web) async fn api_prove_consistency(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedConsistency>,
) -> Result<Json<ConsistencyJson>, Problem> {
    let one = checkpoint::consistency(&app.desk, &signed.actor, asked.old, asked.new).await?;
    Ok(Json(ConsistencyJson {
        old: one.old.0,
        old_root: hex::encode(one.old.1),
        new: one.new.0,
        new_root: hex::encode(one.new.1),
        proof: one.proof.iter().map(hex::encode).collect(),
    }))
}
