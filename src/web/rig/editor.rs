//! The doors of the editor: looking, changing rows, changing between form and text, saving.

use axum::{
    extract::{Multipart, State, multipart::MultipartRejection},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    sent::{Sent, fields_of_text, looked, rig_of, switched, tab_of},
    show::list,
};
use crate::{
    deed::{self, DeedError, Seen},
    domain::{FieldErrors, LARGEST_RIG, NotAllowed, OwnRigDraft, RigDraft, RigId},
    rigging::shipped_rig,
    store::{KeptRig, Tx},
    view::{
        Section, Shell,
        rig::{EditorTarget, Look, RigEditor, Tab},
    },
    web::{App, Done, Page, Path, Problem, Query, Signed, listed::FormId, typed::Typed, upload},
};

/// Where a new rig starts from: the key of another, or nothing.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Start {
    from: String,
}

fn shell(signed: &Signed, target: &EditorTarget) -> Shell {
    let title = match target {
        EditorTarget::New(_) => "Write a new rig".to_owned(),
        EditorTarget::There(key, _) => format!("Change the rig {key}"),
    };
    signed.shell_in(Section::Rigs, title)
}

/// The editor with what was typed; `marked` is what its fields show as wrong.
fn editor(
    signed: &Signed,
    target: &EditorTarget,
    sent: &Sent,
    marked: &FieldErrors,
    look: Look,
) -> RigEditor {
    let shell = shell(signed, target);
    RigEditor::new(shell, target, &sent.tab, &sent.note, (marked, look))
}

fn opened(signed: &Signed, target: &EditorTarget, tab: Tab) -> RigEditor {
    let sent = Sent {
        act: String::new(),
        note: String::new(),
        tab,
    };
    let look = looked(&rig_of(&sent.tab));
    editor(signed, target, &sent, &FieldErrors::default(), look)
}

/// The editor of a new rig, from blank or from another.
pub(in crate::web) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(start): Query<Start>,
) -> Result<Page<RigEditor>, Problem> {
    let mut draft = match start.from.as_str() {
        "" => RigDraft::blank(),
        key => {
            let mut tx = app.desk.database.read(signed.actor.team).await?;
            let own = tx.rig_of_key(key).await?;
            let own = own.map(|kept| kept.rig.rig()).transpose();
            let own = own.map_err(|faults| Problem::NotAllowed(faults.to_string()))?;
            let rig = own.or_else(|| shipped_rig(key).cloned());
            let rig = rig.ok_or(Problem::NotFound("rig"))?;
            let mut draft = RigDraft::from(&rig.sheet());
            draft.key = format!("our-{}", rig.key());
            draft
        }
    };
    draft.name_all();
    let target = EditorTarget::New(RigId::new());
    Ok(Page(opened(&signed, &target, Tab::Form(Box::new(draft)))))
}

/// The editor with a file that was sent; a file that is no text goes no further than the list.
pub(in crate::web) async fn page_file(
    State(app): State<App>,
    signed: Signed,
    upload: Result<Multipart, MultipartRejection>,
) -> Result<Response, Problem> {
    let received = upload::receive(upload, LARGEST_RIG).await?;
    let wrong = match received.map(|(_, bytes)| String::from_utf8(bytes)) {
        Some(Ok(text)) => {
            let target = EditorTarget::New(RigId::new());
            return Ok(Page(opened(&signed, &target, tab_of(text))).into_response());
        }
        Some(Err(_)) => FieldErrors::one(
            "file",
            "text",
            "This file is no text in UTF-8: send the TOML or JSON of a rig.",
        ),
        None => FieldErrors::one("file", "required", "Choose a file."),
    };
    Ok(Page::wrong(list(&app, &signed, &wrong).await?))
}

async fn kept(tx: &mut Tx, key: &str) -> Result<KeptRig, Problem> {
    let kept = tx.rig_of_key(key).await?;
    kept.ok_or(Problem::NotFound("rig"))
}

/// The editor of a rig of the team's own.
pub(in crate::web) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<RigEditor>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let KeptRig { rig, withdrawn } = kept(&mut tx, &key).await?;
    NotAllowed::unless(withdrawn, false).map_err(DeedError::from)?;
    let target = EditorTarget::There(key, rig.revision);
    Ok(Page(opened(&signed, &target, tab_of(rig.sheet))))
}

/// What a rig that is being typed comes to: the part of the page alone.
pub(in crate::web) async fn page_look(_: Signed, typed: Typed) -> Result<Page<Look>, Problem> {
    let mut typed = typed;
    typed.take("revision");
    let sent = Sent::read(typed)?;
    Ok(Page(looked(&rig_of(&sent.tab))))
}

/// Adds a rig, or gives the editor back with what its buttons ask for.
pub(in crate::web) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(form): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let target = EditorTarget::New(RigId(form.id()));
    let sent = Sent::read(typed)?;
    acted(&app, &signed, target, sent).await
}

/// Writes the next version of a rig, or gives the editor back with what its buttons ask for.
pub(in crate::web) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    kept(&mut tx, &key).await?;
    drop(tx);
    let sent = Sent::read(typed)?;
    acted(&app, &signed, EditorTarget::There(key, revision), sent).await
}

async fn acted(
    app: &App,
    signed: &Signed,
    target: EditorTarget,
    mut sent: Sent,
) -> Result<Response, Problem> {
    if sent.act == "save" {
        return save(app, signed, target, sent).await;
    }
    let mut marked = FieldErrors::default();
    let mut touched = None;
    match sent.act.as_str() {
        "form" | "text" => {
            let to_text = sent.act == "text";
            match switched(&sent.tab, to_text) {
                Ok(tab) => sent.tab = tab,
                Err(wrong) => marked = wrong,
            }
        }
        "look" | "" => marked = rig_of(&sent.tab).err().unwrap_or_default(),
        act => {
            if let Tab::Form(draft) = &mut sent.tab {
                touched = draft.act(act);
            }
        }
    }
    let look = looked(&rig_of(&sent.tab));
    let mut page = editor(signed, &target, &sent, &marked, look);
    if let Some(touched) = touched {
        page.open_at(&touched.0);
    }
    Ok(Page(page).into_response())
}

async fn save(
    app: &App,
    signed: &Signed,
    target: EditorTarget,
    sent: Sent,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let draft = match rig_of(&sent.tab) {
        Ok(rig) => OwnRigDraft {
            sheet: match &sent.tab {
                Tab::Form(_) => rig.sheet_text(),
                Tab::Text(text) => text.clone(),
            },
            note: sent.note.clone(),
        },
        Err(wrong) => return Ok(refused(signed, &target, &sent, &wrong)),
    };
    let saved = match &target {
        EditorTarget::New(id) => deed::rig::add(desk, actor, *id, &draft).await,
        EditorTarget::There(key, revision) => {
            let mut tx = desk.database.read(actor.team).await?;
            let id = kept(&mut tx, key).await?.rig.id;
            drop(tx);
            deed::rig::revise(desk, actor, id, Seen::Version(*revision), &draft).await
        }
    };
    match saved {
        Ok(rig) => {
            let words = match rig.revision {
                1 => format!(
                    "The rig \"{}\" is there; jobs can be planned with it.",
                    rig.title
                ),
                version => format!(
                    "Version {version} is saved. Jobs that were planned with an older one keep that."
                ),
            };
            Ok(Done::to(format!("/rigs/{}", rig.key))
                .saying(words)
                .into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            let wrong = match &sent.tab {
                Tab::Form(_) => wrong,
                Tab::Text(_) => fields_of_text(wrong),
            };
            Ok(refused(signed, &target, &sent, &wrong))
        }
        Err(DeedError::Stale(_)) => stale(app, signed, target, &sent).await,
        Err(other) => Err(other.into()),
    }
}

/// The editor again where somebody else has saved first: what was typed is kept, and goes over theirs if it
/// is saved again.
async fn stale(
    app: &App,
    signed: &Signed,
    target: EditorTarget,
    sent: &Sent,
) -> Result<Response, Problem> {
    let EditorTarget::There(key, opened) = target else {
        return Err(Problem::Stale);
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let now = kept(&mut tx, &key).await?.rig.revision;
    let sentence = format!(
        "Somebody else wrote version {now} since you opened version {opened}; what you typed is kept below. Look at \
         /rigs/{key} first: saving again writes the next version over theirs."
    );
    let target = EditorTarget::There(key, now);
    let look = looked(&rig_of(&sent.tab));
    let mut page = editor(signed, &target, sent, &FieldErrors::default(), look);
    page.stale = Some(sentence);
    Ok(Page::again(StatusCode::CONFLICT, page))
}

/// The editor with everything that keeps it from being saved.
fn refused(signed: &Signed, target: &EditorTarget, sent: &Sent, wrong: &FieldErrors) -> Response {
    let mut page = editor(signed, target, sent, wrong, Look::wrong(wrong));
    page.refused = true;
    Page::wrong(page)
}
