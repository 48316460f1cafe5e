//! Until when a record has to be kept at least.

use time::Date;

use super::{Chosen, DeedError, Desk, cut, permit, rulebook};
use crate::{
    domain::{
        Actor, Deed, Examination, ExaminationId, Item, ItemId, Job, JobId,
        retention::{Kept, ToKeep},
        rulebook::Rulebook,
    },
    store::Tx,
};

/// The most examinations of an item that are looked through.
const MOST: u32 = 5000;

/// The rules that bind a record, the longest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Keeping {
    /// The title of the rulebook that they are of.
    pub rulebook: String,
    /// They; none where the rulebook names no such paper.
    pub kept: Vec<Kept>,
}

impl Keeping {
    fn by(rulebook: &Rulebook, record: ToKeep) -> Self {
        Self {
            rulebook: rulebook.title().to_owned(),
            kept: record.kept(rulebook),
        }
    }
}

/// For an examination, by the rulebook of the team.
pub async fn of_examination(
    tx: &mut Tx,
    one: &Examination,
    item: &Item,
) -> Result<Keeping, DeedError> {
    let all = tx.examinations(item.id, Date::MAX, MOST).await?;
    let (zone, pieces) = (tx.zone().await?, pieces_of(tx, item).await?);
    let record = ToKeep::of_examination(one, &all, (item, &pieces), &zone);
    Ok(Keeping::by(rulebook::home(tx).await?.as_ref(), record))
}

/// For what came with an item, by the rulebook of the team.
pub async fn of_item(tx: &mut Tx, item: &Item) -> Result<Keeping, DeedError> {
    let pieces = pieces_of(tx, item).await?;
    let record = ToKeep::of_item((item, &pieces), &tx.zone().await?);
    Ok(Keeping::by(rulebook::home(tx).await?.as_ref(), record))
}

/// All that was cut from an item, and from its pieces.
async fn pieces_of(tx: &mut Tx, item: &Item) -> Result<Vec<Item>, DeedError> {
    let pieces = cut::all_pieces(tx, item).await?.into_iter();
    Ok(pieces.map(|(piece, _)| piece).collect())
}

/// For what is written for a job, by the rulebook that it is judged by.
pub async fn of_job(tx: &mut Tx, job: &Job) -> Result<Keeping, DeedError> {
    let record = ToKeep::of_job(job, &tx.zone().await?);
    let chosen = Chosen::of(tx, job).await?;
    Ok(Keeping::by(&chosen.rulebook, record))
}

/// A record that is asked about.
#[derive(Clone, Copy, Debug)]
pub enum Asked {
    /// An item.
    Item(ItemId),
    /// An examination.
    Examination(ExaminationId),
    /// A job.
    Job(JobId),
}

/// For a record of the team.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none such.
pub async fn show(desk: &Desk, actor: &Actor, asked: Asked) -> Result<Keeping, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    match asked {
        Asked::Item(id) => {
            let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
            of_item(&mut tx, &item).await
        }
        Asked::Job(id) => {
            let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
            of_job(&mut tx, &job).await
        }
        Asked::Examination(id) => {
            let one = tx.examination(id).await?;
            let one = one.ok_or(DeedError::NotFound("examination"))?;
            let item = tx.item(one.item).await?;
            let item = item.ok_or(DeedError::NotFound("item"))?;
            of_examination(&mut tx, &one, &item).await
        }
    }
}
