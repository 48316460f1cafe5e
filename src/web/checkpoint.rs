//! Checkpoints of the record, their keys and witnesses.

use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Done, Form, Page, Path, Problem, Query, Signed,
    listed::{FormId, bad_cursor},
    page::answer,
};
use crate::{
    deed::{DeedError, checkpoint, checkpoint::Signers},
    domain::{
        Deed, FieldErrors, Held, LedgerKey, Witness, WitnessDraft, WitnessId, Zone,
        checkpoint::Checkpoint,
        signed_note::{Note, Verifier},
    },
    store::KeptCheckpoint,
    view::{
        Section,
        checkpoint::{
            CheckpointRow, Checkpoints, KeyRow, ShowCheckpoint, Typed, WitnessRow, held,
            not_as_signed,
        },
        form,
        part::{Facts, Pager},
        words,
    },
};

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    before: String,
    note: String,
    /// Behind which entry a comparison reads on.
    from: String,
}

/// A reason, as typed.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Reason {
    reason: String,
}

/// A note, as pasted.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Pasted {
    note: String,
}

/// The newest checkpoints, with what can be done; and what comes of holding one that somebody kept against the record.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let before = match asked.before.trim() {
        "" => None,
        size => Some(size.parse().map_err(|_| bad_cursor())?),
    };
    let from = asked.from.trim().parse().unwrap_or(0);
    let held_now = match asked.note.trim() {
        "" => Ok(None),
        _ => checkpoint::hold(&app.desk, &signed.actor, &asked.note, from)
            .await
            .map(Some),
    };
    let typed = Typed {
        note: asked.note,
        ..Typed::default()
    };
    match held_now {
        Ok(outcome) => {
            let nothing = FieldErrors::default();
            let view = list((&app, &signed), before, (typed, &nothing), outcome).await?;
            Ok(Page(view).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            let view = list((&app, &signed), before, (typed, &wrong), None).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}

async fn list(
    (app, signed): (&App, &Signed),
    before: Option<u64>,
    (typed, wrong): (Typed, &FieldErrors),
    outcome: Option<(Held, u64)>,
) -> Result<Checkpoints, Problem> {
    let secret = app.signing.as_ref();
    let seals = checkpoint::list(&app.desk, &signed.actor, secret, before).await?;
    let rows = seals.checkpoints.iter();
    let rows = rows.map(|one| row(one, &seals.signers, &signed.zone));
    let next = seals.checkpoints.last().filter(|_| seals.more);
    let here = "/history/checkpoints";
    let keys = seals.signers.keys.iter();
    let keys: Vec<KeyRow> = keys.map(|key| key_row(key, &seals.alone)).collect();
    let outcome = outcome.as_ref();
    let form = form::Form::new(wrong);
    Ok(Checkpoints {
        shell: signed.shell_in(Section::History, "Checkpoints"),
        unlike: seals.unlike.map(not_as_signed),
        answer: outcome.map(|(outcome, entries)| held(outcome, *entries, &keys)),
        at_once: words::grouped(checkpoint::READ_AT_ONCE),
        read_on: outcome.and_then(|(outcome, _)| read_on(outcome)),
        entries: words::grouped(seals.entries),
        can_sign: seals.can_sign,
        may_keep: signed.actor.role.may(Deed::KeepPeople),
        may_make: signed.actor.role.may(Deed::KeepRegister),
        rows: rows.collect(),
        pager: Pager {
            first: before.map(|_| here.to_owned()),
            next: next.map(|last| format!("{here}?before={}", last.size)),
            shown: words::count(seals.checkpoints.len(), "checkpoint", "checkpoints"),
        },
        keys,
        witnesses: seals.signers.witnesses.iter().map(witness_row).collect(),
        witness_action: format!("{here}/witnesses?id={}", WitnessId::new()),
        form: if typed.note.is_empty() {
            form
        } else {
            form.failed("Nothing was compared")
        },
        typed,
    })
}

/// Where a comparison goes on that has not read every entry yet.
fn read_on(outcome: &Held) -> Option<(u64, String)> {
    match outcome {
        Held::GoesOn { size, read, .. } if read.1 < *size => {
            let next = words::grouped(read.1 + 1);
            Some((read.1, format!("Read on from entry {next}")))
        }
        _ => None,
    }
}

/// Who signed a checkpoint, in words: keys of the record by their numbers, then witnesses with their moments.
fn signers(kept: &KeptCheckpoint, signers: &Signers, zone: &Zone) -> String {
    let note = Note::read(&kept.note);
    let by = |verifier: &str| {
        let key = Verifier::read(verifier).ok()?;
        note.as_ref().ok()?.signed_by(&[key]).ok()
    };
    let keys = signers.keys.iter();
    let keys = keys.filter_map(|(_, key)| by(&key.verifier).map(|_| format!("key {}", key.number)));
    let witnesses = signers.witnesses.iter().flat_map(|witness| {
        let signed = by(&witness.verifier).unwrap_or_default().into_iter();
        signed.map(|one| match one.moment() {
            Some(at) => format!("{} (witness, {})", witness.who, zone.words(at)),
            None => format!("{} (witness)", witness.who),
        })
    });
    keys.chain(witnesses).collect::<Vec<_>>().join(", ")
}

fn row(kept: &KeptCheckpoint, known: &Signers, zone: &Zone) -> CheckpointRow {
    CheckpointRow {
        href: format!("/history/checkpoints/{}", kept.size),
        entries: words::grouped(kept.size),
        made: zone.words(kept.made_at),
        by: signers(kept, known, zone),
    }
}

fn key_row((since, key): &(u64, LedgerKey), alone: &[u32]) -> KeyRow {
    KeyRow {
        is_alone: alone.contains(&key.number),
        number: key.number,
        verifier: key.verifier.clone(),
        since: words::grouped(*since),
        reason: key.reason.clone(),
    }
}

fn witness_row(one: &Witness) -> WitnessRow {
    WitnessRow {
        who: one.who.clone(),
        verifier: one.verifier.clone(),
        ended: one.ended.clone(),
        end: format!("/history/checkpoints/witnesses/{}/end", one.id),
    }
}

/// Makes a checkpoint of the record as it stands.
pub(super) async fn page_make(State(app): State<App>, signed: Signed) -> Result<Done, Problem> {
    let made = checkpoint::make(&app.desk, &signed.actor, app.signing.as_ref()).await?;
    Ok(Done::to(format!("/history/checkpoints/{}", made.size)))
}

/// One checkpoint.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(size): Path<u64>,
) -> Result<Page<ShowCheckpoint>, Problem> {
    let nothing = FieldErrors::default();
    shown((&app, &signed), size, "", &nothing).await.map(Page)
}

async fn shown(
    (app, signed): (&App, &Signed),
    size: u64,
    typed: &str,
    wrong: &FieldErrors,
) -> Result<ShowCheckpoint, Problem> {
    let kept = checkpoint::show(&app.desk, &signed.actor, Some(size)).await?;
    let known = checkpoint::signers(&app.desk, &signed.actor).await?;
    let said = Note::read(&kept.note).ok();
    let said = said.and_then(|note| Checkpoint::read(note.text()).ok());
    let root = said.map_or_else(String::new, |said| hex::encode(said.root));
    let by = signers(&kept, &known, &signed.zone);
    let entries = words::grouped(size);
    let here = format!("/history/checkpoints/{size}/note");
    Ok(ShowCheckpoint {
        shell: signed.shell_in(Section::History, format!("Checkpoint at entry {entries}")),
        facts: Facts::default()
            .and("Entries", entries)
            .and("Root", root)
            .and("Made", signed.zone.words(kept.made_at))
            .and("Signed by", by),
        note: kept.note,
        file: here.clone(),
        action: signed.actor.role.may(Deed::KeepRegister).then_some(here),
        form: form::Form::new(wrong),
        typed: typed.to_owned(),
    })
}

/// The note as a file.
pub(super) async fn file_note(
    State(app): State<App>,
    signed: Signed,
    Path(size): Path<u64>,
) -> Result<Response, Problem> {
    let kept = checkpoint::show(&app.desk, &signed.actor, Some(size)).await?;
    let name = format!("attachment; filename=\"checkpoint-{size}.txt\"");
    Ok(([(header::CONTENT_DISPOSITION, name)], plain(kept.note)).into_response())
}

/// A text as it is.
pub(super) fn plain(text: String) -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/plain; charset=utf-8")], text)
}

/// Takes over what a witness signed.
pub(super) async fn page_witnessed(
    State(app): State<App>,
    signed: Signed,
    Path(size): Path<u64>,
    Form(pasted): Form<Pasted>,
) -> Result<Response, Problem> {
    let note = unix(&pasted.note);
    let done = checkpoint::witnessed(&app.desk, &signed.actor, size, &note).await;
    answer(
        done,
        |_| Done::to(format!("/history/checkpoints/{size}")).saying("Taken over."),
        async |wrong| shown((&app, &signed), size, &pasted.note, &wrong).await,
    )
    .await
}

/// A note as a form sends it, with the ends of lines that it was signed with.
fn unix(note: &str) -> String {
    format!("{}\n", note.replace("\r\n", "\n").trim())
}

/// Takes the next key.
pub(super) async fn page_take_key(
    State(app): State<App>,
    signed: Signed,
    Form(typed): Form<Reason>,
) -> Result<Response, Problem> {
    let secret = app.signing.as_ref();
    let done = checkpoint::take_key(&app.desk, &signed.actor, secret, &typed.reason).await;
    answer(
        done,
        |key| {
            let words = format!("Key {} signs from here on.", key.number);
            Done::to("/history/checkpoints").saying(words)
        },
        async |wrong| {
            let typed = Typed {
                reason: typed.reason,
                ..Typed::default()
            };
            list((&app, &signed), None, (typed, &wrong), None).await
        },
    )
    .await
}

/// Names a witness.
pub(super) async fn page_name_witness(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    Form(draft): Form<WitnessDraft>,
) -> Result<Response, Problem> {
    let id = WitnessId(given.id());
    let done = checkpoint::name_witness(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |witness| {
            let words = format!("{} is asked to sign from here on.", witness.who);
            Done::to("/history/checkpoints").saying(words)
        },
        async |wrong| {
            let typed = Typed {
                witness: draft,
                ..Typed::default()
            };
            list((&app, &signed), None, (typed, &wrong), None).await
        },
    )
    .await
}

/// Asks a witness no longer.
pub(super) async fn page_end_witness(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<WitnessId>,
    Form(typed): Form<Reason>,
) -> Result<Done, Problem> {
    checkpoint::end_witness(&app.desk, &signed.actor, id, &typed.reason).await?;
    Ok(Done::to("/history/checkpoints").saying("No longer asked."))
}
