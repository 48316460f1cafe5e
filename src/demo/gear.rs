//! How items come in, and how they are examined from then on.

use time::{Date, Duration, OffsetDateTime};

use super::agenda::{Look, Task};
use super::chance::Chance;
use super::day::{moment, months_before, working_day};
use super::play::{Play, founding};
use super::sheet::{Batch, Precision};
use super::{DemoError, rope};
use crate::domain::date::{Made, add_months, write_day};
use crate::domain::{
    AnswerDraft, Change, Checklist, ExaminationBasis, ExaminationDraft, ExaminationId,
    ExaminationKind, ForReportDraft, ItemDraft, ItemId, ItemState, Kind, Model, ModelId, Verdict,
    Zone,
};

/// Notes when each item comes in and when it is examined.
pub(super) fn plan(play: &mut Play<'_>) -> Result<(), DemoError> {
    let mut minutes = 0;
    for (batch, line) in play.sheets.batches.iter().enumerate() {
        let added = added_on(line, play.today);
        let looks = looks(line, added, play)?;
        for number in line.first..line.first + line.count {
            // Two minutes an item: the whole register fits into the morning, its examination into the afternoon.
            minutes = (minutes + 2) % 240;
            play.agenda
                .add(moment(added, 9, minutes), Task::AddItem { batch, number });
            for day in &looks {
                let look = Look {
                    mark: mark(line, number),
                    kind: day.kind,
                    on: day.on,
                    verdict: Verdict::Fit,
                    findings: String::new(),
                    due: day.due,
                    examiner: String::new(),
                    report: ForReportDraft::default(),
                };
                let hour = if day.recorded == day.on { 13 } else { 8 };
                play.agenda
                    .add(moment(day.recorded, hour, minutes), Task::Examine(look));
            }
        }
    }
    Ok(())
}

/// `HR-04`.
fn mark(batch: &Batch, number: u8) -> String {
    format!("{}-{number:02}", batch.marks)
}

/// The day on which a batch comes into the register: when it was bought, or when the register began.
fn added_on(batch: &Batch, today: Date) -> Date {
    working_day(months_before(today, batch.bought)).max(founding(today))
}

/// A day of examination, the same for the whole batch.
struct LookDay {
    kind: ExaminationKind,
    on: Date,
    recorded: Date,
    due: Option<Date>,
}

/// The days on which a batch is looked at: counted back from the one that sets the due day of now.
///
/// Examiners come before the due day, now and then a little after it; now and then it is written down a day later.
fn looks(batch: &Batch, added: Date, play: &Play<'_>) -> Result<Vec<LookDay>, DemoError> {
    let place = || format!("item.toml, {}-{:02}", batch.marks, batch.first);
    let model = play
        .sheets
        .models
        .get(&batch.model)
        .ok_or_else(|| DemoError::at(place(), "there is no such model"))?;
    let months: u16 = model
        .examine_every_months
        .parse()
        .map_err(|error| DemoError::at(place(), error))?;
    let mut chance = Chance::named(&place());
    let mut looks = Vec::new();
    let mut due = play.today + Duration::days(batch.due_in.into());
    loop {
        let on = working_day(months_before(due, months));
        if on >= play.today {
            return Err(DemoError::at(place(), "it would be examined after today"));
        }
        if on <= added + Duration::days(20) {
            break;
        }
        let late = i64::from(chance.below(6) == 0 && on.next_day() < Some(play.today));
        looks.push(LookDay {
            kind: ExaminationKind::Periodic,
            on,
            recorded: on + Duration::days(late),
            due: Some(due.min(add_months(on, months))),
        });
        let early = match chance.below(9) {
            0 => -i64::from(chance.below(6)),
            _ => i64::from(chance.below(15)),
        };
        due = on + Duration::days(early);
    }
    looks.push(LookDay {
        kind: ExaminationKind::Intake,
        on: added,
        recorded: added,
        due: None,
    });
    Ok(looks)
}

impl Play<'_> {
    /// An item comes in, and its model where it is the first of it.
    pub(super) fn add_item(
        &mut self,
        at: OffsetDateTime,
        batch: usize,
        number: u8,
    ) -> Result<(), DemoError> {
        let batch = &self.sheets.batches[batch];
        let mark = mark(batch, number);
        self.add_model(at, &batch.model)?;
        let store = self.stores.get(&batch.store).copied();
        let model = &self.models[&batch.model];
        let bought = working_day(months_before(self.today, batch.bought));
        let draft = ItemDraft {
            model: model.id.to_string(),
            mark: mark.clone(),
            store: store.map(|store| store.to_string()).unwrap_or_default(),
            serial: batch
                .serial
                .as_ref()
                .map(|serial| format!("{serial}{number:02}"))
                .unwrap_or_default(),
            lot: batch.lot.clone().unwrap_or_default(),
            made: made(batch, self.today),
            bought_on: write_day(bought),
            first_used_on: write_day((bought + Duration::days(14)).min(at.date())),
            markings_readable: batch.readable.clone(),
            attributes: batch.attributes.clone(),
            arduous: String::new(),
            note: batch.note.clone(),
        };
        let item = draft
            .check(Some(model), store, at.date())
            .map_err(|wrong| DemoError::at(&mark, wrong))?
            .into_item(ItemId(self.stamp.next(at)), at);
        self.items.insert(mark, (item.clone(), batch.model.clone()));
        self.record(at, "officer", Change::ItemAdded(item))
    }

    fn add_model(&mut self, at: OffsetDateTime, key: &str) -> Result<(), DemoError> {
        if self.models.contains_key(key) {
            return Ok(());
        }
        let draft = self
            .sheets
            .models
            .get(key)
            .ok_or_else(|| DemoError::at(key, "there is no such model"))?;
        let model = draft
            .check(ModelId(self.stamp.next(at)), 1)
            .map_err(|wrong| DemoError::at(key, wrong))?;
        self.models.insert(key.to_owned(), model.clone());
        self.record(at, "officer", Change::ModelAdded(model))
    }

    /// Records a look, or one at each piece of a rope that was cut. One that was planned long before is left out where
    /// the item is not at hand.
    pub(super) fn examine(&mut self, at: OffsetDateTime, look: &Look) -> Result<(), DemoError> {
        let (item, _) = self.item(&look.mark)?;
        let pieces = self.pieces(item);
        if pieces.is_empty() || !look.findings.is_empty() {
            return self.examine_one(at, look);
        }
        pieces.into_iter().try_for_each(|mark| {
            let look = Look {
                mark,
                ..look.clone()
            };
            self.examine(at, &look)
        })
    }

    fn examine_one(&mut self, at: OffsetDateTime, look: &Look) -> Result<(), DemoError> {
        let (item, model) = self.item(&look.mark)?;
        let routine = look.findings.is_empty();
        if routine && item.state != ItemState::InService {
            return Ok(());
        }
        let seed = format!("{} {} {}", look.mark, look.kind.key(), write_day(look.on));
        let draft = ExaminationDraft {
            kind: look.kind.key().to_owned(),
            on: write_day(look.on),
            examiner: look.examiner.clone(),
            findings: if routine {
                self.finding(look.kind, model, &seed)
            } else {
                look.findings.clone()
            },
            verdict: look.verdict.key().to_owned(),
            next_due_on: look.due.map(write_day).unwrap_or_default(),
            report: look.report.clone(),
            ..ExaminationDraft::default()
        };
        let list = self.list(look, model);
        let draft = match &list {
            Some(list) => {
                let mut draft = by_list(draft, list, model, &seed);
                if item.markings_readable == Some(false) {
                    draft.answers.insert("marks".to_owned(), worn_off());
                }
                rope::measure(&mut draft, (item, model), look.on, &seed);
                draft
            }
            None => draft,
        };
        let limits = model.limits.clone();
        let officer = &self.people["officer"];
        let basis = ExaminationBasis {
            item: item.id,
            recorded_by: officer.id,
            recorder: officer.name.clone(),
            today: at.date(),
            interval_months: model.examine_every_months.unwrap_or(12),
            list: list.as_ref(),
            limits: &limits,
            gear: model.kind,
            competence: &self.competence,
            return_waits: false,
            happened: &[],
            length: None,
        };
        let item = item.clone();
        let examination = draft
            .check(ExaminationId(self.stamp.next(at)), &basis)
            .map_err(|wrong| DemoError::at(&seed, wrong))?;
        let item = item
            .examined(&examination, at, &Zone::UTC)
            .map_err(|wrong| DemoError::at(&seed, wrong))?;
        self.replace(item);
        self.record(at, "officer", Change::ExaminationRecorded(examination))
    }
}

impl Play<'_> {
    /// The list that a look is done by: the team began to work by lists two years ago, by that of ropes from the
    /// first day on, and so writes down what it passes. What is taken out of use is told in words.
    fn list(&self, look: &Look, model: &Model) -> Option<Checklist> {
        let since = months_before(self.today, 24);
        let listed = look.kind.is_thorough() && look.verdict == Verdict::Fit;
        let listed = listed && (look.on >= since || model.kind == Kind::Rope);
        listed.then(|| Checklist::newest(model.kind, None))
    }
}

/// The draft with the list answered: all passes, what the findings say is watched is watched, and what the model sets
/// a limit to is measured.
fn by_list(
    mut draft: ExaminationDraft,
    list: &Checklist,
    model: &Model,
    seed: &str,
) -> ExaminationDraft {
    "pass".clone_into(&mut draft.rest);
    if draft.findings.contains("watched")
        && let Some(first) = list.criteria.get(1)
    {
        let watch = AnswerDraft {
            outcome: "watch".to_owned(),
            note: draft.findings.clone(),
            ..AnswerDraft::default()
        };
        draft.answers.insert(first.key.clone(), watch);
    }
    let mut chance = Chance::named(seed);
    for limit in &model.limits {
        let criterion = list.criterion(&limit.criterion);
        let measure = criterion.and_then(|one| one.measure.as_ref());
        let (Some(measure), Some(most)) = (measure, limit.most) else {
            continue;
        };
        // Well worn, but not out: from a tenth to seven tenths of what is allowed.
        let values = (0..measure.points).map(|_| {
            let share = f64::from(10 + chance.below(60)) / 100.0;
            format!("{:.2} {}", most.value() * share, most.unit().symbol())
        });
        let answer = draft.answers.entry(limit.criterion.clone()).or_default();
        answer.values = values.collect();
    }
    draft
}

/// What is answered where the markings were worn off before the team worked by lists.
fn worn_off() -> AnswerDraft {
    AnswerDraft {
        outcome: "not-applicable".to_owned(),
        note: "Worn off, as noted on its record; told by the team's own mark".to_owned(),
        ..AnswerDraft::default()
    }
}

/// When a batch was made, as exactly as the table says it is known.
fn made(batch: &Batch, today: Date) -> String {
    let Some(months) = batch.made else {
        return String::new();
    };
    let day = months_before(today, months);
    match batch.made_as {
        Precision::Day => Made::Day(day),
        Precision::Month => Made::Month(day.year(), day.month()),
        Precision::Year => Made::Year(day.year()),
    }
    .to_string()
}
