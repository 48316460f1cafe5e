//! What was measured of an item over time.

use std::collections::BTreeMap;

use super::{DeedError, Desk, checklist::of_edition, permit};
use crate::{
    domain::{Actor, Checklist, Course, Deed, Item, ItemId, Model, course::courses},
    store::Tx,
};

/// So many of the last examinations are looked at.
pub const LOOKED_AT: u32 = 500;

/// What was measured of an item.
#[derive(Clone, Debug)]
pub struct Courses {
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// Course by course.
    pub courses: Vec<Course>,
    /// The marks of the ropes that it was part of.
    pub whole_ropes: BTreeMap<ItemId, String>,
    /// Whether there are examinations before those that were looked at.
    pub is_cut_off: bool,
}

/// What was measured of an item and of the ropes that it was part of.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item.
pub async fn of_item(desk: &Desk, actor: &Actor, id: ItemId) -> Result<Courses, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let examinations = tx.examinations_in_line(&item, LOOKED_AT).await?;
    let lists = lists(&mut tx, &examinations).await?;
    let courses = courses((&item, &model), &examinations, |examination, key| {
        let edition = examination.checklist?;
        let list = lists.iter().find(|list| list.edition == edition)?;
        list.criterion(key)?.measure.clone()
    });
    let ropes: Vec<ItemId> = item.whole_ropes().iter().map(|rope| rope.item).collect();
    let ropes = tx.items_of(&ropes).await?;
    Ok(Courses {
        whole_ropes: ropes
            .into_iter()
            .map(|(id, rope)| (id, rope.mark))
            .collect(),
        is_cut_off: examinations.len() >= LOOKED_AT as usize,
        item,
        model,
        courses,
    })
}

/// The lists that the examinations were done by.
async fn lists(
    tx: &mut Tx,
    examinations: &[crate::domain::Examination],
) -> Result<Vec<Checklist>, DeedError> {
    let mut lists: Vec<Checklist> = Vec::new();
    for edition in examinations.iter().filter_map(|one| one.checklist) {
        if !lists.iter().any(|list| list.edition == edition) {
            lists.push(of_edition(tx, edition).await?);
        }
    }
    Ok(lists)
}
