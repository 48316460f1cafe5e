//! What the team's register holds already.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use time::Date;

use crate::domain::fitness::interval_months;
use crate::domain::rulebook::Rulebook;
use crate::domain::{
    Competence, FirstRecorded, Item, ItemId, Kind, Model, ModelId, Notice, PersonId, Store, fold,
};

/// What the team's register holds already, as far as the file touches it.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// The items whose marks the file names, each with its model, by the folded mark.
    pub items: BTreeMap<String, (Item, Model)>,
    /// The models.
    pub models: Vec<Model>,
    /// The stores.
    pub stores: Vec<Store>,
    /// The serials that are taken, folded, each with its model.
    pub serials: BTreeSet<(ModelId, String)>,
    /// The rulebook whose intervals the team works by; without one no interval is held against the list.
    pub rulebook: Option<Cow<'static, Rulebook>>,
    /// Who is competent to examine, and who takes the list in; without it no examiner is held against it.
    pub competence: Option<(Competence, (PersonId, String))>,
    /// The notices about the makers that the file names.
    pub notices: Vec<Notice>,
    /// The earliest on record of each item that the file gives another date made.
    pub first_recorded: BTreeMap<ItemId, FirstRecorded>,
}

impl Known {
    /// The model of this maker and name.
    pub fn model(&self, maker: &str, name: &str) -> Option<&Model> {
        let (maker, name) = (fold(maker), fold(name));
        let mut models = self.models.iter();
        models.find(|model| fold(&model.maker) == maker && fold(&model.name) == name)
    }

    /// The longest time between examinations that the rules allow for a model, in months.
    pub(super) fn interval(&self, model: &Model) -> Option<u16> {
        self.rulebook
            .as_ref()
            .map(|rulebook| interval_months(model, rulebook).0)
    }

    /// Who takes the list in, by name.
    pub(super) fn recorder(&self) -> &str {
        self.competence.as_ref().map_or("", |(_, (_, name))| name)
    }

    /// Why the examination of a row cannot be taken over: whoever did it was not competent for the kind on that day.
    pub(super) fn not_competent(&self, examiner: &str, kind: Kind, on: Date) -> Option<String> {
        let (competence, (person, name)) = self.competence.as_ref()?;
        let examiner = competence.examiner(examiner, (*person, name));
        let why = examiner.covered(kind, on).err()?;
        Some(if examiner.is_known() {
            why
        } else {
            unknown(&examiner.name)
        })
    }

    /// The same where kind or day are not known yet: whoever is not recorded at all will not be competent for any.
    pub(super) fn no_examiner(&self, examiner: &str, of: Option<(Kind, Date)>) -> Option<String> {
        if let Some((kind, on)) = of {
            return self.not_competent(examiner, kind, on);
        }
        let (competence, (person, name)) = self.competence.as_ref()?;
        let examiner = competence.examiner(examiner, (*person, name));
        (!examiner.is_known()).then(|| unknown(&examiner.name))
    }

    /// An examiner's name as it is recorded, where the list writes it otherwise or with the firm behind it.
    pub(super) fn examiner(&self, examiner: String) -> String {
        match &self.competence {
            Some((competence, (person, name))) if !examiner.is_empty() => {
                competence.examiner(&examiner, (*person, name)).name
            }
            _ => examiner,
        }
    }

    /// The store of this name.
    pub(super) fn store(&self, name: &str) -> Option<&Store> {
        let name = fold(name);
        self.stores.iter().find(|store| fold(&store.name) == name)
    }
}

fn unknown(name: &str) -> String {
    format!("{name} is not recorded as competent to examine.")
}
