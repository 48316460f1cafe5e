//! Photos and documents: putting them on a record, looking at one, withdrawing it, and the files themselves.

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    http::{HeaderMap, HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};
use serde::Deserialize;
use uuid::Uuid;

use super::{
    App, Done, Page, Path, Problem, Query, Signed, known::encode, page::answer, typed::Typed,
    upload::Upload, way_back::Back,
};
use crate::{
    deed::{
        DeedError,
        attachment::{self, Attached, Bearer, Sent},
    },
    domain::{
        Attachment, AttachmentId, EventId, ExaminationId, FieldErrors, FileHash, ItemId, KeptFile,
        LARGEST_UPLOAD, MediaType, ModelId, OfferDraft,
    },
    view::{
        Section, Shell,
        attachment::{NewAttachment, ShowAttachment, WithdrawAttachment},
    },
};

/// Which record, and the id that the form was given when it was opened.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedBearer {
    id: Option<Uuid>,
    item: Option<Uuid>,
    model: Option<Uuid>,
    examination: Option<Uuid>,
    event: Option<Uuid>,
}

impl AskedBearer {
    /// The record.
    ///
    /// # Errors
    /// [`Problem::Unreadable`] unless exactly one is named.
    pub(super) fn bearer(&self) -> Result<Bearer, Problem> {
        let named = [
            self.item.map(|id| Bearer::Item(ItemId(id))),
            self.model.map(|id| Bearer::Model(ModelId(id))),
            self.examination
                .map(|id| Bearer::Examination(ExaminationId(id))),
            self.event.map(|id| Bearer::Event(EventId(id))),
        ];
        let mut named = named.into_iter().flatten();
        match (named.next(), named.next()) {
            (Some(one), None) => Ok(one),
            _ => Err(Problem::Unreadable(
                "Name one record in the address: item, model, examination or event.".to_owned(),
            )),
        }
    }

    fn id(&self) -> AttachmentId {
        AttachmentId(self.id.unwrap_or_else(Uuid::now_v7))
    }
}

async fn form(
    (app, signed): (&App, &Signed),
    (id, bearer, back): (AttachmentId, Bearer, &Back),
    caption: &str,
    wrong: &FieldErrors,
) -> Result<NewAttachment, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let borne = attachment::bearer(&mut tx, bearer).await?;
    if !signed.actor.role.may(borne.deed) {
        return Err(DeedError::Forbidden(signed.actor.role).into());
    }
    let shell = Shell {
        back: back.way(),
        ..signed.shell_in(section(bearer), "Add photos or documents")
    };
    let of = (borne.to, borne.name.as_str());
    Ok(NewAttachment::new(shell, id, of, caption, wrong))
}

fn section(bearer: Bearer) -> Section {
    match bearer {
        Bearer::Model(_) => Section::Models,
        _ => Section::Items,
    }
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedBearer>,
    Query(back): Query<Back>,
) -> Result<Page<NewAttachment>, Problem> {
    let of = (asked.id(), asked.bearer()?, &back);
    let nothing = FieldErrors::default();
    form((&app, &signed), of, "", &nothing).await.map(Page)
}

/// Puts what was chosen or taken on the record.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedBearer>,
    Query(back): Query<Back>,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let (id, bearer) = (asked.id(), asked.bearer()?);
    let mut upload = Upload::receive(upload, LARGEST_UPLOAD).await?;
    let caption = upload.text("caption");
    let sent: Vec<Sent> = ["camera", "files"]
        .into_iter()
        .flat_map(|field| upload.files(field))
        .map(|(name, bytes)| Sent {
            name,
            bytes: bytes.into(),
        })
        .collect();
    let done = attachment::attach(&app.desk, &signed.actor, (id, bearer), &caption, sent).await;
    answer(
        done,
        |attached| {
            let first = attached.there.iter().chain(&attached.new).next();
            let to = first.map_or_else(String::new, |one| crate::view::attachment::page(one.to));
            Done::to(back.or(to)).saying(said(&attached))
        },
        async |wrong| form((&app, &signed), (id, bearer, &back), &caption, &wrong).await,
    )
    .await
}

fn said(attached: &Attached) -> String {
    match attached.new.as_slice() {
        [] => format!("It was put on {} already.", attached.on),
        [one] => format!("The {} was put on {}.", one.kind.word(), attached.on),
        several => format!("{} files were put on {}.", several.len(), attached.on),
    }
}

/// One photo or document.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<AttachmentId>,
) -> Result<Page<ShowAttachment>, Problem> {
    let (found, name) = attachment::show(&app.desk, &signed.actor, id).await?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let by = tx.person(found.by).await?;
    let by = by.map(|person| person.name).unwrap_or_default();
    let title = format!("{} of {name}", found.kind.title());
    let may = attachment::may_withdraw(&signed.actor, &found);
    let section = match found.to.model() {
        Some(_) => Section::Models,
        None => Section::Items,
    };
    let shell = signed.shell_in(section, title);
    Ok(Page(ShowAttachment::new(shell, &found, (&name, &by), may)))
}

async fn withdraw_form(
    (app, signed): (&App, &Signed),
    id: AttachmentId,
    reason: &str,
    wrong: &FieldErrors,
) -> Result<WithdrawAttachment, Problem> {
    let (found, name) = attachment::show(&app.desk, &signed.actor, id).await?;
    if !attachment::may_withdraw(&signed.actor, &found) {
        return Err(match found.withdrawn {
            Some(_) => Problem::NotAllowed("It was withdrawn already.".to_owned()),
            None => DeedError::Forbidden(signed.actor.role).into(),
        });
    }
    let shell = signed.shell_in(Section::Items, format!("Withdraw a {}", found.kind.word()));
    Ok(WithdrawAttachment::new(shell, &found, &name, reason, wrong))
}

/// Asks why it is withdrawn.
pub(super) async fn page_off(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<AttachmentId>,
) -> Result<Page<WithdrawAttachment>, Problem> {
    let nothing = FieldErrors::default();
    withdraw_form((&app, &signed), id, "", &nothing)
        .await
        .map(Page)
}

/// Withdraws it.
pub(super) async fn page_withdraw(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<AttachmentId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: OfferDraft = typed.draft()?;
    let done = attachment::withdraw(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |one| {
            let words = format!("The {} was withdrawn.", one.kind.word());
            Done::to(crate::view::attachment::page(one.to)).saying(words)
        },
        async |wrong| withdraw_form((&app, &signed), id, &draft.reason, &wrong).await,
    )
    .await
}

/// A file, called by its hash and its ending.
pub(super) async fn file_show(
    State(app): State<App>,
    signed: Signed,
    Path((id, name)): Path<(AttachmentId, String)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let hash = name.split('.').next().unwrap_or_default();
    send((&app, &signed), (id, hash), &headers).await
}

/// What a file may do once it is open: nothing. A document may hold scripts, and is not run here.
const CONTENT: &str = "default-src 'none'; sandbox; frame-ancestors 'none'";

/// Sends a file. What is called by its hash never changes, so whoever has it once need not ask again.
pub(super) async fn send(
    (app, signed): (&App, &Signed),
    (id, hash): (AttachmentId, &str),
    headers: &HeaderMap,
) -> Result<Response, Problem> {
    let hash: FileHash = hash
        .parse()
        .map_err(|_| Problem::NotFound("photo or document"))?;
    let (found, file) = attachment::file(&app.desk, &signed.actor, id, &hash).await?;
    let mark = format!("\"{hash}\"");
    let known = headers.get(header::IF_NONE_MATCH);
    let known = known.and_then(|value| value.to_str().ok());
    let known = known.is_some_and(|marks| {
        marks
            .split(',')
            .any(|one| one.trim().trim_start_matches("W/") == mark)
    });
    let kept = [
        (header::ETAG, mark),
        (
            header::CACHE_CONTROL,
            "private, max-age=31536000, immutable".to_owned(),
        ),
    ];
    if known {
        return Ok((StatusCode::NOT_MODIFIED, kept).into_response());
    }
    let bytes = attachment::bytes(&app.desk, &signed.actor, &file).await?;
    let mut response = (kept, bytes).into_response();
    let set = response.headers_mut();
    set.insert(
        header::CONTENT_TYPE,
        HeaderValue::from_static(file.media_type.key()),
    );
    set.insert(
        header::CONTENT_SECURITY_POLICY,
        HeaderValue::from_static(CONTENT),
    );
    let shown = HeaderValue::from_str(&disposition(&found, &file)).map_err(Problem::internal)?;
    set.insert(header::CONTENT_DISPOSITION, shown);
    Ok(response)
}

/// A photo is shown, a document is saved; each under the name that it was sent with, as RFC 6266 writes it.
fn disposition(found: &Attachment, file: &KeptFile) -> String {
    let (how, ending) = match file.media_type {
        MediaType::Jpeg => ("inline", "jpg"),
        MediaType::Pdf => ("attachment", "pdf"),
    };
    let stem = found.name.rsplit_once('.');
    let stem = stem.map_or(found.name.as_str(), |(stem, _)| stem);
    let name = format!("{stem}.{ending}");
    let plain: String = name
        .chars()
        .map(|c| match c {
            'a'..='z' | 'A'..='Z' | '0'..='9' | '.' | '-' | '_' | ' ' => c,
            _ => '_',
        })
        .collect();
    let encoded = encode(&name).replace('/', "%2F").replace('~', "%7E");
    format!("{how}; filename=\"{plain}\"; filename*=UTF-8''{encoded}")
}
