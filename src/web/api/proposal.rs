//! A kit put together for a job, for programs.

use axum::{Json, extract::State, http::StatusCode, response::IntoResponse, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed::{
        self, DeedError,
        kit::{Added, Proposed, Put, Source},
    },
    domain::{
        JobId, KitLine, KitLineDraft, KitLineId, StoreId,
        kit_strength::{KitVerdict, Rest},
        proposal::{Lacking, Missing, Pick},
    },
    web::{App, JsonBody, Path, Problem, Query, Signed},
};

/// Where items are taken from.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedProposal {
    store: Option<StoreId>,
}

/// A kit that would do, or as much of one as can be put together
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ProposalJson {
    /// Whether every position that must be is filled and the kit is strong enough.
    is_whole: bool,
    /// An item for a position each.
    picks: Vec<Pick>,
    /// The lines that may not go beside a line whose place something is picked for, and that stay: a rope and a device that do
    /// not take each other, of which one is enough to change.
    #[schema(value_type = Vec<Uuid>)]
    stays: Vec<KitLineId>,
    /// The positions that nothing can be taken for, and why.
    missing: Vec<Missing>,
    /// The same of what people hang in, where people hang on the rope: these may stay empty, and are then not judged.
    unworn: Vec<Missing>,
    /// The models whose records lack something for one of these.
    lacking: Vec<Lacking>,
    /// The stores that the picks lie in, beyond those of the items that are on the list.
    #[schema(value_type = Vec<Uuid>)]
    stores: Vec<StoreId>,
    /// The bags in stores that they lie in, likewise.
    #[schema(value_type = Vec<Uuid>)]
    bags: Vec<StoreId>,
    /// Whether it was proved that no fewer stores would do, no fewer bags of as few, and that no cheaper choice from as few exists.
    is_least: bool,
    /// How many items were looked at.
    looked_at: usize,
    /// How many of them may go on the job at all.
    fit: usize,
    /// Whether the kit with the picks is strong enough.
    #[schema(value_type = Object)]
    verdict: KitVerdict,
    /// Where a position stays empty: what can be judged of the others all the same, and what not.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    rest: Option<Rest>,
}

impl From<Proposed> for ProposalJson {
    fn from(proposed: Proposed) -> Self {
        let proposal = proposed.proposal;
        Self {
            stays: proposed.stays.iter().map(|entry| entry.line.id).collect(),
            is_whole: proposal.is_whole(),
            picks: proposal.picks,
            missing: proposal.missing,
            unworn: proposal.unworn,
            lacking: proposal.lacking,
            stores: proposal.stores,
            bags: proposal.bags,
            is_least: proposal.is_least,
            looked_at: proposal.looked_at,
            fit: proposal.fit,
            verdict: proposal.verdict,
            rest: proposal.rest,
        }
    }
}

/// Propose a kit for the open positions of a job
///
/// Every rule holds at once, ropes and devices against each other among them. A position whose item may not go is open too:
/// `instead_of` of its pick names the line whose place it takes. Nothing is stored.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/proposal", tag = "jobs", params(("id" = Uuid, Path),
    ("store" = Option<Uuid>, Query, description = "The only store to take items from; all of them if it is left out")),
    responses((status = 200, body = ProposalJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_propose(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<AskedProposal>,
) -> Result<Json<ProposalJson>, Problem> {
    let source = Source {
        store: asked.store,
        ..Source::default()
    };
    let proposed = deed::kit::propose(&app.desk, &signed.actor, id, source).await?;
    Ok(Json(proposed.into()))
}

/// One of several lines
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::web) struct NewLine {
    /// The id that the line gets; a new one if it is left out.
    #[schema(value_type = Option<Uuid>)]
    #[serde(default)]
    id: Option<KitLineId>,
    /// The item's id or its mark.
    item: String,
    /// The position's key; empty is a spare.
    #[serde(default)]
    position: String,
    /// The line whose item it takes the place of: that one goes off the list.
    #[schema(value_type = Option<Uuid>)]
    #[serde(default)]
    instead_of: Option<KitLineId>,
}

/// Several lines at once
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::web) struct NewLines {
    /// The lines, each judged beside those before it.
    lines: Vec<NewLine>,
}

/// Put several items on a kit list, all or none
///
/// A refusal names every reason of every item that may not go, the attempts are kept. Where a line of `instead_of` was taken
/// off the list meanwhile, the answer is 409 with who took it off, when, and what stands there now; 404 where there never was
/// such a line. What the same person sent before under the same ids stays as it is, and is answered alike; where the id of a
/// line was used for another item, position or job, or by somebody else, the answer is 409 and none of them all is put on.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/kit/lines", tag = "jobs", params(("id" = Uuid, Path)),
    request_body = NewLines, responses((status = 201, body = Vec<KitLine>), (status = 404, body = ProblemJson), (status = 409, body = ProblemJson),
        (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_lines(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    JsonBody(new): JsonBody<NewLines>,
) -> Result<Response, Problem> {
    let lines = new.lines.into_iter().map(|line| Put {
        line: line.id.unwrap_or_else(KitLineId::new),
        draft: KitLineDraft {
            item: line.item,
            position: line.position,
        },
        instead_of: line.instead_of,
    });
    let lines: Vec<_> = lines.collect();
    match deed::kit::add_all(&app.desk, &signed.actor, id, &lines).await? {
        Added::All(lines) => Ok((StatusCode::CREATED, Json(lines)).into_response()),
        Added::Refused(refused) => {
            let refusals = refused.into_iter().flat_map(|one| one.refusals).collect();
            Err(DeedError::Refused(refusals).into())
        }
    }
}
