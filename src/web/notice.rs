//! Safety notices: the doors of the list, of a new one, and of one with the items that it covers.

use axum::{
    extract::State,
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
    deed::{self, DeedError},
    domain::{Deed, FieldErrors, ItemId, NoticeDraft, NoticeId},
    view::{
        Section,
        holder::{HolderRow, Holders},
        notice::{CoveredItems, NewNotice, NoticeList, NoticeRow, ShowNotice, Ways, result_field},
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

fn form(signed: &Signed, id: NoticeId, draft: &NoticeDraft, wrong: &FieldErrors) -> NewNotice {
    let shell = signed.shell_in(Section::Notices, "Open a safety notice");
    NewNotice::new(shell, id, draft, wrong)
}

/// What a new notice may be begun with: a maker and a model, from the page of a model.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Begun {
    maker: String,
    model: String,
}

/// The form of a new notice.
pub(super) async fn page_new(signed: Signed, Query(begun): Query<Begun>) -> Page<NewNotice> {
    let draft = NoticeDraft {
        maker: begun.maker,
        model_name: begun.model,
        ..NoticeDraft::default()
    };
    let nothing = FieldErrors::default();
    Page(form(&signed, NoticeId::new(), &draft, &nothing))
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
        async |wrong| Ok(form(&signed, id, &draft, &wrong)),
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
    let page = format!("/notices/{id}");
    let shown = format!(
        "{} of {}",
        covered.page.rows.len(),
        words::count(covered.all, "item", "items")
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
        may_close: signed.actor.role.may(Deed::Examine),
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
            let open = held.closing.is_none();
            let mut row = HolderRow::new(&held.item, held.model.title(), open);
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
