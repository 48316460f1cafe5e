//! One model: what it may be used for, what it holds, and its items.

use askama::Template;
use time::Date;

use super::super::{
    Shell,
    attachment::Gallery,
    item::ItemRow,
    part::{Answer, Facts, Tone},
    quantity,
    rated::Rated,
    words,
};
use super::rows::measured_word;
use crate::domain::{Deed, Item, Model, Where, fitness::interval_months, rulebook::Rulebook};

/// The page.
#[derive(Template)]
#[template(path = "model/show.html")]
pub struct ShowModel {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    kind: &'static str,
    rated: Rated,
    keeping: Facts,
    limits: Facts,
    attributes: Facts,
    instructions: String,
    note: String,
    items: Vec<ItemRow>,
    more: Option<String>,
    edit: Option<String>,
    kind_href: Option<String>,
    add: Option<String>,
    notice: Option<String>,
    gallery: Gallery,
}

impl ShowModel {
    /// The page of a model on a day under a rulebook, with the first of its items and whether there
    /// are more; `notice` is where a safety notice about it is opened, `gallery` its papers and photos.
    pub fn new(
        shell: Shell,
        model: &Model,
        (items, more): (&[Item], bool),
        (rulebook, today): (&Rulebook, Date),
        (notice, gallery): (String, Gallery),
    ) -> Self {
        let units = shell.units;
        let role = shell.viewer.as_ref().map(|viewer| viewer.role);
        let may = role.is_some_and(|role| role.may(Deed::KeepRegister));
        let rows = items.iter();
        Self {
            answer: answer(model),
            kind: model.kind.word(),
            rated: Rated::new(model, units),
            keeping: keeping(model, rulebook),
            limits: limits(model),
            attributes: quantity::attribute_facts(
                model.kind,
                Where::Model,
                &model.attributes,
                units,
            )
            .wide(),
            instructions: model.instructions.clone(),
            note: model.note.clone(),
            items: rows
                .map(|item| ItemRow::new(item, model, None, (rulebook, today)))
                .collect(),
            more: more.then(|| format!("/items?model={}", model.id)),
            edit: may.then(|| format!("/models/{}/edit", model.id)),
            kind_href: may.then(|| format!("/models/{}/kind", model.id)),
            notice: may.then_some(notice),
            gallery,
            add: may.then(|| format!("/items/new?model={}", model.id)),
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::gear;
        let (mut model, item) = (gear::model(), gear::item());
        let now = (gear::rulebook(), gear::TODAY);
        let shell = || Shell::sample("Model");
        let full = Self::new(
            shell(),
            &model,
            (&[item], true),
            now,
            ("/notices/new".to_owned(), Gallery::sample()),
        );
        model.life_support = false;
        model.ratings.clear();
        model.approvals.clear();
        model.life = crate::domain::LifeLimit::default();
        let bare = Self::new(
            shell(),
            &model,
            (&[], false),
            now,
            (String::new(), Gallery::of_record(&[], None)),
        );
        vec![full, bare]
    }
}

fn answer(model: &Model) -> Answer {
    if model.kind.is_beside_the_rig() {
        return Answer::new(Tone::Note, "Used beside the rig").why(
            "Nothing hangs on it, so that no job takes it for a position; it may be taken along.",
        );
    }
    if model.kind.is_loaded() && !model.life_support {
        return Answer::new(Tone::Out, "Not for holding people")
            .why("No job takes an item of it for a position that holds a person.");
    }
    if model.ratings.is_empty() {
        return Answer::new(
            Tone::Watch,
            "For holding people, but its strength is not known",
        )
        .why("Write down its ratings: a job refuses what has no known strength.");
    }
    if model.approvals.is_empty() {
        return Answer::new(
            Tone::Watch,
            "For holding people, but no approval is written down",
        )
        .why("A rulebook that asks for one will refuse its items.");
    }
    Answer::new(Tone::Fit, "For holding people")
}

/// What its maker allows of what is measured.
fn limits(model: &Model) -> Facts {
    let limits = model.limits.iter();
    limits.fold(Facts::default(), |facts, limit| {
        let word = measured_word(model.kind, &limit.criterion);
        facts.and_from(word, limit.to_string(), limit.source.clone())
    })
}

fn keeping(model: &Model, rulebook: &Rulebook) -> Facts {
    let (months, rule) = interval_months(model, rulebook);
    let years = |years: u16| words::count(usize::from(years), "year", "years");
    let mut limits = Vec::new();
    if let Some(made) = model.life.years_from_made {
        limits.push(format!("{} from the day made", years(made)));
    }
    if let Some(first) = model.life.years_from_first_use {
        limits.push(format!("{} from the first use", years(first)));
    }
    if model.life.by_condition {
        limits.push("the maker sets no years; the condition decides".to_owned());
    }
    let aside = if limits.is_empty() {
        "the maker's limit is not written down; the usual one for the material counts"
    } else {
        ""
    };
    let every = words::count(usize::from(months), "month", "months");
    let use_limit = if model.use_limit.is_open() {
        "the maker counts none, as far as is known".to_owned()
    } else {
        model.use_limit.words()
    };
    Facts::default()
        .and("Made of", model.made_of())
        .and_from("Life", limits.join(", or "), aside)
        .and("Most use", use_limit)
        .and_from("Examined at least every", every, rule.to_string())
        .and(
            "Price of one",
            model
                .price
                .as_ref()
                .map(ToString::to_string)
                .unwrap_or_default(),
        )
}
