//! The form that plans a round: its items are listed and each can be left out.

use std::collections::HashMap;

use askama::Template;

use super::super::{
    Shell,
    attribute::keeping,
    form::{Choices, Form},
    part::{Answer, Tone},
};
use crate::domain::{FieldErrors, Item, MOST_IN_ROUND, Model, ModelId, RoundDraft, Store};

/// What a round may be made of.
pub struct Offered<'a> {
    /// The items.
    pub items: &'a [Item],
    /// Whether the filter leaves more than a round takes.
    pub more: bool,
    /// Their models.
    pub models: &'a HashMap<ModelId, Model>,
    /// The stores of the team.
    pub stores: &'a [Store],
    /// The names of those who may examine.
    pub examiners: &'a [String],
}

/// An item that may come with it.
struct Choice {
    id: String,
    mark: String,
    model: String,
    store: String,
    ticked: bool,
}

/// The form.
#[derive(Template)]
#[template(path = "round/new.html")]
pub struct NewRound {
    /// The frame.
    pub shell: Shell,
    form: Form,
    action: String,
    draft: RoundDraft,
    examiners: Choices,
    choices: Vec<Choice>,
    too_many: Option<Answer>,
}

impl NewRound {
    /// The form with what was typed. `action` is where it is sent.
    pub fn new(
        shell: Shell,
        action: String,
        draft: &RoundDraft,
        offered: &Offered<'_>,
        wrong: &FieldErrors,
    ) -> Self {
        let chosen: Vec<&str> = draft.chosen().collect();
        let choices = offered.items.iter().map(|item| {
            let id = item.id.to_string();
            let store = offered.stores.iter().find(|store| store.id == item.store);
            Choice {
                ticked: chosen.contains(&id.as_str()),
                mark: item.mark.clone(),
                model: offered
                    .models
                    .get(&item.model)
                    .map_or_else(String::new, Model::title),
                store: store.map(|store| store.name.clone()).unwrap_or_default(),
                id,
            }
        });
        let names = offered.examiners.iter();
        let mut examiners: Choices = vec![(String::new(), "nobody yet".to_owned())];
        examiners.extend(names.map(|name| (name.clone(), name.clone())));
        Self {
            shell,
            form: Form::new(wrong),
            action,
            examiners: keeping(examiners, &draft.examiner),
            draft: draft.clone(),
            choices: choices.collect(),
            too_many: offered.more.then(|| {
                let words = format!("A round takes {MOST_IN_ROUND} items at most");
                Answer::new(Tone::Watch, words).why(format!(
                    "The list has more. Here are the {MOST_IN_ROUND} that fall due first; narrow the list by store, kind or days, or plan another round for the rest."
                ))
            }),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let (item, model) = (gear::item(), gear::model());
        let draft = RoundDraft {
            name: PROBE.to_owned(),
            from: PROBE.to_owned(),
            to: PROBE.to_owned(),
            examiner: PROBE.to_owned(),
            items: item.id.to_string(),
        };
        let wrong = FieldErrors::one("items", "required", PROBE);
        let models = HashMap::from([(model.id, model)]);
        let page = |items: &[Item], more| {
            let offered = Offered {
                items,
                more,
                models: &models,
                stores: &[],
                examiners: &[PROBE.to_owned()],
            };
            let shell = Shell::sample("Plan a round");
            Self::new(shell, "/rounds".to_owned(), &draft, &offered, &wrong)
        };
        vec![page(&[item], true), page(&[], false)]
    }
}
