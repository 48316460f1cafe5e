//! Rows of one maker and model name share a model; what they say of it must agree, the kind first of all.

use std::collections::BTreeMap;

use super::answer::Answers;
use super::fate::{Fate, RowError};
use super::field::Field;
use super::heading::{Headings, shortened};
use super::remark::Remarks;
use super::row::ReadRow;
use super::{blame, standard, unit};
use crate::domain::entered::ForceUnit;
use crate::domain::{ApprovalDraft, Kind, ModelDraft, RatingDraft, Where, fold, has_class};
use crate::rigging::{LoadingMode, StrengthKind};

/// What the rows of one model say of it.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub(super) kind: Kind,
    pub(super) maker: String,
    pub(super) name: String,
    /// Each value with the first row that has it.
    pub(super) values: BTreeMap<Field, (String, u32)>,
    /// The standards that its rows name.
    approvals: Vec<ApprovalDraft>,
    pub(super) first_row: u32,
    pub(super) rows: usize,
    /// The fields of which some row says what could not be read, or not yet, with why: they are not missing.
    unread: BTreeMap<Field, Fate>,
}

/// What makes a model one: folded maker and folded name.
pub(super) type GroupKey = (String, String);

/// Whether a field is about the model, and not about one item.
fn is_of_model(field: Field, kind: Kind) -> bool {
    match field {
        Field::Attribute(key) => kind.attribute(key).is_some_and(|a| a.on == Where::Model),
        Field::Strength(..)
        | Field::Material
        | Field::LifeSupport
        | Field::LifeFromMade
        | Field::LifeFromFirstUse
        | Field::ExamineEvery
        | Field::Instructions
        | Field::StrengthSource
        | Field::Standard
        | Field::Edition
        | Field::Class
        | Field::RopeLeast
        | Field::RopeMost
        | Field::RopeKinds
        | Field::RatedLoad
        | Field::LeastStrands => true,
        _ => false,
    }
}

/// All models of a file, by what makes each one.
#[derive(Default)]
pub(super) struct Groups(pub(super) BTreeMap<GroupKey, Group>);

impl Groups {
    /// Puts a row to its model; what it says against an earlier row is an error that names both.
    pub(super) fn add(
        &mut self,
        row: &mut ReadRow,
        kind: Kind,
        (maker, name): (&str, &str),
        headings: &Headings,
        errors: &mut Vec<RowError>,
    ) -> GroupKey {
        let key = (fold(maker), fold(name));
        let group = self.0.entry(key.clone()).or_insert_with(|| Group {
            kind,
            maker: maker.to_owned(),
            name: name.to_owned(),
            values: BTreeMap::new(),
            approvals: Vec::new(),
            first_row: row.number,
            rows: 0,
            unread: BTreeMap::new(),
        });
        group.rows += 1;
        group.unread.extend(row.unread());
        if group.kind == kind {
            errors.extend(group.agree(row, headings));
        } else {
            row.wrong += 1;
            let message = group.against(kind.word(), group.kind.word(), group.first_row);
            errors.push(blame::at(
                headings,
                row.number,
                Some(Field::Kind),
                "same-model",
                message,
            ));
        }
        key
    }
}

impl Group {
    /// That a row says one thing of the model and an earlier row another.
    fn against(&self, ours: &str, theirs: &str, row: u32) -> String {
        format!(
            "This row says {}, but row {row} says {} for the same model, {} {}. Make them the same, or give the models different names.",
            shortened(ours),
            shortened(theirs),
            shortened(&self.maker),
            shortened(&self.name)
        )
    }

    /// Takes over what a row says of the model; gives what it says against an earlier row.
    fn agree(&mut self, row: &mut ReadRow, headings: &Headings) -> Vec<RowError> {
        let mut errors = Vec::new();
        for (field, given) in &row.values {
            if !is_of_model(*field, self.kind) {
                continue;
            }
            if *field == Field::Standard
                && let Some(joined) = standard::joined(&self.approvals, &row.approvals)
            {
                self.approvals = joined;
                continue;
            }
            match self.values.get(field) {
                None => {
                    let said = (given.text.clone(), row.number);
                    self.values.insert(*field, said);
                    if *field == Field::Standard {
                        self.approvals.clone_from(&row.approvals);
                    }
                }
                Some((text, first)) if fold(text) != fold(&given.text) => {
                    let message = self.against(&given.text, text, *first);
                    errors.push(blame::at(
                        headings,
                        row.number,
                        Some(*field),
                        "same-model",
                        message,
                    ));
                }
                Some(_) => {}
            }
        }
        row.wrong += errors.len();
        errors
    }

    /// Fills what the rows leave open from what was said of the model.
    pub(super) fn fill(&mut self, answers: &Answers) {
        let title = format!("{} {}", self.maker, self.name);
        for (field, text) in answers.of_model(&title) {
            if !is_of_model(field, self.kind) || self.unread.contains_key(&field) {
                continue;
            }
            if field == Field::Standard {
                // An approval that is asked for stands beside those of the list.
                for approval in standard::read(text, answers).approvals {
                    if !self.approvals.contains(&approval) {
                        self.approvals.push(approval);
                    }
                }
            }
            self.values
                .entry(field)
                .or_insert_with(|| (text.to_owned(), self.first_row));
        }
    }

    /// Why a field has no value though some row says something of it.
    pub(super) fn unread(&self, field: Field) -> Option<Fate> {
        let range = unit::is_rope(field).then_some(Field::RopeRange);
        let mut fields = [Some(field), range].into_iter().flatten();
        fields.find_map(|field| self.unread.get(&field)).copied()
    }

    fn text(&self, field: Field) -> String {
        self.values
            .get(&field)
            .map(|(text, _)| text.clone())
            .unwrap_or_default()
    }

    /// Whether it has a rating, so that it matters where it was read.
    pub(super) fn is_rated(&self) -> bool {
        let rated_load_is_rating = self.values.contains_key(&Field::RatedLoad) && self.rates_load();
        rated_load_is_rating
            || self
                .values
                .keys()
                .chain(self.unread.keys())
                .any(|field| matches!(field, Field::Strength(..)))
    }

    /// Whether the rated load becomes a rating: it is a force, or no standard is named that it could stand with.
    fn rates_load(&self) -> bool {
        let force = self
            .text(Field::RatedLoad)
            .rsplit_once(' ')
            .is_some_and(|(_, unit)| ForceUnit::from_symbol(unit).is_some());
        (force || !self.values.contains_key(&Field::Standard)) && !self.kind.modes().is_empty()
    }

    /// The model as it would be typed, and what was put elsewhere than its column says.
    pub(super) fn draft(&self, remarks: &mut Remarks) -> ModelDraft {
        let mut draft = ModelDraft {
            kind: self.kind.key().to_owned(),
            maker: self.maker.clone(),
            name: self.name.clone(),
            material: self.text(Field::Material),
            life_support: self.text(Field::LifeSupport),
            life_years_from_made: self.text(Field::LifeFromMade),
            life_years_from_first_use: self.text(Field::LifeFromFirstUse),
            examine_every_months: self.text(Field::ExamineEvery),
            instructions: self.text(Field::Instructions),
            ..ModelDraft::default()
        };
        if ["by condition", "condition", "unlimited"]
            .contains(&fold(&draft.life_years_from_made).as_str())
        {
            draft.life_years_from_made = String::new();
            "yes".clone_into(&mut draft.life_by_condition);
        }
        for (field, (text, _)) in &self.values {
            if let Field::Attribute(key) = field {
                draft.attributes.insert((*key).to_owned(), text.clone());
            }
        }
        self.ratings(&mut draft, remarks);
        self.approvals(&mut draft, remarks);
        draft
    }

    fn ratings(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let source = self.text(Field::StrengthSource);
        let usual = self.kind.modes().first().copied();
        let mut add = |kind: StrengthKind, mode: Option<LoadingMode>, value: String| {
            let Some(mode) = mode.or(usual) else { return };
            let rating = RatingDraft {
                mode: mode.key().to_owned(),
                value,
                kind: kind.key().to_owned(),
                source: source.clone(),
            };
            // The usual way of loading may have a column of its own beside a plain one.
            if !draft.ratings.contains(&rating) {
                draft.ratings.push(rating);
            }
        };
        for (field, (text, _)) in &self.values {
            if let Field::Strength(kind, mode) = field {
                add(*kind, *mode, text.clone());
            }
        }
        let load = self.text(Field::RatedLoad);
        if load.is_empty() || !self.rates_load() {
            return;
        }
        let force = match load.rsplit_once(' ') {
            Some((value, "kg")) => format!("{value} kgf"),
            Some((value, "lb")) => format!("{value} lbf"),
            _ => load.clone(),
        };
        if force != load {
            remarks.add(
                self.first_row,
                "A rated load without a standard is read as the force of its weight, in kgf or lbf.".to_owned(),
            );
        }
        add(StrengthKind::RatedLoad, None, force);
    }

    fn approvals(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        if self.unread.contains_key(&Field::Standard) {
            return;
        }
        draft.approvals.clone_from(&self.approvals);
        if draft.approvals.is_empty() {
            self.keep_in_note(draft, remarks);
            return;
        }
        for approval in &mut draft.approvals {
            approval.rope_least = self.text(Field::RopeLeast);
            approval.rope_most = self.text(Field::RopeMost);
            approval.rope_kinds = self.text(Field::RopeKinds);
            approval.least_strands = self.text(Field::LeastStrands);
            if !self.rates_load() {
                approval.rated_load = self.text(Field::RatedLoad);
            }
        }
        self.class_and_edition(draft, remarks);
    }

    /// Puts a class and an edition that stand in columns of their own to the standard that they are of.
    fn class_and_edition(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let (class, edition) = (self.text(Field::Class), self.text(Field::Edition));
        if let [one] = draft.approvals.as_mut_slice() {
            for (own, column) in [(&mut one.class, class), (&mut one.edition, edition)] {
                if own.is_empty() {
                    *own = column;
                }
            }
            return;
        }
        let approvals = draft.approvals.iter_mut();
        let mut having: Vec<&mut ApprovalDraft> = approvals
            .filter(|one| one.class.is_empty() && has_class(&one.standard, &class))
            .collect();
        let mut left = vec![Field::Edition];
        match having.as_mut_slice() {
            [one] => {
                let sentence = format!(
                    "Of several standards in one cell only {} has a class {class}; it is taken as its class.",
                    one.standard
                );
                one.class = class;
                remarks.add(self.first_row, sentence);
            }
            _ => left.insert(0, Field::Class),
        }
        self.note(draft, remarks, &left, "several standards share one cell");
    }

    /// Without a standard there is no approval that a rope range could belong to.
    fn keep_in_note(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let class = match self.kind {
            Kind::Rope => Some("rope-class"),
            Kind::Connector => Some("connector-class"),
            _ => None,
        };
        let class_taken = class.is_some_and(|key| {
            let class = self.text(Field::Class);
            !class.is_empty()
                && draft
                    .attributes
                    .entry(key.to_owned())
                    .or_insert(class.clone())
                    == &class
        });
        let mut fields = vec![
            Field::Edition,
            Field::RopeLeast,
            Field::RopeMost,
            Field::RopeKinds,
            Field::LeastStrands,
        ];
        if !class_taken {
            fields.push(Field::Class);
        }
        if !self.rates_load() {
            fields.push(Field::RatedLoad);
        }
        self.note(
            draft,
            remarks,
            &fields,
            "no standard is named that it belongs to",
        );
    }

    fn note(&self, draft: &mut ModelDraft, remarks: &mut Remarks, fields: &[Field], why: &str) {
        for field in fields {
            let text = self.text(*field);
            if text.is_empty() {
                continue;
            }
            let label = field.label();
            if !draft.note.is_empty() {
                draft.note.push('\n');
            }
            draft.note.push_str(&label);
            draft.note.push_str(": ");
            draft.note.push_str(&text);
            remarks.add(
                self.first_row,
                format!("\"{label}\" is kept in the model's note: {why}."),
            );
        }
    }
}
