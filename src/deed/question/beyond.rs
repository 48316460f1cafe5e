//! Examinations that were done by somebody beyond their qualification.

use std::collections::HashMap;

use super::walk::{At, Part, entries, place_of};
use crate::{
    deed::{DeedError, qualification},
    domain::{
        Change, Competence, Examination, Item, ItemId, Model, ModelId, QualificationId,
        date::write_day,
        question::{Cell, Held, Period, Row, To, beyond},
    },
    store::{Direction, EntryFilter, Tx},
};

/// Who is competent, and by which entry that was recorded.
pub(super) struct Competent {
    competence: Competence,
    recorded: HashMap<QualificationId, u64>,
}

impl Competent {
    pub(super) async fn read(tx: &mut Tx) -> Result<Self, DeedError> {
        let competence = qualification::of(tx).await?;
        let filter = of_kind("qualification-recorded");
        let mut span = tx.entry_span(&filter).await?;
        let mut recorded = HashMap::new();
        loop {
            let page = tx
                .entries(&filter, span, Direction::Up, super::walk::ENTRIES)
                .await?;
            let Some(last) = page.last() else { break };
            span = span.beyond(last.entry.seq, Direction::Up);
            recorded.extend(page.iter().filter_map(|kept| match &kept.entry.change {
                Change::QualificationRecorded(one) => Some((one.id, kept.entry.seq)),
                _ => None,
            }));
        }
        Ok(Self {
            competence,
            recorded,
        })
    }

    /// What the examiner of an examination holds.
    fn held(&self, examination: &Examination) -> Vec<Held<'_>> {
        let named = examination.examiner.trim().to_lowercase();
        let all = self.competence.qualifications.iter();
        let theirs = all.filter(|one| {
            Some(one.id) == examination.qualification
                || self.competence.name_of(one).to_lowercase() == named
        });
        theirs
            .map(|qualification| Held {
                qualification,
                seq: self.recorded.get(&qualification.id).copied().unwrap_or(0),
            })
            .collect()
    }
}

fn of_kind(kind: &'static str) -> EntryFilter {
    EntryFilter {
        kind: Some(kind),
        ..EntryFilter::default()
    }
}

pub(super) async fn part(
    tx: &mut Tx,
    competent: &Competent,
    period: Period,
    at: At,
) -> Result<(Part, At), DeedError> {
    let (filter, span) = if let At::Entries(filter, span) = at {
        (filter, span)
    } else {
        let filter = of_kind("examination-recorded");
        let span = tx.entry_span(&filter).await?;
        (filter, span)
    };
    let (kept, next) = entries(tx, filter, span).await?;
    let looks: Vec<(u64, crate::domain::PersonId, &Examination)> = kept
        .iter()
        .filter_map(|kept| match &kept.entry.change {
            Change::ExaminationRecorded(one) if one.kind.is_thorough() && period.has(one.on) => {
                Some((kept.entry.seq, kept.entry.actor, one))
            }
            _ => None,
        })
        .collect();
    let (items, models) = gear(tx, looks.iter().map(|(.., one)| one.item)).await?;
    let people = &competent.competence.people;
    let mut part = Part::default();
    for (seq, actor, one) in looks {
        let Some(item) = items.get(&one.item) else {
            continue;
        };
        let Some(model) = models.get(&item.model) else {
            continue;
        };
        part.tally.of += 1;
        let Some(why) = beyond(&competent.held(one), model.kind, one.on, seq) else {
            continue;
        };
        part.tally.count(why.part());
        let recorder = people.iter().find(|(id, _)| *id == actor);
        part.rows.push(Row {
            place: place_of(seq),
            cells: vec![
                Cell::Record(To::Examination(item.id, one.id), write_day(one.on)),
                Cell::Record(To::Item(item.id), item.mark.clone()),
                model.kind.word().into(),
                one.examiner.as_str().into(),
                why.words().into(),
                recorder.map_or("", |(_, name)| name).into(),
                Cell::Number(seq),
            ],
        });
    }
    Ok((part, next))
}

/// These items and their models.
async fn gear(
    tx: &mut Tx,
    ids: impl Iterator<Item = ItemId>,
) -> Result<(HashMap<ItemId, Item>, HashMap<ModelId, Model>), DeedError> {
    let mut ids: Vec<ItemId> = ids.collect();
    ids.sort_unstable();
    ids.dedup();
    let items = tx.items_of(&ids).await?;
    let mut models: Vec<ModelId> = items.values().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    Ok((items, models))
}
