//! What the register says of its gear as a whole, for programs.

use std::collections::BTreeMap;

use axum::{Json, extract::State};
use serde::Serialize;
use time::Date;
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed::trend,
    domain::{
        Bill, Kind, ModelId, Price, RetiredFor,
        date::iso,
        trend::{Ages, LotFailures, ModelFailures},
    },
    web::{
        App, Problem, Query, Signed,
        trend::{AskedKind, AskedPeriod, AskedRetired},
    },
};

/// Age of the fleet
///
/// Items that are not retired, by whole years since they were made and by kind, each by how it stands to the end of its
/// life. Where only the year or the month made is known, the age is counted from its first day.
#[utoipa::path(get, path = "/api/v1/trends/ages", tag = "trends", params(("kind" = Option<String>, Query)), responses(
    (status = 200, body = Ages), (status = 400, body = ProblemJson)))]
pub(in crate::web) async fn api_ages(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedKind>,
) -> Result<Json<Ages>, Problem> {
    let found = trend::ages(&app.desk, &signed.actor, asked.kind()?).await?;
    Ok(Json(found.ages))
}

/// What failed in some time.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct FailuresJson {
    /// The first day.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    from: Date,
    /// The last day.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    until: Date,
    /// By model.
    models: Vec<ModelFailures>,
    /// By model and lot.
    lots: Vec<LotFailures>,
}

/// What failed, by model and by lot
///
/// Examinations that ended in quarantine or retirement and events, with the items and examinations that they are counted
/// of. An empty `until` is today, an empty `from` three years before.
#[utoipa::path(get, path = "/api/v1/trends/failures", tag = "trends",
    params(("from" = Option<String>, Query), ("until" = Option<String>, Query)), responses(
    (status = 200, body = FailuresJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_failures(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedPeriod>,
) -> Result<Json<FailuresJson>, Problem> {
    let found = trend::failures(&app.desk, &signed.actor, &asked.period()).await?;
    let (from, until) = found.days;
    Ok(Json(FailuresJson {
        from,
        until,
        models: found.by_model,
        lots: found.by_lot,
    }))
}

/// Items of one kind that were retired on one day for one thing.
#[derive(Serialize, ToSchema)]
struct RetiredJson {
    kind: Kind,
    because: RetiredFor,
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    on: Date,
    items: u32,
}

/// What was retired.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RetirementsJson {
    /// How many, by what for, day and kind.
    groups: Vec<RetiredJson>,
}

/// What was retired, and for what
#[utoipa::path(get, path = "/api/v1/trends/retired", tag = "trends",
    params(("kind" = Option<String>, Query), ("because" = Option<String>, Query), ("year" = Option<String>, Query)),
    responses((status = 200, body = RetirementsJson), (status = 400, body = ProblemJson)))]
pub(in crate::web) async fn api_retired(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedRetired>,
) -> Result<Json<RetirementsJson>, Problem> {
    let found = trend::retired(&app.desk, &signed.actor, asked.filter()?).await?;
    let groups = found.groups.into_iter().map(|group| RetiredJson {
        kind: group.kind,
        because: group.because,
        on: group.on,
        items: group.items,
    });
    Ok(Json(RetirementsJson {
        groups: groups.collect(),
    }))
}

/// What ends in one month of one model.
#[derive(Serialize, ToSchema)]
struct EndsJson {
    /// The month, such as `2026-03`; `null` is what is over already.
    month: Option<String>,
    model: ModelId,
    kind: Option<Kind>,
    items: u32,
    /// The price on the model, as `129.90 EUR`; `null` where it has none.
    #[schema(value_type = Option<String>)]
    price: Option<String>,
    /// The sum in each currency, in plain digits.
    cost: BTreeMap<String, String>,
    /// Items with no price on record.
    unpriced: u32,
}

/// Items of a model whose maker limits its use.
#[derive(Serialize, ToSchema)]
struct UsesJson {
    model: ModelId,
    items: u32,
    used_up: u32,
    /// With 90 % or more used.
    near: u32,
}

/// What ends ahead.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct AheadJson {
    /// The last day that is looked at: 36 months from today.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    until: Date,
    /// By month and model.
    ends: Vec<EndsJson>,
    /// By use; when it is used up is not told.
    uses: Vec<UsesJson>,
    /// Items whose life ends later.
    later: u32,
    /// Items whose life no day ends: the condition decides, or the end cannot be told.
    open: u32,
}

fn sums(bill: &Bill) -> BTreeMap<String, String> {
    let sums = bill.sums();
    sums.map(|(currency, amount)| (currency.to_owned(), amount))
        .collect()
}

/// What reaches its end in the next 36 months
///
/// By month and model, with the price on the model where it has one. Currencies are not converted.
#[utoipa::path(get, path = "/api/v1/trends/ahead", tag = "trends", params(("kind" = Option<String>, Query)), responses(
    (status = 200, body = AheadJson), (status = 400, body = ProblemJson)))]
pub(in crate::web) async fn api_ahead(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedKind>,
) -> Result<Json<AheadJson>, Problem> {
    let found = trend::ahead(&app.desk, &signed.actor, asked.kind()?).await?;
    let ends = found.ahead.rows.iter().map(|row| {
        let model = found.models.get(&row.model);
        EndsJson {
            month: row.month.clone(),
            model: row.model,
            kind: model.map(|model| model.kind),
            items: row.bill.items,
            price: model
                .and_then(|model| model.price.as_ref())
                .map(Price::to_string),
            cost: sums(&row.bill),
            unpriced: row.bill.unpriced,
        }
    });
    let uses = found.uses.iter().map(|of| UsesJson {
        model: of.model,
        items: of.items,
        used_up: of.used_up,
        near: of.near,
    });
    Ok(Json(AheadJson {
        until: found.ahead.until,
        ends: ends.collect(),
        uses: uses.collect(),
        later: found.ahead.later,
        open: found.ahead.open,
    }))
}
