//! The form of an item: new, being changed, or refused.

use askama::Template;

use super::super::{
    Shell, attribute,
    form::{Choices, Field, Form},
    stale::{Lines, Stale},
};
use crate::domain::{FieldErrors, ItemDraft, ItemId, Kind, Model, Store, Where};

/// Which item the form is about.
#[derive(Clone, Copy, Debug)]
pub enum Target {
    /// A new one, under an id that was made when the form was opened.
    New(ItemId),
    /// One that is there, with the revision that was opened.
    There(ItemId, u32),
}

/// What stands in the form, and what it offers.
pub struct ItemTyped<'a> {
    /// What was typed.
    pub draft: &'a ItemDraft,
    /// What was wrong in it.
    pub wrong: &'a FieldErrors,
    /// Its model, if there is such a one.
    pub model: Option<&'a Model>,
    /// The models that are offered.
    pub models: &'a [Model],
    /// The stores that are offered.
    pub stores: &'a [Store],
}

/// The form.
#[derive(Template)]
#[template(path = "item/form.html")]
pub struct ItemForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    action: String,
    back: String,
    revision: Option<u32>,
    which: Vec<Field>,
    papers: Vec<Field>,
    more: Vec<Field>,
    note: Field,
    kind: &'static str,
    stale: Option<Stale>,
    no_store: bool,
    /// The code that goes on it, as it was scanned; empty if there is none.
    tag: Option<Field>,
}

impl ItemForm {
    /// The form with what was typed.
    pub fn new(shell: Shell, target: Target, typed: &ItemTyped<'_>) -> Self {
        let form = Form::new(typed.wrong);
        let kind = typed.model.map(|model| model.kind);
        let (action, back, revision) = match target {
            Target::New(id) => (format!("/items?id={id}"), "/items".to_owned(), None),
            Target::There(id, revision) => {
                let page = format!("/items/{id}");
                let back = shell.back_or(page.clone());
                (shell.keeping_back(page), back, Some(revision))
            }
        };
        Self {
            which: which(&form, typed),
            papers: papers(&form, typed.draft),
            more: more(&form, kind, typed.draft),
            note: form.note("note", "Note", &typed.draft.note).rows(3),
            kind: kind.map_or("item", Kind::word),
            no_store: typed.stores.is_empty(),
            stale: None,
            tag: None,
            shell,
            form,
            action,
            back,
            revision,
        }
    }

    /// The same, with a code that was scanned and goes on the item; an empty one is none.
    #[must_use]
    pub fn tagged(mut self, code: &str) -> Self {
        let field = || {
            let field = self.form.line("tag", "Code on it", code);
            field.hint("As it was scanned. Empty puts none on.")
        };
        self.tag = (!code.is_empty()).then(field);
        self
    }

    /// The same, beside what somebody else saved meanwhile.
    #[must_use]
    pub fn beside(mut self, stored: &ItemDraft, typed: &ItemTyped<'_>) -> Self {
        let mine = lines(typed.draft, typed);
        self.stale = Some(Stale::between(mine, lines(stored, typed)));
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let (model, store, item) = (gear::model(), gear::store(), gear::item());
        let mut draft = item.draft();
        draft
            .attributes
            .insert("stray".to_owned(), PROBE.to_owned());
        let mut wrong = FieldErrors::one("mark", "taken", PROBE);
        wrong.add("attributes[length]", "unit", PROBE);
        let typed = ItemTyped {
            draft: &draft,
            wrong: &wrong,
            model: Some(&model),
            models: std::slice::from_ref(&model),
            stores: std::slice::from_ref(&store),
        };
        let blank = ItemDraft::default();
        let lost = ItemTyped {
            draft: &blank,
            wrong: &FieldErrors::default(),
            model: None,
            models: &[],
            stores: &[],
        };
        let there = Target::There(item.id, 3);
        vec![
            Self::new(Shell::sample("Change"), there, &typed).beside(&blank, &typed),
            Self::new(Shell::sample("Add item"), Target::New(item.id), &lost).tagged(PROBE),
        ]
    }
}

fn which(form: &Form, typed: &ItemTyped<'_>) -> Vec<Field> {
    let draft = typed.draft;
    let models = typed.models.iter();
    let mut models: Choices = models
        .map(|model| {
            let words = format!("{} ({})", model.title(), model.kind.word());
            (model.id.to_string(), words)
        })
        .collect();
    if typed.model.is_none() {
        models.insert(0, (String::new(), "Choose a model".to_owned()));
    }
    let stores = typed.stores.iter();
    let mut stores: Choices = stores
        .map(|store| (store.id.to_string(), store.name.clone()))
        .collect();
    if stores.len() != 1 {
        stores.insert(0, (String::new(), "Choose a store".to_owned()));
    }
    if !draft.store.is_empty() {
        stores = attribute::keeping(stores, &draft.store);
    }
    vec![
        form.line("mark", "Mark", &draft.mark)
            .hint("The team's own, as it stands on the item; unique.")
            .must(),
        form.choice("store", "Store", &draft.store, &stores),
        form.choice(
            "model",
            "Model",
            &draft.model,
            attribute::keeping(models, &draft.model),
        ),
    ]
}

fn papers(form: &Form, draft: &ItemDraft) -> Vec<Field> {
    vec![
        form.line("serial", "Serial", &draft.serial)
            .hint("The maker's, as marked. Without one no job takes the item."),
        form.line("lot", "Lot", &draft.lot)
            .hint("Tells whether a safety notice covers it."),
        form.line("made", "Made", &draft.made)
            .hint("As exactly as known: 2021-05-17, 2021-05 or 2021."),
        form.typed("date", "bought_on", "Bought", &draft.bought_on),
        form.line("first_used_on", "First used", &draft.first_used_on)
            .hint("As exactly as known: 2021-05-17, 2021-05 or 2021. Empty counts from the day made."),
        form.choice(
            "markings_readable",
            "Markings can be read",
            &draft.markings_readable,
            readable(&draft.markings_readable),
        ),
        form.line("arduous", "Arduous use, and why", &draft.arduous).hint(
            "Such as salt water, or grit every day. Empty is usual use. Some rules then ask for shorter intervals.",
        ),
    ]
}

fn readable(typed: &str) -> Choices {
    let choices = [("", "nobody has looked"), ("yes", "yes"), ("no", "no")]
        .map(|(key, word)| (key.to_owned(), word.to_owned()))
        .into();
    attribute::keeping(choices, typed)
}

fn more(form: &Form, kind: Option<Kind>, draft: &ItemDraft) -> Vec<Field> {
    let typed = &draft.attributes;
    let mut fields = kind
        .map(|kind| attribute::fields(form, kind, Where::Item, typed))
        .unwrap_or_default();
    fields.extend(attribute::strays(form, kind, Where::Item, typed));
    fields
}

/// A draft as lines to compare.
fn lines(draft: &ItemDraft, offered: &ItemTyped<'_>) -> Lines {
    let mut models = offered.models.iter();
    let model = models
        .find(|model| model.id.to_string() == draft.model)
        .map_or_else(|| draft.model.clone(), Model::title);
    let mut stores = offered.stores.iter();
    let store = stores
        .find(|store| store.id.to_string() == draft.store)
        .map_or_else(|| draft.store.clone(), |store| store.name.clone());
    let mut lines: Lines = [
        ("Mark", &draft.mark),
        ("Store", &store),
        ("Model", &model),
        ("Serial", &draft.serial),
        ("Lot", &draft.lot),
        ("Made", &draft.made),
        ("Bought", &draft.bought_on),
        ("First used", &draft.first_used_on),
        ("Markings can be read", &draft.markings_readable),
        ("Arduous use", &draft.arduous),
        ("Note", &draft.note),
    ]
    .map(|(name, text)| (name.to_owned(), text.clone()))
    .into();
    let kind = offered.model.map(|model| model.kind);
    lines.extend(attribute::lines(kind, &draft.attributes));
    lines
}
