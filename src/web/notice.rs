//! Safety notices: the doors of the list, of a new one, and of one with the items that it covers.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Done, Page, Path, Problem, Query, Signed,
    export::offered,
    listed::{FormId, ROWS, address, cursor, of_list, pager},
    page::answer,
    typed::Typed,
};
use crate::{
    deed::{self, DeedError, Seen},
    domain::{Deed, FieldErrors, ItemId, Notice, NoticeDraft, NoticeId},
    view::{
        Section,
        holder::{HolderRow, Holders},
        notice::{
            CoveredItems, InRegister, NewNotice, NoticeList, NoticeRow, ShowNotice, Ways,
            result_field,
        },
        part::Empty,
        words,
    },
};

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    after: String,
}

/// The list of notices.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<NoticeList>, Problem> {
    let after = cursor(&asked.after)?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let page = tx.notices(after.as_ref(), ROWS).await.map_err(of_list)?;
    let rows: Vec<NoticeRow> = page.rows.iter().map(NoticeRow::new).collect();
    let shown = words::count(rows.len(), "notice", "notices");
    Ok(Page(NoticeList {
        shell: signed.shell_in(Section::Notices, "Safety notices"),
        pager: pager("/notices", &[], &asked.after, page.next.as_ref(), shown),
        empty: Empty::new(
            "No safety notice is known.",
            "When a maker or an authority issues one, open it here: what it covers is held at once.",
        ),
        may_open: signed.actor.role.may(Deed::KeepRegister),
        rows,
    }))
}

async fn form(
    (app, signed): (&App, &Signed),
    (id, title): (NoticeId, &str),
    draft: &NoticeDraft,
    wrong: &FieldErrors,
) -> Result<NewNotice, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let known = deed::notice::Known::of(&mut tx).await?;
    let known = InRegister {
        makers: known.makers.into_iter().collect(),
        models: known.models.into_iter().collect(),
    };
    let shell = signed.shell_in(Section::Notices, title);
    Ok(NewNotice::new(shell, id, known, draft, wrong))
}

/// The title of the form of a new notice.
const NEW: &str = "Open a safety notice";
/// The title of the form that corrects one.
const CORRECT: &str = "Correct a safety notice";

/// What a new notice may be begun with: a maker and a model, from the page of a model.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Begun {
    maker: String,
    model: String,
}

/// The form of a new notice.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(begun): Query<Begun>,
) -> Result<Page<NewNotice>, Problem> {
    let draft = NoticeDraft {
        maker: begun.maker,
        model_name: begun.model,
        ..NoticeDraft::default()
    };
    let nothing = FieldErrors::default();
    let of = (NoticeId::new(), NEW);
    form((&app, &signed), of, &draft, &nothing).await.map(Page)
}

/// The form that corrects a notice.
pub(super) async fn page_correct(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
) -> Result<Page<NewNotice>, Problem> {
    let there = there(&app, &signed, id).await?;
    let nothing = FieldErrors::default();
    let view = form((&app, &signed), (id, CORRECT), &there.draft(), &nothing).await?;
    Ok(Page(view.correcting(id, there.corrected)))
}

async fn there(app: &App, signed: &Signed, id: NoticeId) -> Result<Notice, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let there = tx.notice(id).await?.ok_or(Problem::NotFound("notice"))?;
    there.may_change().map_err(DeedError::from)?;
    Ok(there)
}

/// Corrects a notice.
pub(super) async fn page_corrected(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let draft: NoticeDraft = typed.draft()?;
    let of = (id, Seen::Version(revision));
    match deed::notice::correct(&app.desk, &signed.actor, of, &draft).await {
        Ok(done) => {
            let held = words::count(done.held, "item more is", "items more are");
            let mut said = format!("The notice is corrected; {held} in quarantine.");
            if done.opened_again > 0 {
                let again = words::count(done.opened_again, "item", "items");
                said = format!(
                    "{said} Something else is to be done now, so it is open again for {again} that it was closed for."
                );
            }
            if done.left > 0 {
                let left = words::count(done.left, "item", "items");
                said = format!(
                    "{said} It covers {left} in quarantine no more; they stay there until somebody competent returns them."
                );
            }
            Ok(Done::to(format!("/notices/{id}"))
                .saying(said)
                .into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            let view = form((&app, &signed), (id, CORRECT), &draft, &wrong).await?;
            Ok(Page::wrong(view.correcting(id, revision)))
        }
        Err(DeedError::Stale(mut wrong)) => {
            let there = there(&app, &signed, id).await?;
            let sentence = "Somebody corrected this notice since you opened it. Look at it, then send this again if it is \
                            still right.";
            wrong.add("title", "stale", sentence);
            let view = form((&app, &signed), (id, CORRECT), &draft, &wrong).await?;
            let view = view.correcting(id, there.corrected);
            Ok(Page::again(StatusCode::CONFLICT, view))
        }
        Err(other) => Err(other.into()),
    }
}

/// Withdraws a notice.
pub(super) async fn page_withdraw(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let reason = typed.take("reason").unwrap_or_default();
    let done = deed::notice::withdraw(&app.desk, &signed.actor, id, &reason).await;
    answer(
        done,
        |(_, left)| {
            let left = words::count(left, "item that it held stays", "items that it held stay");
            Done::to(format!("/notices/{id}")).saying(format!(
                "The notice is withdrawn; {left} in quarantine until somebody competent returns what is sound."
            ))
        },
        async |wrong| {
            let view = show((&app, &signed), (id, ""), None, &wrong).await?;
            Ok(view.withdrawing(&reason))
        },
    )
    .await
}

/// Opens a notice.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: NoticeDraft = typed.draft()?;
    let id = NoticeId(asked.id());
    let done = deed::notice::open(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |notice| {
            Done::to(format!("/notices/{}", notice.id))
                .saying("The notice is open. What it covers is in quarantine.")
        },
        async |wrong| form((&app, &signed), (id, NEW), &draft, &wrong).await,
    )
    .await
}

async fn show(
    (app, signed): (&App, &Signed),
    (id, after): (NoticeId, &str),
    typed: Option<(&str, &str)>,
    wrong: &FieldErrors,
) -> Result<ShowNotice, Problem> {
    let from = cursor(after)?;
    let covered = deed::notice::covered(&app.desk, &signed.actor, id, from.as_ref(), ROWS).await?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let course = deed::notice::course(&mut tx, id).await?.into_iter();
    let course = course.map(|one| (one.step, one.by)).collect();
    let alike = deed::notice::alike(&mut tx, &covered.notice).await?;
    let page = format!("/notices/{id}");
    let shown = format!(
        "{} of {}",
        covered.page.rows.len(),
        words::count(covered.all + covered.let_out, "item", "items")
    );
    let ways = Ways {
        pager: pager(&page, &[], after, covered.page.next.as_ref(), shown),
        close: address(&format!("{page}/closings"), &[("after", after)]),
    };
    let covered = CoveredItems {
        notice: &covered.notice,
        rows: &covered.page.rows,
        all: covered.all,
        open: covered.open,
        alike: &alike,
        course,
        may_close: signed.actor.role.may(Deed::Examine),
        may_correct: signed.actor.role.may(Deed::KeepRegister),
    };
    let shell = signed.shell_in(Section::Notices, covered.notice.title.as_str());
    Ok(ShowNotice::new(shell, &covered, ways, typed, wrong))
}

/// One notice with the items that it covers.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    Query(asked): Query<Asked>,
) -> Result<Page<ShowNotice>, Problem> {
    let nothing = FieldErrors::default();
    show((&app, &signed), (id, &asked.after), None, &nothing)
        .await
        .map(Page)
}

/// Closes a notice for one item.
pub(super) async fn page_close(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    Query(asked): Query<Asked>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let item = typed.take("item").unwrap_or_default();
    let result = typed.take(&result_field(&item)).unwrap_or_default();
    let item: ItemId = item.parse().map_err(|_| Problem::NotFound("item"))?;
    match deed::notice::close(&app.desk, &signed.actor, id, item, &result).await {
        Ok(_) => Ok(Done::to(address(
            &format!("/notices/{id}"),
            &[("after", &asked.after)],
        ))
        .saying(
            "The notice is closed for this item. It stays in quarantine until somebody returns it.",
        )
        .into_response()),
        Err(DeedError::Invalid(mut wrong)) => {
            let key = item.to_string();
            for error in &mut wrong.0 {
                error.field = result_field(&key);
            }
            let typed = Some((key.as_str(), result.as_str()));
            let view = show((&app, &signed), (id, &asked.after), typed, &wrong).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}

/// Who had what a notice covers.
pub(super) async fn page_holders(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    Query(asked): Query<Asked>,
) -> Result<Page<Holders>, Problem> {
    let from = cursor(&asked.after)?;
    let found = deed::recall::holders(&app.desk, &signed.actor, id, from.as_ref(), ROWS).await?;
    let zone = &signed.zone;
    let rows: Vec<HolderRow> = found
        .page
        .rows
        .iter()
        .map(|held| {
            let mut row = HolderRow::new(&held.of, held.model.title());
            for on in &held.on {
                row.on(&on.job, (&on.by, &zone.words(on.at), on.taken_off), zone);
            }
            row
        })
        .collect();
    let shown = format!(
        "{} of {}",
        rows.len(),
        words::count(found.all, "item", "items")
    );
    let page = format!("/notices/{id}/holders");
    let pager = pager(&page, &[], &asked.after, found.page.next.as_ref(), shown);
    let shell = signed.shell_in(Section::Notices, "Who has and had them");
    Ok(Page(Holders::new(
        shell,
        (id, &found.notice.title),
        rows,
        (pager, offered("holders", &[("notice", &id.to_string())])),
    )))
}
