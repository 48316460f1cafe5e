//! Looking through a bag: what lives there is ticked or scanned.

use askama::Template;

use super::{
    super::{Shell, form::Form},
    name_of, sample,
};
use crate::domain::{BagCheckDraft, BagCheckId, FieldErrors, InPlace};

/// The form.
#[derive(Template)]
#[template(path = "bag/check.html")]
pub struct CheckForm {
    /// The frame.
    pub shell: Shell,
    name: String,
    base: String,
    action: String,
    form: Form,
    draft: BagCheckDraft,
    rows: Vec<TickRow>,
    list: Vec<(u16, String)>,
    /// Whether it is asked if nothing of what lives there was found.
    asks_empty: bool,
}

/// An item that lives there.
#[derive(Clone, Debug)]
struct TickRow {
    id: String,
    mark: String,
    model: String,
    /// That it is with a crew and is not looked for; may be empty.
    out: String,
    seen: bool,
}

impl CheckForm {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        place: &InPlace,
        id: BagCheckId,
        draft: &BagCheckDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let base = format!("/stores/{}", place.store.id);
        let seen: Vec<&str> = draft.seen.split(',').map(str::trim).collect();
        let rows = place.items.iter().map(|one| {
            let id = one.item.id.to_string();
            TickRow {
                seen: seen.contains(&id.as_str()),
                id,
                mark: one.item.mark.clone(),
                model: one.model.title(),
                out: one.with_crew.as_ref().map_or_else(String::new, |with| {
                    format!("with the crew of \"{}\": not looked for here", with.title)
                }),
            }
        });
        let parts = place.bag.iter().flat_map(|bag| &bag.parts);
        Self {
            name: name_of(place),
            action: format!("{base}/check?id={id}"),
            form: Form::new(wrong),
            asks_empty: wrong.on("empty").next().is_some() || !draft.empty.is_empty(),
            draft: draft.clone(),
            rows: rows.collect(),
            list: parts
                .zip(&place.words)
                .map(|(part, words)| (part.count, words.clone()))
                .collect(),
            shell,
            base,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::PROBE;
        let place = sample();
        let typed = BagCheckDraft {
            seen: place.items[0].item.id.to_string(),
            codes: PROBE.to_owned(),
            empty: PROBE.to_owned(),
            note: PROBE.to_owned(),
        };
        let mut empty = sample();
        empty.items.clear();
        let id = BagCheckId::new();
        let mut wrong = FieldErrors::one("codes", "choice", PROBE);
        wrong.add("empty", "required", PROBE);
        let page = |place: &InPlace, draft: &BagCheckDraft, wrong: &FieldErrors| {
            Self::new(Shell::sample("Look"), place, id, draft, wrong)
        };
        vec![
            page(&place, &typed, &wrong),
            page(&empty, &BagCheckDraft::default(), &FieldErrors::default()),
        ]
    }
}
