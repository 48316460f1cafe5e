//! The due board: as a page, as a file, for programs.

use axum::{Json, extract::State};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{App, Page, Problem, Query, Signed, api::ProblemJson, export::offered};
use crate::{
    deed,
    domain::{Board, Deed, Group, Line, Split, date::write_day},
    view::{Section, board::DueBoard},
};

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    by: String,
}

impl Asked {
    /// By what it is split.
    pub fn split(&self) -> Result<Split, Problem> {
        Split::from_key(&self.by).ok_or_else(|| {
            let given: String = self.by.chars().take(40).collect();
            Problem::Unreadable(format!(
                "The board is split by \"store\" or by \"kind\", not by \"{given}\"."
            ))
        })
    }
}

/// The board.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<DueBoard>, Problem> {
    let split = asked.split()?;
    let board = deed::board::show(&app.desk, &signed.actor, split).await?;
    let shell = signed.shell_in(Section::Due, "What falls due");
    let may_export = signed.actor.role.may(Deed::Export);
    let file = may_export.then(|| offered("due", &[("by", split.key())]));
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let looks = tx.looks_asked().await?;
    Ok(Page(DueBoard::new(shell, &board, file).with_looks(looks)))
}

/// What falls due and what ends, by weeks and months.
#[derive(Serialize, ToSchema)]
pub(super) struct BoardJson {
    /// The day.
    today: String,
    /// `store` or `kind`.
    by: &'static str,
    /// The stores or kinds that are on it.
    groups: Vec<Group>,
    /// How many items in service it counts.
    items: u64,
    /// What is over, 12 weeks, 24 months, what comes later, what has no day. The days of a week are in their month too.
    lines: Vec<LineJson>,
}

/// One line.
#[derive(Serialize, ToSchema)]
pub(super) struct LineJson {
    /// `overdue`, `week`, `month`, `later` or `never`.
    period: &'static str,
    /// The first day, if it has one.
    from: Option<String>,
    /// The last day, if it has one.
    to: Option<String>,
    /// How many fall due, all together.
    due: u64,
    /// The same in the order of the groups.
    due_by_group: Vec<u64>,
    /// How many lives end, all together.
    ends: u64,
    /// The same in the order of the groups.
    ends_by_group: Vec<u64>,
    /// `due` of `/api/v1/items` for just these items, with `state=in-service`.
    due_filter: String,
    /// `life` of `/api/v1/items` for the items whose lives end.
    life_filter: String,
}

impl From<&Line> for LineJson {
    fn from(line: &Line) -> Self {
        let days = line.stretch.days();
        Self {
            period: line.stretch.key(),
            from: days.map(|days| write_day(days.from)),
            to: days.and_then(|days| days.to).map(write_day),
            due: line.all_due(),
            due_by_group: line.due.clone(),
            ends: line.all_ends(),
            ends_by_group: line.ends.clone(),
            due_filter: line.stretch.due_key(),
            life_filter: line.stretch.life_key(),
        }
    }
}

impl From<&Board> for BoardJson {
    fn from(board: &Board) -> Self {
        Self {
            today: write_day(board.today),
            by: board.split.key(),
            groups: board.groups.clone(),
            items: board.items(),
            lines: board.lines().map(LineJson::from).collect(),
        }
    }
}

/// What falls due
///
/// Items in service, counted by the weeks and months in which their examination falls due and in which their life ends.
/// An item is in date on its due day; its life is over on the day on which it ends.
#[utoipa::path(get, path = "/api/v1/due", tag = "register", params(("by" = Option<String>, Query, description = "`store` or `kind`")),
    responses((status = 200, body = BoardJson), (status = 400, body = ProblemJson)))]
pub(super) async fn api_show(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Json<BoardJson>, Problem> {
    let board = deed::board::show(&app.desk, &signed.actor, asked.split()?).await?;
    Ok(Json(BoardJson::from(&board)))
}
