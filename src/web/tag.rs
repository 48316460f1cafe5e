//! Tags: the page that a scanner types into, our own short addresses, and the forms on an item.

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    response::{IntoResponse, Redirect, Response},
};
use serde::Deserialize;

use super::{
    App, Done, Form, Page, Path, Problem, Query, Signed,
    listed::{FormId, address},
    page::answer,
    typed::Typed,
    upload::Upload,
};
use crate::{
    deed::{
        self, DeedError,
        tag::{Found, TagRemovalDraft},
    },
    domain::{
        Deed, FieldErrors, Item, ItemId, LARGEST_UPLOAD, TagId,
        tag::{TagDraft, job_of, words_of},
    },
    view::{
        Section, form,
        tag::{NewTag, ScanPage, TagOff, Unknown},
    },
};

/// What was scanned.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Scanned {
    code: String,
}

/// The page to scan on. A code that is known leads to its item at once.
pub(super) async fn page_scan(
    State(app): State<App>,
    signed: Signed,
    Query(scanned): Query<Scanned>,
) -> Result<Response, Problem> {
    let fine = FieldErrors::default();
    if scanned.code.is_empty() {
        return Ok(Page(scan(&signed, "", None, &fine)).into_response());
    }
    if let Some(job) = job_of(&scanned.code) {
        return Ok(Redirect::to(&format!("/j/{}", job.0.simple())).into_response());
    }
    match deed::tag::look_up(&app.desk, &signed.actor, &scanned.code).await {
        Ok(Found {
            item: Some(item), ..
        }) => Ok(Redirect::to(&format!("/items/{}", item.id)).into_response()),
        Ok(found) => {
            let unknown = found.several.is_empty();
            let unknown = unknown.then(|| self::unknown(&app, &signed, &found));
            let page = scan(&signed, &scanned.code, unknown, &fine);
            Ok(Page(page.with_serial(&found.several)).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            Ok(Page::wrong(scan(&signed, &scanned.code, None, &wrong)))
        }
        Err(other) => Err(other.into()),
    }
}

/// Reads the code in a photo, and leads on as if it had been typed.
pub(super) async fn page_photo(
    signed: Signed,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let mut upload = Upload::receive(upload, LARGEST_UPLOAD).await?;
    let bytes = upload.file("photo").map(|(_, bytes)| bytes);
    let read = if let Some(bytes) = bytes {
        deed::tag::read_photo(&signed.actor, bytes.into()).await
    } else {
        let words = "Take a photo of the code, or choose one.";
        Err(FieldErrors::one("photo", "required", words).into())
    };
    let read = read.and_then(|found| Ok(deed::tag::only(found)?));
    match read {
        Ok(code) => {
            let code = code.replace('\u{1d}', "\u{241d}");
            Ok(Redirect::to(&address("/scan", &[("code", &code)])).into_response())
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(scan(&signed, "", None, &wrong))),
        Err(other) => Err(other.into()),
    }
}

fn unknown(app: &App, signed: &Signed, found: &Found) -> Unknown {
    Unknown::new(&found.scan, found.model, signed.today(app), address)
}

fn scan(signed: &Signed, code: &str, unknown: Option<Unknown>, wrong: &FieldErrors) -> ScanPage {
    ScanPage {
        shell: signed.shell_in(Section::Scan, "Scan"),
        form: form::Form::new(wrong).failed("Nothing was opened"),
        code: code.to_owned(),
        unknown,
        several: Vec::new(),
        mark: String::new(),
        may_keep: signed.actor.role.may(Deed::KeepRegister),
        may_send: signed.actor.role.may(Deed::ReportEvent),
    }
}

/// The short address of a code of our own: goes on to its item.
pub(super) async fn page_own(
    State(app): State<App>,
    signed: Signed,
    Path(code): Path<String>,
) -> Result<Redirect, Problem> {
    let item = deed::tag::item_of_own(&app.desk, &signed.actor, &code).await?;
    Ok(Redirect::to(&format!("/items/{item}")))
}

/// A code that was scanned, and the item on which it is to go.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Marked {
    text: String,
    mark: String,
}

/// Puts a code that was scanned on the item with this mark.
pub(super) async fn page_put(
    State(app): State<App>,
    signed: Signed,
    Form(typed): Form<Marked>,
) -> Result<Response, Problem> {
    let draft = TagDraft { text: typed.text };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item_marked(&typed.mark).await?;
    drop(tx);
    let put = match &item {
        Some(item) => {
            let ids = (TagId::new(), item.id);
            deed::tag::put(&app.desk, &signed.actor, ids, &draft).await
        }
        None => Err(no_such_mark(&typed.mark).into()),
    };
    match (put, item) {
        (Ok(tag), Some(item)) => Ok(put_on(&item, &tag.text)),
        (Err(DeedError::Invalid(wrong)), _) => {
            let found = deed::tag::look_up(&app.desk, &signed.actor, &draft.text).await;
            let unknown = found.ok().map(|found| unknown(&app, &signed, &found));
            // What is wrong with the code itself is shown at the field that it was scanned into.
            let mut wrong = wrong;
            for error in wrong.0.iter_mut().filter(|error| error.field == "text") {
                "code".clone_into(&mut error.field);
            }
            let mut view = scan(&signed, &draft.text, unknown, &wrong);
            view.mark = typed.mark;
            Ok(Page::wrong(view))
        }
        (Err(other), _) => Err(other.into()),
        (Ok(_), None) => Err(Problem::NotFound("item")),
    }
}

fn no_such_mark(mark: &str) -> FieldErrors {
    if mark.trim().is_empty() {
        return FieldErrors::one(
            "mark",
            "required",
            "Write the mark of the item that it is on.",
        );
    }
    let message = format!("No item has the mark \"{}\".", mark.trim());
    FieldErrors::one("mark", "choice", message)
}

fn put_on(item: &Item, text: &str) -> Response {
    Done::to(format!("/items/{}", item.id))
        .saying(format!(
            "The code {} is on {} now.",
            words_of(text),
            item.mark
        ))
        .into_response()
}

async fn item_of(app: &App, signed: &Signed, id: ItemId) -> Result<Item, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.item(id).await?.ok_or(Problem::NotFound("item"))
}

async fn new_form(
    (app, signed): (&App, &Signed),
    (id, item): (TagId, ItemId),
    draft: &TagDraft,
    wrong: &FieldErrors,
) -> Result<NewTag, Problem> {
    let item = item_of(app, signed, item).await?;
    let shell = signed.shell_in(Section::Items, "Put a tag on");
    Ok(NewTag::new(shell, &item, id, draft, wrong))
}

/// The form of a new tag on an item.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
) -> Result<Page<NewTag>, Problem> {
    let ids = (TagId::new(), item);
    let nothing = FieldErrors::default();
    new_form((&app, &signed), ids, &TagDraft::default(), &nothing)
        .await
        .map(Page)
}

/// Puts a code on an item.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: TagDraft = typed.draft()?;
    let ids = (TagId(asked.id()), item);
    match deed::tag::put(&app.desk, &signed.actor, ids, &draft).await {
        Ok(tag) => Ok(put_on(&item_of(&app, &signed, item).await?, &tag.text)),
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(
            new_form((&app, &signed), ids, &draft, &wrong).await?,
        )),
        Err(other) => Err(other.into()),
    }
}

/// Gives an item a code of our own.
pub(super) async fn page_make(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<FormId>,
) -> Result<Response, Problem> {
    let id = TagId(asked.id());
    let tag = deed::tag::make_own(&app.desk, &signed.actor, id, item).await?;
    Ok(put_on(&item_of(&app, &signed, item).await?, &tag.text))
}

async fn off_form(
    (app, signed): (&App, &Signed),
    (item, tag): (ItemId, TagId),
    reason: &str,
    wrong: &FieldErrors,
) -> Result<TagOff, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let (item, tag) = deed::tag::on_item(&mut tx, item, tag).await?;
    let shell = signed.shell_in(Section::Items, "Take a tag off");
    Ok(TagOff::new(shell, &item, &tag, reason, wrong))
}

/// Asks why a tag is taken off.
pub(super) async fn page_off(
    State(app): State<App>,
    signed: Signed,
    Path(ids): Path<(ItemId, TagId)>,
) -> Result<Page<TagOff>, Problem> {
    let nothing = FieldErrors::default();
    off_form((&app, &signed), ids, "", &nothing).await.map(Page)
}

/// Takes a tag off.
pub(super) async fn page_remove(
    State(app): State<App>,
    signed: Signed,
    Path((item, tag)): Path<(ItemId, TagId)>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: TagRemovalDraft = typed.draft()?;
    let done = deed::tag::remove(&app.desk, &signed.actor, item, tag, &draft).await;
    answer(
        done,
        |tag| {
            let words = format!("The code {} was taken off.", words_of(&tag.text));
            Done::to(format!("/items/{item}")).saying(words)
        },
        async |wrong| off_form((&app, &signed), (item, tag), &draft.reason, &wrong).await,
    )
    .await
}
