//! Files that wait between their rehearsal and somebody's yes.

use std::sync::Arc;

use serde::{Deserialize, Serialize};
use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    ImportFile, LeftOutList, Taken, TakenOver, competent, left_out, look, read, refused,
    remembered, take_in, without_wrong,
};
use crate::{
    deed::{DeedError, Desk, permit},
    domain::{Actor, Deed, FieldErrors, date::write_day, fold, nested},
    import::{Answers, Rounds, wanted},
    store::{ImportDraft, WriteTx},
};

/// Keeps a file until somebody says yes to it, and gives the id under which it waits.
///
/// # Errors
/// [`DeedError::Invalid`] with the field `file` if it cannot be read at all.
pub async fn keep(desk: &Desk, actor: &Actor, file: &ImportFile) -> Result<Uuid, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let table = read(file).await?;
    wanted(&table, &file.answers).map_err(refused)?;
    let mut tx = desk.database.write(actor.team).await?;
    let mut file = file.clone();
    if file.answers == Answers::default() {
        file.taken_over = remembered::find(&mut tx, &table).await?;
        file.answers = file
            .taken_over
            .as_ref()
            .map(|over| over.answers.clone())
            .unwrap_or_default();
    }
    let id = Uuid::now_v7();
    save(&mut tx, actor, desk.clock.now(), (id, &file)).await?;
    tx.commit().await?;
    Ok(id)
}

/// Puts another file in the place of the one that waits under an id; what was said of that one is taken over as far as
/// it can be said of the other.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none in this team; [`DeedError::Invalid`] with the field `file` if it cannot be
/// read at all.
pub async fn replace(
    desk: &Desk,
    actor: &Actor,
    id: Uuid,
    file: ImportFile,
) -> Result<(), DeedError> {
    let before = waiting(desk, actor, id).await?;
    let (then, table) = (read(&before).await, read(&file).await?);
    let answers = match then {
        Ok(then) => before.answers.moved(&then, &table),
        Err(_) => before.answers.carried(&table),
    };
    let mut file = ImportFile {
        answers: answers.clone(),
        ..file
    };
    let table = read(&file).await?;
    wanted(&table, &file.answers).map_err(refused)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    file.taken_over = Some(TakenOver {
        answers,
        before: before
            .taken_over
            .map(|over| over.before)
            .unwrap_or_default(),
        file: before.name,
        by: remembered::name_of(&mut tx, actor.person).await?,
        on: write_day(tx.day(now).await?),
    });
    save(&mut tx, actor, now, (id, &file)).await?;
    tx.commit().await?;
    Ok(())
}

/// All files that wait, the newest first; their bytes are left out.
pub async fn all_waiting(desk: &Desk, actor: &Actor) -> Result<Vec<ImportDraft>, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.import_drafts().await?)
}

/// The file that waits under an id.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none in this team.
pub async fn waiting(desk: &Desk, actor: &Actor, id: Uuid) -> Result<ImportFile, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.read(actor.team).await?;
    let draft = tx.import_draft(id).await?;
    let draft = draft.ok_or(DeedError::NotFound("file waiting"))?;
    let said: Said = serde_json::from_str(&draft.mapping).unwrap_or_default();
    Ok(ImportFile {
        name: draft.file_name,
        bytes: Arc::new(draft.bytes),
        answers: said.answers,
        taken_over: said.taken_over,
    })
}

/// Keeps other answers with the file that waits under an id. What was said of many rows at once and cannot hold is kept
/// as it was typed; the rehearsal tells it, and it applies to nothing.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none in this team.
pub async fn answer(
    desk: &Desk,
    actor: &Actor,
    id: Uuid,
    answers: Answers,
) -> Result<ImportFile, DeedError> {
    competent::allowed(actor, &answers)?;
    let file = ImportFile {
        answers,
        ..waiting(desk, actor, id).await?
    };
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    save(&mut tx, actor, now, (id, &file)).await?;
    if let Ok(table) = read(&file).await {
        remembered::keep(&mut tx, actor, now, (table.as_ref(), &file)).await?;
    }
    tx.commit().await?;
    Ok(file)
}

/// Refuses answers for the file that waits under an id that cannot hold. Those that stand there already, as they are taken
/// over from another list without where they were read, are told by the rehearsal and apply to nothing.
///
/// # Errors
/// Each fault that is new. [`DeedError::NotFound`] if there is none in this team.
pub async fn no_new_fault(
    desk: &Desk,
    actor: &Actor,
    id: Uuid,
    answers: &Answers,
) -> Result<(), DeedError> {
    let there = waiting(desk, actor, id).await?.answers;
    let mut tx = desk.database.read(actor.team).await?;
    let today = tx.day(desk.clock.now()).await?;
    let faults = |answers: &Answers| answers.check(today).err().unwrap_or_default();
    let (mut wrong, before) = (faults(answers), faults(&there));
    wrong.0.retain(|fault| !before.0.contains(fault));
    Ok(wrong.or(|| ())?)
}

/// Refuses answers for the file that waits under an id that would apply to nothing: what is said of models which it does not
/// name, and what cannot hold of those that it names. What stands among its answers already is not said anew.
///
/// # Errors
/// Each such model or field under its place among the answers. As [`look`]; [`DeedError::NotFound`] if there is none
/// in this team.
pub async fn of_its_models(
    desk: &Desk,
    actor: &Actor,
    id: Uuid,
    answers: &Answers,
) -> Result<(), DeedError> {
    let mut file = waiting(desk, actor, id).await?;
    let there = std::mem::replace(&mut file.answers, answers.clone());
    // What was taken over from another list is said of the models of that.
    let said = answers.of_models();
    let said: Vec<_> = said.difference(&there.of_models()).cloned().collect();
    if said.is_empty() && answers.models == there.models {
        return Ok(());
    }
    let rehearsal = look(desk, actor, &file).await?;
    let mut wrong = FieldErrors::default();
    for (field, title) in said {
        if let Some(why) = rehearsal.named.none_is(&title) {
            wrong.add(nested(field, &title), "unknown", why);
        }
    }
    let anew = answers.anew_of_models(&there);
    let faulty = rehearsal.faulty.0.into_iter();
    let faulty = faulty.filter(|fault| anew.contains(&fold(&fault.field)));
    wrong.0.extend(faulty);
    Ok(wrong.or(|| ())?)
}

/// Leaves out of the file that waits under an id the rows that are told as wrong, and gives how many they are.
///
/// # Errors
/// As [`look`]; [`DeedError::NotFound`] if there is none in this team.
pub async fn leave_out_wrong(desk: &Desk, actor: &Actor, id: Uuid) -> Result<usize, DeedError> {
    let file = waiting(desk, actor, id).await?;
    let before = file.answers.left_out.len();
    let file = without_wrong(desk, actor, &file, Rounds::One).await?;
    let left_out = file.answers.left_out.len() - before;
    answer(desk, actor, id, file.answers).await?;
    Ok(left_out)
}

/// The rows that were chosen to be left out of the file that waits under an id, as a list of its own.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none in this team.
pub async fn left_out_waiting(
    desk: &Desk,
    actor: &Actor,
    id: Uuid,
) -> Result<(String, Vec<u8>), DeedError> {
    let file = waiting(desk, actor, id).await?;
    let left = left_out(desk, actor, &file).await?.file;
    Ok((left.name, left.bytes.to_vec()))
}

/// Takes in the file that waits under an id; it waits no longer. Where rows of it were left out, they wait under the
/// id in its place, as a list of their own.
///
/// # Errors
/// As [`take`](super::take); [`DeedError::NotFound`] if there is none in this team, or it was taken in already.
pub async fn take_waiting(desk: &Desk, actor: &Actor, id: Uuid) -> Result<Taken, DeedError> {
    let file = waiting(desk, actor, id).await?;
    let table = read(&file).await?;
    let left = if file.answers.left_out.is_empty() {
        None
    } else {
        Some(left_out(desk, actor, &file).await?)
    };
    let mut tx = desk.database.write(actor.team).await?;
    if tx.import_draft(id).await?.is_none() {
        return Err(DeedError::NotFound("file waiting"));
    }
    let taken = take_in(&mut tx, desk, actor, &table, &file).await?;
    match left {
        Some(LeftOutList { file: mut left, .. }) => {
            let table = read(&left).await?;
            // They were rows of this very list: what was said of it was said of them too.
            let said = file.answers.carried(&table);
            left.answers = Answers {
                dates: said.dates.or(left.answers.dates),
                ..said
            };
            let over = remembered::find(&mut tx, &table).await?;
            left.taken_over = over.map(|over| TakenOver {
                answers: left.answers.clone(),
                ..over
            });
            save(&mut tx, actor, desk.clock.now(), (id, &left)).await?;
        }
        None => tx.drop_import_draft(id).await?,
    }
    tx.commit().await?;
    Ok(taken)
}

/// Gives up the file that waits under an id.
pub async fn give_up(desk: &Desk, actor: &Actor, id: Uuid) -> Result<(), DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    tx.drop_import_draft(id).await?;
    tx.commit().await?;
    Ok(())
}

/// What is kept beside the bytes of a file that waits.
#[derive(Default, Serialize, Deserialize)]
#[serde(default)]
struct Said {
    answers: Answers,
    taken_over: Option<TakenOver>,
}

async fn save(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    (id, file): (Uuid, &ImportFile),
) -> Result<(), DeedError> {
    let said = Said {
        answers: file.answers.clone(),
        taken_over: file.taken_over.clone(),
    };
    let mapping =
        serde_json::to_string(&said).map_err(|error| DeedError::Internal(error.into()))?;
    let draft = ImportDraft {
        id,
        person: actor.person,
        created_at: now,
        file_name: file.name.chars().take(200).collect(),
        bytes: file.bytes.to_vec(),
        mapping,
    };
    tx.keep_import_draft(&draft).await?;
    Ok(())
}
