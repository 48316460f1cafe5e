//! Holds the items that a list brings in against what every job asks, and takes in what was said of them.

use std::collections::{BTreeMap, BTreeSet};

use time::Date;
use uuid::Uuid;

use super::answer::Answers;
use super::becoming::Recording;
use super::field::Field;
use super::foretold::{ByNotice, Foretold, OfModel, Offer, Reason};
use super::found::{Found, Of};
use super::given::{Seen, SeenOf};
use super::known::Known;
use super::nearest::{Nearest, Opens};
use super::plan::{ModelRef, Plan, PlannedItem};
use super::reason::{self, Words};
use super::{marking_words, unmade};
use crate::domain::date::{read_day, write_day};
use crate::domain::fitness::{Own, wherever};
use crate::domain::kit_strength::{KitGap, Somewhere, gaps_wherever};
use crate::domain::rulebook::Rulebook;
use crate::domain::{
    ExaminationDraft, ExaminationKind, Item, ItemState, Model, Refusal, RefusalCode, StoreId,
    Verdict, Zone,
};
use crate::rigging::shipped;

/// The models that planned items are of.
pub(super) type Models = BTreeMap<ModelRef, Model>;

struct Forecast<'a> {
    answers: &'a Answers,
    known: &'a Known,
    rulebook: &'a Rulebook,
    today: Date,
    models: &'a Models,
    somewhere: Somewhere<'a>,
    found: BTreeMap<Words, Found>,
    /// What single positions of rigs ask.
    at_positions: BTreeMap<Words, Found>,
    /// What papers state of models and some verdict needs.
    papers: BTreeMap<Words, Found>,
    /// The models of which the list says which ropes they take, once an approval is there to hold it.
    ropes_wait: BTreeSet<ModelRef>,
    /// The same of each model, worked out once.
    asked: BTreeMap<ModelRef, Vec<KitGap>>,
    /// What keeps models from the positions that rigs must have filled.
    nearest: Nearest,
    told: Foretold,
    /// Why an examination that was said of all items is not taken for some.
    not_taken: BTreeMap<SeenOf, String>,
}

/// Tells what every job will say of the planned items, once what was said of all of them is taken in; nothing
/// where it is not known by which rules.
pub(super) fn foretell(
    plan: &mut Plan,
    models: &Models,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Option<Foretold> {
    let rulebook = known.rulebook.as_deref()?;
    let ropes_wait = plan.models.iter().enumerate();
    let ropes_wait = ropes_wait.filter(|(_, model)| model.ropes_wait);
    let mut forecast = Forecast {
        answers,
        known,
        rulebook,
        today,
        models,
        somewhere: Somewhere::new(rulebook),
        found: BTreeMap::new(),
        at_positions: BTreeMap::new(),
        papers: BTreeMap::new(),
        ropes_wait: ropes_wait.map(|(at, _)| ModelRef::New(at)).collect(),
        asked: BTreeMap::new(),
        nearest: Nearest::default(),
        told: Foretold {
            rulebook: rulebook.title().to_owned(),
            rigs: shipped().len(),
            ..Foretold::default()
        },
        not_taken: BTreeMap::new(),
    };
    for item in &mut plan.items {
        forecast.hold(item);
    }
    Some(forecast.finish())
}

impl Forecast<'_> {
    fn hold(&mut self, planned: &mut PlannedItem) {
        let Some(model) = self.models.get(&planned.model) else {
            return;
        };
        let Some(item) = self.becoming(planned, model) else {
            return;
        };
        if item.state != ItemState::InService {
            self.told.out += 1;
            return;
        }
        self.told.in_service += 1;
        self.told.held.extend(self.by_notice(&item, model));
        let before = self.refusals(&item, model);
        let said = self.take_said(planned, (&item, model), &before);
        let (item, refusals) = match self.becoming(planned, model).filter(|_| said) {
            Some(item) => {
                let refusals = self.refusals(&item, model);
                (item, refusals)
            }
            None => (item, before),
        };
        let unreadable = item.markings_readable == Some(false);
        let made = |refusal: &Refusal| refusal.code == RefusalCode::MadeUnknown;
        let is_made_asked = refusals.iter().any(made);
        for refusal in &refusals {
            let mut words = reason::of_refusal(refusal, unreadable);
            if refusal.code == RefusalCode::LifeUnknown && is_made_asked {
                words.to_do = reason::MADE_TELLS_IT;
            }
            let found = self.found.entry(words).or_default();
            match refusal.code {
                RefusalCode::MadeUnknown => found.of_lot(planned, refusal),
                RefusalCode::LifeUnknown if item.made.is_none() && !is_made_asked => {
                    found.of_lot(planned, refusal);
                }
                _ => found.add(planned, refusal),
            }
            found.seen = SeenOf::from_key(words.code).filter(|_| !unreadable);
        }
        let gaps = gaps_wherever(model);
        for gap in &gaps {
            let found = self.found.entry(reason::of_gap(gap)).or_default();
            found.of_model(planned, &gap.sentence);
        }
        self.ask_somewhere(planned, (&item, model), (&refusals, &gaps));
        if matches!(planned.model, ModelRef::New(_)) {
            for words in reason::of_papers(model) {
                let found = self.papers.entry(words).or_default();
                found.of_model(planned, "It may stay open");
            }
        }
        let looks = |refusal: &Refusal| refusal.code == RefusalCode::MarkingsUnknown;
        let only_looks = !unreadable && refusals.iter().all(looks) && !refusals.is_empty();
        self.told.first_look += usize::from(only_looks);
        self.told.refused += usize::from(!refusals.is_empty());
        self.told.lacking += usize::from(refusals.is_empty() && !gaps.is_empty());
    }

    /// The notice that holds an item as it comes in.
    fn by_notice(&self, item: &Item, model: &Model) -> Option<ByNotice> {
        let mut notices = self.known.notices.iter();
        let notice = notices.find(|notice| notice.covers(item, model))?;
        Some(ByNotice {
            mark: item.mark.clone(),
            notice: notice.title.clone(),
        })
    }

    /// What single positions of rigs ask beside.
    fn ask_somewhere(
        &mut self,
        planned: &PlannedItem,
        (item, model): (&Item, &Model),
        (refusals, wherever): (&[Refusal], &[KitGap]),
    ) {
        let waits = self.ropes_wait.contains(&planned.model);
        let asked = self.asked.entry(planned.model);
        let asked = asked.or_insert_with(|| {
            let mut asked = self.somewhere.asked(item, model, refusals);
            asked
                .gaps
                .retain(|gap| !(waits && gap.code == "rope-range"));
            self.nearest
                .add(planned.model, asked.places, (refusals, wherever));
            asked.gaps
        });
        self.nearest.count(planned.model);
        for gap in asked.iter() {
            let found = self.at_positions.entry(reason::of_somewhere(gap));
            found.or_default().of_model(planned, &gap.sentence);
        }
        self.told.asked_at_positions += usize::from(!asked.is_empty());
    }

    fn becoming(&self, planned: &PlannedItem, model: &Model) -> Option<Item> {
        let (competence, (person, _)) = self.known.competence.as_ref()?;
        let recording = Recording {
            recorder: self.known.recorder(),
            recorded_by: *person,
            now: self.today.midnight().assume_utc(),
            today: self.today,
            zone: &Zone::UTC,
            rulebook: self.rulebook,
            competence,
            new_id: Uuid::nil,
        };
        let becoming = planned.becoming(model, StoreId(Uuid::nil()), &recording);
        becoming.ok().map(|becoming| becoming.item)
    }

    fn refusals(&self, item: &Item, model: &Model) -> Vec<Refusal> {
        wherever(&Own {
            item,
            model,
            rulebook: self.rulebook,
            home: None,
            notices: &self.known.notices,
            closings: &[],
            still_open: &[],
            today: self.today,
            job_end: None,
            zone: &Zone::UTC,
        })
    }

    /// Takes in what somebody has seen of the item, where jobs would refuse it otherwise; whether there was any.
    fn take_said(
        &mut self,
        planned: &mut PlannedItem,
        (item, model): (&Item, &Model),
        refusals: &[Refusal],
    ) -> bool {
        let mut said = false;
        for (of, seen) in &self.answers.seen {
            let asked = refusals
                .iter()
                .any(|refusal| refusal.code.key() == of.key());
            if !asked || !seen.rows.is_empty() && !seen.rows.contains(&planned.row) {
                continue;
            }
            let own = seen.is_of_each(*of).then(|| {
                let examination = planned.examination.as_ref()?;
                Seen::by_examiner(examination)
            });
            let seen = match &own {
                Some(None) => continue,
                Some(Some(own)) => own,
                None => seen,
            };
            let Ok(on) = read_day(&seen.on) else {
                continue;
            };
            // Nobody sees a thing before it is made.
            if on > self.today || item.made.is_some_and(|made| made.cautious_day() > on) {
                continue;
            }
            if let Some(why) = self.not_competent(*of, seen, model, on) {
                self.not_taken.entry(*of).or_insert(why);
                continue;
            }
            match of {
                SeenOf::MarkingsUnknown
                    if item.markings_readable.is_some() || seen.by.trim().is_empty() =>
                {
                    continue;
                }
                SeenOf::MarkingsUnknown => {
                    if let Some(words) = marking_words::spoilt(&planned.draft.note) {
                        self.not_taken
                            .entry(*of)
                            .or_insert(marking_words::contradicts(words));
                        continue;
                    }
                    self.markings_seen(planned, seen, on);
                }
                SeenOf::NeverExamined => examined(planned, ExaminationKind::Intake, seen, on),
                SeenOf::Overdue => examined(planned, ExaminationKind::Periodic, seen, on),
            }
            let rows = self.told.seen.entry(*of).or_default();
            rows.push(planned.row);
            said = true;
        }
        said
    }

    /// Whoever only looks at markings needs no qualification; whoever examines does.
    fn not_competent(&self, of: SeenOf, seen: &Seen, model: &Model, on: Date) -> Option<String> {
        match of {
            SeenOf::MarkingsUnknown => None,
            SeenOf::NeverExamined | SeenOf::Overdue => {
                self.known.not_competent(&seen.by, model.kind, on)
            }
        }
    }

    fn markings_seen(&self, planned: &mut PlannedItem, seen: &Seen, on: Date) {
        let (by, on) = (seen.by.trim(), write_day(on));
        "yes".clone_into(&mut planned.draft.markings_readable);
        let line = if seen.each {
            format!(
                "Markings seen and readable: {by}, {on}, as the examiner of this item; a statement of {}, who brought the list in.",
                self.known.recorder()
            )
        } else {
            format!(
                "Markings seen and readable: {by}, {on}; said for all items when the list was brought in."
            )
        };
        let note = &mut planned.draft.note;
        if !note.is_empty() {
            note.push('\n');
        }
        note.push_str(&line);
    }

    fn finish(mut self) -> Foretold {
        let opens = self.nearest.opens();
        let found = std::mem::take(&mut self.found);
        self.told.reasons = self.reasons(found, &opens);
        let found = std::mem::take(&mut self.at_positions);
        self.told.at_positions = self.reasons(found, &opens);
        let found = std::mem::take(&mut self.papers);
        self.told.papers = self.reasons(found, &opens);
        self.told
    }

    fn reasons(&self, found: BTreeMap<Words, Found>, opens: &Opens) -> Vec<Reason> {
        let reasons = found.into_iter().map(|(words, found)| Reason {
            code: words.code,
            sentence: words.sentence,
            to_do: to_do(words, found.seen.and_then(|of| self.not_taken.get(&of))),
            rows: found.rows.clone(),
            rule: found.rules.join("; "),
            offer: self.offer(words, found, opens),
        });
        let mut reasons: Vec<Reason> = reasons.collect();
        reasons.sort_by_key(|reason| std::cmp::Reverse(reason.rows.len()));
        reasons
    }

    fn offer(&self, words: Words, found: Found, opens: &Opens) -> Offer {
        if let Some(of) = found.seen {
            return Offer::Seen(of);
        }
        let of_model = |((at, lot), (sentence, items)): (Of, (String, usize))| {
            let model = self.models.get(&at)?;
            let field = reason::field(words.code, model.kind);
            Some(OfModel {
                title: unmade::title(&model.title(), &lot),
                kind: model.kind,
                id: match at {
                    // When items were made is said of them, whether the register has their model or not.
                    ModelRef::Known(id) if field != Some(Field::Made) => Some(id),
                    _ => None,
                },
                sentence,
                field,
                items,
                opens: opens.get(&(at, words.code)).copied().unwrap_or(0),
            })
        };
        let models: Vec<OfModel> = found.models.into_iter().filter_map(of_model).collect();
        if models.is_empty() {
            Offer::InFile
        } else {
            Offer::Models(models)
        }
    }
}

/// What to do, and why what was said did not do.
fn to_do(words: Words, not_taken: Option<&String>) -> String {
    match not_taken {
        None => words.to_do.to_owned(),
        Some(why) => format!("What was said of them is not taken: {why}"),
    }
}

/// Plans an examination that was said for all items at once.
fn examined(planned: &mut PlannedItem, kind: ExaminationKind, seen: &Seen, on: Date) {
    planned.seen = Some(ExaminationDraft {
        kind: kind.key().to_owned(),
        on: write_day(on),
        examiner: seen.by.trim().to_owned(),
        findings: "Said for all such items at once when their list was brought in.".to_owned(),
        verdict: Verdict::Fit.key().to_owned(),
        ..ExaminationDraft::default()
    });
}
