//! Rows of one maker and model name share a model; what they say of it must agree, the kind first of all; what does
//! not is asked once a model and field.

use std::collections::{BTreeMap, BTreeSet};

use super::against_asked::Held;
use super::answer::{Answers, ReadIn};
use super::fate::{Fate, RowError};
use super::field::Field;
use super::heading::{Headings, shortened};
use super::remark::Remarks;
use super::rope_uses::RopesOf;
use super::row::ReadRow;
use super::there::is_another;
use super::variant::Variant;
use super::{blame, load_each, unit};
use crate::domain::entered::ForceUnit;
use crate::domain::{ApprovalDraft, Kind, Model, ModelDraft, RatingDraft, Where, fold};
use crate::rigging::{LoadingMode, StrengthKind};

/// What the rows of one model say of it.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub(super) kind: Kind,
    pub(super) maker: String,
    pub(super) name: String,
    /// Each value with the first row that has it.
    pub(super) values: BTreeMap<Field, (String, u32)>,
    /// What its rows say of each field, each different thing with its rows.
    pub(super) said: BTreeMap<Field, Vec<Variant>>,
    /// The ropes that its rows give for one approval or one use alone.
    pub(super) ropes_of: Vec<RopesOf>,
    /// The standards that its rows name.
    pub(super) approvals: Vec<ApprovalDraft>,
    /// Where what was said of it on the page was read.
    pub(super) read_in: BTreeMap<Field, ReadIn>,
    /// To which of its approvals the rated load belongs, where that was said: all, or the one with this title.
    pub(super) load_of: Option<String>,
    /// Whether the register has it, so that what the rows say is only held against what is there.
    pub(super) is_known: bool,
    /// Whether somebody said that the other end is not known.
    pub(super) rope_unknown: bool,
    pub(super) first_row: u32,
    /// How many items.
    pub(super) rows: usize,
    /// The rows of the file that they stand in.
    pub(super) numbers: BTreeSet<u32>,
    /// The fields of which some row says what could not be read, or not yet, with why: they are not missing.
    pub(super) unread: BTreeMap<Field, Fate>,
}

/// What makes a model one: folded maker and folded name.
pub(super) type GroupKey = (String, String);

/// Whether a field is about the model, and not about one item.
pub(super) fn is_of_model(field: Field, kind: Kind) -> bool {
    match field {
        Field::Attribute(key) => kind.attribute(key).is_some_and(|a| a.on == Where::Model),
        Field::Strength(..)
        | Field::Material
        | Field::LifeSupport
        | Field::LifeFromMade
        | Field::LifeFromFirstUse
        | Field::MostHours
        | Field::MostUses
        | Field::MostFalls
        | Field::ExamineEvery
        | Field::Instructions
        | Field::Price
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
pub(super) struct Groups {
    pub(super) all: BTreeMap<GroupKey, Group>,
    /// The models of the items that are in the register already, with what the rows of those say of them.
    pub(super) there: BTreeMap<GroupKey, (Group, Model)>,
    /// The rows that say otherwise of their model than rows before.
    pub(super) differing: BTreeSet<u32>,
    /// The rows that got a model of their own for that, with its name.
    pub(super) renamed: Vec<(u32, String)>,
    /// What such rows take over from the register.
    pub(super) held: Vec<Held>,
    /// What was said to hold of a field of a model and some row says, wherever it stands in the list.
    pub(super) agreed: BTreeMap<(GroupKey, Field), Variant>,
}

impl Groups {
    /// The rows, with what of them was said to hold of all of their model: a row may come before the one that says it.
    pub(super) fn of(rows: &[ReadRow], answers: &Answers) -> Self {
        let mut groups = Self::default();
        for row in rows.iter().filter(|_| !answers.agreed.is_empty()) {
            let (maker, name) = (row.text(Field::Maker), row.text(Field::Model));
            let Some(kind) = row.kind else { continue };
            let title = format!("{maker} {name}");
            for field in Group::new(kind, (maker, name), row.number).fields_of(row) {
                let agreed = answers.agreed(&title, field).map(fold);
                let holds = Variant::of(row, field).filter(|one| Some(fold(&one.text)) == agreed);
                if let Some(holds) = holds {
                    let of = ((fold(maker), fold(name)), field);
                    groups.agreed.entry(of).or_insert(holds);
                }
            }
        }
        groups
    }

    /// Notes what a row of an item that is there already says of its model.
    pub(super) fn add_there(&mut self, row: &ReadRow, model: Model) {
        if is_another(row, &model) {
            return;
        }
        let key = (fold(&model.maker), fold(&model.name));
        let (group, _) = self.there.entry(key).or_insert_with(|| {
            let of = (model.maker.as_str(), model.name.as_str());
            (Group::new(model.kind, of, row.number), model.clone())
        });
        group.rows += 1;
        group.numbers.insert(row.number);
        group.unread.extend(row.unread());
        group.agree(row);
    }

    /// Puts a row to its model. That it is of another kind than the register has it, or an earlier row, is an error of this
    /// row alone; what rows say otherwise of the model is asked once.
    pub(super) fn add(
        &mut self,
        row: &mut ReadRow,
        kind: Kind,
        (maker, name): (&str, &str),
        (headings, known): (&Headings, Option<&Model>),
        errors: &mut Vec<RowError>,
    ) -> GroupKey {
        let key = (fold(maker), fold(name));
        let of_model = known.map_or(kind, |model| model.kind);
        let new = || Group::new(of_model, (maker, name), row.number);
        let group = self.all.entry(key.clone()).or_insert_with(new);
        group.rows += 1;
        group.numbers.insert(row.number);
        group.unread.extend(row.unread());
        if group.kind == kind {
            if group.agree(row) {
                self.differing.insert(row.number);
            }
        } else {
            row.wrong += 1;
            let message = match known {
                Some(model) => format!(
                    "The register has {} as {}, not as {}. Put the kind right in the list or on the model's record, or give this row's model another name.",
                    shortened(&model.title()),
                    model.kind.one(),
                    kind.one()
                ),
                None => group.against(kind.word(), group.kind.word(), group.first_row),
            };
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
    /// A model of which nothing is said yet.
    pub(super) fn new(kind: Kind, (maker, name): (&str, &str), first_row: u32) -> Self {
        Self {
            kind,
            maker: maker.to_owned(),
            name: name.to_owned(),
            values: BTreeMap::new(),
            said: BTreeMap::new(),
            ropes_of: Vec::new(),
            approvals: Vec::new(),
            read_in: BTreeMap::new(),
            load_of: None,
            is_known: false,
            rope_unknown: false,
            first_row,
            rows: 0,
            numbers: BTreeSet::new(),
            unread: BTreeMap::new(),
        }
    }

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

    /// Why a field has no value though some row says something of it.
    pub(super) fn unread(&self, field: Field) -> Option<Fate> {
        let range = unit::is_rope(field).then_some(Field::RopeRange);
        let mut fields = [Some(field), range].into_iter().flatten();
        fields.find_map(|field| self.unread.get(&field)).copied()
    }

    /// Maker and name in one line.
    pub(super) fn title(&self) -> String {
        format!("{} {}", self.maker, self.name)
    }

    pub(super) fn text(&self, field: Field) -> String {
        self.values
            .get(&field)
            .map(|(text, _)| text.clone())
            .unwrap_or_default()
    }

    /// Whether the list gives it a rating, so that it matters where that was read.
    pub(super) fn is_rated(&self) -> bool {
        let fields = self.values.keys().chain(self.unread.keys());
        let mut of_list = fields.filter(|field| !self.read_in.contains_key(field));
        of_list.any(|field| match field {
            Field::RatedLoad => self.rates_load(),
            field => matches!(field, Field::Strength(..)),
        })
    }

    /// Whether the rated load becomes a rating: it is a force, or no standard is named that it could stand with.
    pub(super) fn rates_load(&self) -> bool {
        if load_each::read(&self.text(Field::RatedLoad)).is_some() {
            return false;
        }
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
            most_hours: self.text(Field::MostHours),
            most_uses: self.text(Field::MostUses),
            most_falls: self.text(Field::MostFalls),
            examine_every_months: self.text(Field::ExamineEvery),
            instructions: self.text(Field::Instructions),
            price: self.text(Field::Price),
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
        self.kind.confirm(&mut draft.attributes);
        self.ratings(&mut draft, remarks);
        self.approvals(&mut draft, remarks);
        self.say_where_read(&mut draft);
        draft
    }

    fn ratings(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let source = self.text(Field::StrengthSource);
        let usual = self.kind.modes().first().copied();
        let mut add = |field, kind: StrengthKind, mode: Option<LoadingMode>, value: String| {
            let Some(mode) = mode.or(usual) else { return };
            let said = self.read_in.get(&field);
            let rating = RatingDraft {
                mode: mode.key().to_owned(),
                // What such gear hardly ever holds was asked about before it came here.
                confirmed: self.text(field),
                value,
                kind: kind.key().to_owned(),
                source: said.map_or_else(|| source.clone(), |read| read.key().to_owned()),
            };
            // The usual way of loading may have a column of its own beside a plain one.
            if !draft.ratings.contains(&rating) {
                draft.ratings.push(rating);
            }
        };
        for (field, (text, _)) in &self.values {
            if let Field::Strength(kind, mode) = field {
                add(*field, *kind, *mode, text.clone());
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
        add(Field::RatedLoad, StrengthKind::RatedLoad, None, force);
    }
}
