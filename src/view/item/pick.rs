//! Which model a new item is of: looked for, then chosen.

use askama::Template;

use super::{
    super::{
        Shell,
        form::Form,
        part::{Empty, Pager},
        sieve::Sieve,
    },
    list::kinds,
};

/// A model to choose.
#[derive(Clone, Debug)]
pub struct PickRow {
    /// Where choosing it leads.
    pub href: String,
    /// Maker and model.
    pub title: String,
    /// The kind.
    pub kind: &'static str,
}

/// Models to choose from.
#[derive(Template)]
#[template(path = "item/pick.html")]
pub struct ModelPick {
    /// The frame.
    pub shell: Shell,
    /// The words that are looked for.
    pub search: String,
    /// The kind's key.
    pub kind: String,
    /// The code that goes on the item, if it was scanned.
    pub tag: String,
    /// The models.
    pub rows: Vec<PickRow>,
    /// Ways to the next page.
    pub pager: Pager,
    /// What to do where there is nothing.
    pub empty: Empty,
}

impl ModelPick {
    fn sieve(&self) -> Sieve {
        let form = Form::default();
        let search = form.typed("search", "q", "Maker or model", &self.search);
        Sieve::new("/items/new")
            .search(search)
            .filter(form.choice("kind", "Kind", &self.kind, kinds()))
            .keep("tag", &self.tag)
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::PROBE;
        let page = |rows| Self {
            shell: Shell::sample("Add item"),
            search: PROBE.to_owned(),
            kind: "rope".to_owned(),
            tag: PROBE.to_owned(),
            rows,
            pager: Pager::default(),
            empty: Empty::new("No such model.", "Add it.").step("Add a model", "/models/new"),
        };
        let row = PickRow {
            href: "/items/new?model=x".to_owned(),
            title: PROBE.to_owned(),
            kind: "rope",
        };
        vec![page(vec![row]), page(Vec::new())]
    }
}
