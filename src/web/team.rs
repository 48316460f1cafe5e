//! The team itself.

use axum::{extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use uuid::Uuid;

use super::{
    App, Done, IfMatch, JsonBody, Page, Problem, Signed,
    api::{ProblemJson, tagged},
    page::answer,
    typed::Typed,
};
use crate::{
    deed::{
        self,
        team::{self, TeamDraft},
    },
    domain::{FieldErrors, Team},
    view::{
        Section, form,
        rulebook::{WhichRulebook, choices},
        team::{ShowTeam, nav, yes_no_choices, zones},
    },
};

/// What is settled for the team: its name, rulebook, time zone, employer and the like.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<ShowTeam>, Problem> {
    let team = team::show(&app.desk, &signed.actor).await?;
    let draft = TeamDraft {
        seen: team::mark(&team),
        name: team.name,
        rulebook: team.rulebook,
        time_zone: team.time_zone.to_string(),
        return_by_two: yes_no(team.return_by_two),
        employer: Some(team.employer),
        premises: Some(team.premises),
    };
    let nothing = FieldErrors::default();
    show_team((&app, &signed), draft, &nothing).await.map(Page)
}

fn yes_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.to_owned()
}

async fn show_team(
    (app, signed): (&App, &Signed),
    draft: TeamDraft,
    wrong: &FieldErrors,
) -> Result<ShowTeam, Problem> {
    let own = deed::rulebook::own(&app.desk, &signed.actor).await?;
    let own = deed::rulebook::offered(own);
    Ok(ShowTeam {
        shell: signed.shell_in(Section::People, "The team"),
        nav: nav("/team"),
        form: form::Form::new(wrong),
        name: draft.name,
        rulebook: draft.rulebook,
        zones: zones(&draft.time_zone),
        time_zone: draft.time_zone,
        return_by_two: draft.return_by_two,
        twos: yes_no_choices(),
        employer: draft.employer.unwrap_or_default(),
        premises: draft.premises.unwrap_or_default(),
        seen: draft.seen,
        rulebooks: choices(&own),
        which: WhichRulebook::new(&own),
    })
}

/// Changes what is settled for the team.
pub(super) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: TeamDraft = typed.draft()?;
    let done = team::revise(&app.desk, &signed.actor, &draft).await;
    answer(
        done,
        |()| Done::to("/team").saying("Saved."),
        async |wrong| show_team((&app, &signed), draft, &wrong).await,
    )
    .await
}

/// A team.
#[derive(Serialize, ToSchema)]
pub(super) struct TeamJson {
    id: Uuid,
    name: String,
    /// The key of the rulebook that new jobs start from.
    rulebook: String,
    /// The IANA name of the time zone in which the team counts its days.
    time_zone: String,
    /// Whether a second competent person confirms a return from quarantine.
    return_by_two: bool,
    /// Name and address of the employer for whom gear is examined, in several lines; empty where nobody said.
    employer: String,
    /// The address of the premises at which gear is kept and examined, in several lines; empty where nobody said.
    premises: String,
}

/// A team as it is to be from now on.
#[derive(Deserialize, ToSchema)]
pub(super) struct TeamRevisionJson {
    name: String,
    /// The key of the rulebook that new jobs start from.
    rulebook: String,
    /// The IANA name of the time zone in which the team counts its days; left out, it stays as it is.
    #[serde(default)]
    time_zone: String,
    /// Whether a second competent person confirms a return from quarantine; left out, it stays as it is.
    #[serde(default)]
    return_by_two: Option<bool>,
    /// Name and address of the employer for whom gear is examined, in several lines of together at most 500 characters;
    /// left out, it stays as it is, and empty it is taken away.
    #[serde(default)]
    employer: Option<String>,
    /// The address of the premises at which gear is kept and examined, alike.
    #[serde(default)]
    premises: Option<String>,
}

fn told(team: Team) -> Response {
    let mark = team::mark(&team);
    let body = TeamJson {
        id: team.id.0,
        name: team.name,
        rulebook: team.rulebook,
        time_zone: team.time_zone.to_string(),
        return_by_two: team.return_by_two,
        employer: team.employer,
        premises: team.premises,
    };
    tagged(mark, body)
}

/// The team
#[utoipa::path(get, path = "/api/v1/team", tag = "people", responses(
    (status = 200, body = TeamJson, headers(("ETag" = String))),
    (status = 401, body = ProblemJson),
))]
pub(super) async fn api_show(State(app): State<App>, signed: Signed) -> Result<Response, Problem> {
    Ok(told(team::show(&app.desk, &signed.actor).await?))
}

/// Change what is settled for the team
///
/// Its name, rulebook and time zone, and what reports of thorough examinations ask for: the employer and the premises.
/// Jobs that are planned keep their rulebook.
#[utoipa::path(put, path = "/api/v1/team", tag = "people",
    params(("If-Match" = String, Header, description = "The ETag of the record that is changed")),
    request_body = TeamRevisionJson,
    responses(
        (status = 200, body = TeamJson, headers(("ETag" = String))),
        (status = 412, body = ProblemJson),
        (status = 422, body = ProblemJson),
    ))]
pub(super) async fn api_revise(
    State(app): State<App>,
    signed: Signed,
    IfMatch(seen): IfMatch,
    JsonBody(new): JsonBody<TeamRevisionJson>,
) -> Result<Response, Problem> {
    let draft = TeamDraft {
        name: new.name,
        rulebook: new.rulebook,
        time_zone: new.time_zone,
        return_by_two: new.return_by_two.map(yes_no).unwrap_or_default(),
        employer: new.employer,
        premises: new.premises,
        seen: seen.unwrap_or_default(),
    };
    team::revise(&app.desk, &signed.actor, &draft).await?;
    Ok(told(team::show(&app.desk, &signed.actor).await?))
}
