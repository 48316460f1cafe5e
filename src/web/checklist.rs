//! The lists that examinations are done by: the pages.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{App, Done, Page, Path, Problem, Signed, typed::Typed};
use crate::{
    deed::{self, DeedError},
    domain::{CriterionDraft, Deed, FieldErrors, Kind},
    view::{
        Section,
        checklist::{Checklists, ShowChecklist},
    },
};

/// The list of every kind.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Checklists>, Problem> {
    let all = deed::checklist::all(&app.desk, &signed.actor).await?;
    let all = all.into_iter().map(|shown| {
        let own = shown.own.map_or(0, |own| own.criteria.len());
        (shown.list, own)
    });
    let lists: Vec<_> = all.collect();
    let shell = signed.shell_in(Section::Rulebooks, "Checklists");
    Ok(Page(Checklists::new(shell, &lists)))
}

async fn shown(
    (app, signed): (&App, &Signed),
    kind: Kind,
    draft: &CriterionDraft,
    wrong: &FieldErrors,
) -> Result<ShowChecklist, Problem> {
    let shown = deed::checklist::show(&app.desk, &signed.actor, kind).await?;
    let shell = signed.shell_in(Section::Rulebooks, format!("Checklist: {}", kind.word()));
    let may_keep = signed.actor.role.may(Deed::KeepRegister);
    let list = (&shown.list, shown.own.as_ref());
    Ok(ShowChecklist::new(shell, list, may_keep, (draft, wrong)))
}

/// The list of one kind.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<ShowChecklist>, Problem> {
    let kind = deed::checklist::kind(&app.desk, &signed.actor, &key).await?;
    let (draft, nothing) = (CriterionDraft::default(), FieldErrors::default());
    let view = shown((&app, &signed), kind, &draft, &nothing).await?;
    Ok(Page(view))
}

/// Adds a criterion of the team's own.
pub(super) async fn page_add(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let draft: CriterionDraft = typed.draft()?;
    let kind = deed::checklist::kind(&app.desk, &signed.actor, &key).await?;
    match deed::checklist::add(&app.desk, &signed.actor, (kind, revision), &draft).await {
        Ok(own) => Ok(Done::to(format!("/checklists/{}", kind.key()))
            .saying(format!(
                "Added; this is edition {} of your own criteria.",
                own.revision
            ))
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let view = shown((&app, &signed), kind, &draft, &wrong).await?;
            Ok(Page::wrong(view))
        }
        Err(DeedError::Stale(mut wrong)) => {
            let sentence = "Somebody else changed this list meanwhile; it is shown as it is now. Add yours \
                            again if it is still wanted.";
            wrong.add("words", "stale", sentence);
            let view = shown((&app, &signed), kind, &draft, &wrong).await?;
            Ok(Page::again(StatusCode::CONFLICT, view))
        }
        Err(other) => Err(other.into()),
    }
}

/// Takes a criterion of the team's own back.
pub(super) async fn page_take_back(
    State(app): State<App>,
    signed: Signed,
    Path((key, criterion)): Path<(String, String)>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let kind = deed::checklist::kind(&app.desk, &signed.actor, &key).await?;
    let of = (kind, revision);
    deed::checklist::take_back(&app.desk, &signed.actor, of, &criterion).await?;
    Ok(Done::to(format!("/checklists/{}", kind.key()))
        .saying("Taken back. Records that were done with it keep it.")
        .into_response())
}
