//! The list of models.

use askama::Template;

use super::super::{
    Shell,
    file_choice::FileChoice,
    form::Form,
    item::kinds,
    part::{Badge, Empty, Pager, Tone},
    quantity,
    sieve::Sieve,
    words,
};
use crate::domain::{Model, Units};

/// One model of the list.
#[derive(Clone, Debug)]
pub struct ModelRow {
    href: String,
    title: String,
    kind: &'static str,
    holds: String,
    approved: String,
    people: Badge,
}

impl ModelRow {
    /// A model in words.
    pub fn new(model: &Model, units: Units) -> Self {
        let strongest = model.ratings.first();
        let titles: Vec<String> = model.approvals.iter().map(|a| a.title()).collect();
        Self {
            href: format!("/models/{}", model.id),
            title: model.title(),
            kind: model.kind.word(),
            holds: strongest.map_or_else(
                || "not known".to_owned(),
                |rating| {
                    let value = quantity::force(rating.value, units).words;
                    let more = match model.ratings.len() {
                        1 => String::new(),
                        n => format!(", {}", words::count(n - 1, "more rating", "more ratings")),
                    };
                    format!("{value} {}{more}", rating.kind.words())
                },
            ),
            approved: if titles.is_empty() {
                "not known".to_owned()
            } else {
                titles.join(", ")
            },
            people: people(model),
        }
    }
}

/// Whether the model is for holding people.
pub(super) fn people(model: &Model) -> Badge {
    if !model.kind.is_loaded() {
        Badge::new(Tone::Note, "holds nobody")
    } else if model.life_support {
        Badge::new(Tone::Fit, "holds people")
    } else {
        Badge::new(Tone::Out, "not for people")
    }
}

/// The list.
#[derive(Template)]
#[template(path = "model/list.html")]
pub struct ModelList {
    /// The frame.
    pub shell: Shell,
    /// The words that are looked for.
    pub search: String,
    /// The kind's key.
    pub kind: String,
    /// The models.
    pub rows: Vec<ModelRow>,
    /// Ways to the next page.
    pub pager: Pager,
    /// What to do where there is nothing.
    pub empty: Empty,
    /// Whether this person may add models.
    pub may_add: bool,
    /// All of it as a file.
    pub file: FileChoice,
}

impl ModelList {
    fn sieve(&self) -> Sieve {
        let form = Form::default();
        let search = form.typed("search", "q", "Search", &self.search);
        Sieve::new("/models").search(search).filter(form.choice(
            "kind",
            "Kind",
            &self.kind,
            kinds(),
        ))
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let page = |rows, may_add| Self {
            shell: Shell::sample("Models"),
            search: PROBE.to_owned(),
            kind: String::new(),
            rows,
            pager: Pager::default(),
            empty: Empty::new("No models.", PROBE),
            may_add,
            file: FileChoice::sample(),
        };
        let row = ModelRow::new(&gear::model(), Units::Us);
        vec![page(vec![row], true), page(Vec::new(), false)]
    }
}
