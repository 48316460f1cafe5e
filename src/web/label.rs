//! Labels.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use super::{
    App, Page, Problem, Query, Signed,
    item::Asked,
    paper::{paper_of, pdf},
    typed::Typed,
};
use crate::{
    deed::{self, DeedError},
    domain::{FieldErrors, ItemId, LabelDraft, MOST_LABELS, Store},
    store::{Direction, ItemFilter, ItemSort, Tx},
    view::{Section, label::LabelForm},
};

/// For which items: their marks, one item, or those of a list.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedMarks {
    marks: String,
    item: Option<ItemId>,
    /// `yes` where the marks are those of a list of items.
    listed: String,
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedMarks>,
    Query(list): Query<Asked>,
) -> Result<Page<LabelForm>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let (marks, more) = match asked.item {
        Some(id) => {
            let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
            (item.mark, false)
        }
        None if asked.listed == "yes" => {
            listed(&mut tx, &list.filter(signed.today(&app))?, list.order()?).await?
        }
        None => (asked.marks, false),
    };
    let stores = tx.stores().await?;
    drop(tx);
    let known = app.config.public_url.is_some();
    let mut draft = LabelDraft {
        marks,
        paper: paper_of(&signed, "").key().to_owned(),
        ..LabelDraft::default()
    };
    if !known {
        "code".clone_into(&mut draft.holds);
    }
    let fine = FieldErrors::default();
    let form = form(&signed, &draft, known, (&stores, &fine));
    Ok(Page(if more { form.cut_short() } else { form }))
}

/// The marks of the items of a list, one a line, as many as one file takes; and whether there are more.
async fn listed(
    tx: &mut Tx,
    filter: &ItemFilter,
    order: (ItemSort, Direction),
) -> Result<(String, bool), Problem> {
    let most = u32::try_from(MOST_LABELS).unwrap_or(u32::MAX);
    let page = tx.items(filter, order, None, most).await?;
    let marks: Vec<String> = page.rows.into_iter().map(|item| item.mark).collect();
    Ok((marks.join("\n"), page.next.is_some()))
}

fn form(
    signed: &Signed,
    draft: &LabelDraft,
    known: bool,
    (stores, wrong): (&[Store], &FieldErrors),
) -> LabelForm {
    let shell = signed.shell_in(Section::Papers, "Labels");
    LabelForm::new(shell, draft, known, (stores, wrong))
}

/// The labels as a file.
pub(super) async fn page_print(
    State(app): State<App>,
    signed: Signed,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: LabelDraft = typed.draft()?;
    let address = app.config.public_url.as_deref();
    match deed::label::print(&app.desk, &signed.actor, &draft, address).await {
        Ok(bytes) => Ok(pdf("labels", bytes)),
        Err(DeedError::Invalid(wrong)) => {
            let known = address.is_some();
            let mut tx = app.desk.database.read(signed.actor.team).await?;
            let stores = tx.stores().await?;
            Ok(Page::wrong(form(&signed, &draft, known, (&stores, &wrong))))
        }
        Err(other) => Err(other.into()),
    }
}
