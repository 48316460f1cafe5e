//! Puts rows, models and stores together and holds them to the rules of the register.

use std::collections::{BTreeMap, BTreeSet};

use time::Date;
use uuid::Uuid;

use super::answer::Answers;
use super::examiner::Unproven;
use super::fate::{Fate, Remark, RowError, RowFate};
use super::field::Field;
use super::forecast::Models;
use super::grouping::{Group, GroupKey, Groups};
use super::heading::{Headings, shortened};
use super::known::Known;
use super::named::NamedModels;
use super::plan::{ModelRef, Plan, StoreRef};
use super::question::Question;
use super::remark::Remarks;
use super::restricting::Restricting;
use super::row::{Given, ReadRow, ReadRows};
use super::said::Silent;
use super::{blame, maker_word};
use crate::domain::{FieldErrors, Item, Kind, Model, ModelId};

/// All that comes of the rows.
pub(super) struct Assembled {
    pub(super) plan: Plan,
    /// The items that are given another date made.
    pub(super) made_anew: Vec<Item>,
    pub(super) rows: Vec<RowFate>,
    pub(super) questions: Vec<Question>,
    pub(super) open: Vec<Question>,
    /// What was said of models and does not hold.
    pub(super) faulty: FieldErrors,
    pub(super) errors: Vec<RowError>,
    pub(super) remarks: Vec<Remark>,
    /// The models, as far as they hold.
    pub(super) models: Models,
    /// How many rows have words that state something no column holds.
    pub(super) described: usize,
    /// The kinds of gear of which rows do not say whether they may hold people, with how many.
    pub(super) people: Vec<(Kind, usize)>,
    /// The items whose remarks restrict them.
    pub(super) restricting: Vec<Restricting>,
    /// How many rows say otherwise of their model than rows before.
    pub(super) differing: usize,
    /// The models that the rows name.
    pub(super) named: NamedModels,
}

/// The fields that every item must have something for, and that one answer may fill for all rows.
pub(super) const NEEDED: [Field; 4] = [Field::Kind, Field::Maker, Field::Model, Field::Store];

/// A model that rows refer to, checked as far as it can be.
pub(super) struct ReadyModel {
    pub(super) at: ModelRef,
    pub(super) model: Option<Model>,
    /// What stands in the way of all its items.
    pub(super) hold: Option<Fate>,
}

/// What is put together while the rows are gone through.
pub(super) struct Assembly<'a> {
    pub(super) headings: &'a Headings,
    pub(super) answers: &'a Answers,
    pub(super) known: &'a Known,
    pub(super) today: Date,
    pub(super) plan: Plan,
    /// The rows of which nobody has answered what holds where the list is silent.
    pub(super) silent: BTreeMap<Field, Silent>,
    pub(super) errors: Vec<RowError>,
    pub(super) remarks: Remarks,
    /// The items that are given another date made.
    pub(super) made_anew: Vec<Item>,
    pub(super) stores: BTreeMap<String, StoreRef>,
    pub(super) marks: BTreeMap<String, u32>,
    pub(super) serials: BTreeMap<(GroupKey, String), u32>,
    /// The rows for which an answer stands where the list is silent.
    pub(super) said: BTreeMap<Field, Silent>,
    /// What rows say otherwise of their models than others, each once a model and field.
    pub(super) differing: Vec<Question>,
    /// What may stay open of single models.
    pub(super) open: Vec<Question>,
    /// What was said and does not hold.
    pub(super) faulty: FieldErrors,
    /// The rows of each kind that do not say whether the gear may hold people.
    pub(super) people: BTreeMap<Kind, Silent>,
    /// The names of examiners whose examinations cannot be taken over as they stand.
    pub(super) examiners: BTreeMap<String, Unproven>,
    /// The rows of which no date made is known.
    pub(super) unmade: Vec<u32>,
    /// The names of models of rows that name no maker.
    pub(super) names: BTreeSet<String>,
    /// The items whose remarks restrict them.
    pub(super) restricting: Vec<Restricting>,
    /// The rows that are left out since they say otherwise of their model than the register.
    pub(super) left: BTreeSet<u32>,
    /// The rows and marks of items that are there already and were examined later than the register has it.
    pub(super) later: Vec<(u32, String)>,
    /// The rows of items that are there already and wait for what holds of their model.
    pub(super) waiting: BTreeSet<u32>,
    /// What the list says of the models of rows otherwise than the register, for the notes of their items.
    pub(super) doubts: BTreeMap<u32, Vec<String>>,
    /// The models that the rows name.
    pub(super) named: NamedModels,
    /// The one maker that rows name for a model's name, folded; none where they name several.
    pub(super) makers: BTreeMap<String, Option<String>>,
}

pub(super) fn assemble(
    headings: &Headings,
    mut read: ReadRows,
    answers: &Answers,
    known: &Known,
    today: Date,
) -> Assembled {
    let mut assembly = Assembly::new((headings, answers, known), today, &mut read);
    let mut rows = read.rows;
    let mut groups = Groups::of(&rows, answers);
    let keys = rows.iter_mut().map(|row| assembly.group(row, &mut groups));
    let keys: Vec<Option<GroupKey>> = keys.collect();
    let models = assembly.models(&mut groups);
    let fates = rows
        .iter_mut()
        .zip(keys)
        .map(|(row, key)| {
            row.left_out |= assembly.left.contains(&row.number);
            row.asked |= assembly.waiting.contains(&row.number);
            let key = key.filter(|_| !row.left_out);
            row.note.extend(
                assembly
                    .doubts
                    .get(&row.number)
                    .cloned()
                    .unwrap_or_default(),
            );
            let model = key.as_ref().and_then(|key| models.get(key));
            assembly.serial(row, key, model);
            assembly.item(row, model)
        })
        .collect();
    assembly.remark_renamed(&mut groups);
    assembly.remark_unmade();
    assembly.remark_later();
    assembly.remark_said();
    let mut questions = read.questions;
    questions.extend(assembly.questions());
    let models = models.into_values();
    let models = models.filter_map(|ready| Some((ready.at, ready.model?)));
    Assembled {
        models: models.collect(),
        people: assembly.kinds_of_people(),
        restricting: assembly.restricting,
        differing: groups.differing.len(),
        named: assembly.named,
        plan: assembly.plan,
        made_anew: assembly.made_anew,
        rows: fates,
        questions,
        open: assembly.open,
        faulty: assembly.faulty,
        errors: assembly.errors,
        remarks: assembly.remarks.list(),
        described: read.described,
    }
}

impl<'a> Assembly<'a> {
    /// Nothing put together yet; what was found while the rows were read goes on.
    fn new(
        (headings, answers, known): (&'a Headings, &'a Answers, &'a Known),
        today: Date,
        read: &mut ReadRows,
    ) -> Self {
        Self {
            headings,
            answers,
            known,
            today,
            plan: Plan::default(),
            silent: BTreeMap::new(),
            said: BTreeMap::new(),
            people: BTreeMap::new(),
            errors: std::mem::take(&mut read.errors),
            remarks: std::mem::take(&mut read.remarks),
            made_anew: Vec::new(),
            stores: BTreeMap::new(),
            marks: BTreeMap::new(),
            serials: BTreeMap::new(),
            differing: Vec::new(),
            open: Vec::new(),
            faulty: FieldErrors::default(),
            examiners: BTreeMap::new(),
            unmade: Vec::new(),
            names: BTreeSet::new(),
            restricting: Vec::new(),
            left: BTreeSet::new(),
            waiting: BTreeSet::new(),
            later: Vec::new(),
            doubts: BTreeMap::new(),
            named: NamedModels::default(),
            makers: maker_word::of_names(&read.rows),
        }
    }

    /// What is asked of all rows together.
    fn questions(&mut self) -> Vec<Question> {
        let mut questions = std::mem::take(&mut self.differing);
        questions.extend(self.ask_examiners());
        questions.extend(self.silence());
        questions.extend(self.ask_restricted());
        questions
    }

    /// Says which rows got a model of their own.
    fn remark_renamed(&mut self, groups: &mut Groups) {
        for (row, name) in std::mem::take(&mut groups.renamed) {
            let sentence = format!("A model of its own, as was said: \"{}\".", shortened(&name));
            self.remarks.add(row, sentence);
        }
    }
}

impl Assembly<'_> {
    /// Fills what the row leaves open from the answers, and puts it to its model.
    fn group(&mut self, row: &mut ReadRow, groups: &mut Groups) -> Option<GroupKey> {
        if row.left_out {
            return None;
        }
        self.maker_of_name(row);
        if let Some((_, model)) = self.there(row) {
            self.named.add(row);
            groups.add_there(row, model);
            return None;
        }
        for field in NEEDED {
            let there = match field {
                Field::Kind => {
                    row.asked_for(Field::Kind) || (row.kind.is_some() && !row.kind_answered)
                }
                other => !row.text(other).trim().is_empty() || row.is_wrong(other),
            };
            if there {
                continue;
            }
            if field == Field::Kind && row.kind.is_none() {
                self.ask(field, [row.number]);
                row.asked = true;
                continue;
            }
            if field == Field::Maker {
                self.note_name(row);
            }
            match self.answer(field, [row.number]) {
                Some(_) if field == Field::Kind => {}
                Some(text) => {
                    if field == Field::Maker {
                        self.name_without(row, &text);
                    }
                    let shown = text.clone();
                    row.values.insert(field, Given { text, shown });
                }
                None => row.asked = true,
            }
        }
        self.named.add(row);
        self.doubt_figures(row);
        let maker = row.text(Field::Maker).to_owned();
        if let Some(kind) = row.kind {
            groups.apart(row, (kind, &maker), (self.answers, self.known));
        }
        for held in std::mem::take(&mut groups.held) {
            self.register_holds(&held);
        }
        let name = row.text(Field::Model).to_owned();
        let Some(kind) = row.kind.filter(|_| !maker.is_empty() && !name.is_empty()) else {
            self.silent_of_model(row);
            return None;
        };
        let known = self.known.model(&maker, &name);
        let of = (self.headings, known);
        Some(groups.add(row, kind, (&maker, &name), of, &mut self.errors))
    }

    fn models(&mut self, groups: &mut Groups) -> BTreeMap<GroupKey, ReadyModel> {
        let mut ready = BTreeMap::new();
        for (key, group) in &mut groups.all {
            let known = self.known.model(&group.maker, &group.name);
            let against = known.and_then(|model| self.settle_against(group, model));
            let waits = self.settle(group).or(against);
            let mut model = match known {
                Some(model) => {
                    group.is_known = true;
                    self.known_model(group, model)
                }
                None => self.new_model(group),
            };
            model.hold = waits.or(model.hold);
            ready.insert(key.clone(), model);
        }
        for (group, model) in std::mem::take(&mut groups.there).into_values() {
            self.of_there(&group, &model);
        }
        ready
    }

    fn known_model(&mut self, group: &Group, model: &Model) -> ReadyModel {
        self.tell_not_taken(group, model);
        self.note_standards(group, model);
        ReadyModel {
            at: ModelRef::Known(model.id),
            model: Some(model.clone()),
            hold: None,
        }
    }

    fn new_model(&mut self, group: &mut Group) -> ReadyModel {
        group.fill(self.answers, &mut self.faulty);
        let mut hold = self.doubt_said(group);
        for (field, needed) in [
            (Field::LifeSupport, group.kind.is_loaded()),
            (Field::StrengthSource, group.is_rated()),
        ] {
            if !needed || group.values.contains_key(&field) {
                continue;
            }
            if field == Field::LifeSupport {
                let rows = self.people.entry(group.kind).or_default();
                rows.extend(group.numbers.iter().copied());
                if let Some(said) = self.answers.people(group.kind) {
                    let said = (said.to_owned(), group.first_row);
                    group.values.insert(field, said);
                    continue;
                }
            }
            match self.answer(field, group.numbers.iter().copied()) {
                Some(said) => {
                    group.values.insert(field, (said, group.first_row));
                }
                None => hold = Some(Fate::Asked),
            }
        }
        self.ask_load(group);
        self.ask_rope_end(group);
        self.ask_material(group);
        self.ask_life(group);
        let mut draft = group.draft(&mut self.remarks);
        group.class_letter(&mut draft);
        let at = ModelRef::New(self.plan.models.len());
        let checked = draft.check(ModelId(Uuid::nil()), 1);
        let before = self.errors.len();
        let model = checked.map_err(|wrong| {
            for error in wrong.0 {
                let field = blame::model_field(&error.field);
                if field.is_some_and(|field| self.silent.contains_key(&field)) {
                    continue;
                }
                let unread = field.and_then(|field| group.unread(field));
                if let (Some(why), "required") = (unread, error.code.as_str()) {
                    hold = Some(why);
                    continue;
                }
                let error = blame::of_group(self.headings, group, field, error);
                self.errors.push(error);
            }
        });
        if self.errors.len() > before {
            hold = Some(Fate::ModelWrong);
        }
        self.plan.models.push(group.planned(draft));
        ReadyModel {
            at,
            model: model.ok(),
            hold,
        }
    }
}
