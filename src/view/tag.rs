//! Tags: those on an item, the forms around them, and the page that a scanner types into.

use askama::Template;

use super::{
    Shell,
    form::Form,
    part::{Answer, Facts, Tone, html_parts},
};
use crate::domain::{
    FieldErrors, Item, ItemId, ModelId, TagId,
    tag::{Scan, Tag, TagDraft, words_of},
};

/// A tag on an item's page.
#[derive(Clone, Debug)]
pub struct TagRow {
    code: String,
    kind: &'static str,
    off: String,
}

/// The tags on an item.
#[derive(Clone, Debug, Template)]
#[template(path = "tag/of_item.html")]
pub struct TagsOfItem {
    rows: Vec<TagRow>,
    page: String,
    label: String,
    may_keep: bool,
}

impl TagsOfItem {
    /// The tags on an item; whether this person may put on and take off.
    pub fn new(item: ItemId, tags: &[Tag], may_keep: bool) -> Self {
        let page = format!("/items/{item}/tags");
        let row = |tag: &Tag| TagRow {
            code: words_of(&tag.text),
            kind: tag.kind.word(),
            off: format!("{page}/{}/off", tag.id),
        };
        Self {
            rows: tags.iter().map(row).collect(),
            page: page.clone(),
            label: format!("/labels?item={item}"),
            may_keep,
        }
    }

    /// A tag with typed text in it.
    pub fn sample(item: ItemId) -> Self {
        let draft = TagDraft {
            text: super::PROBE.to_owned(),
        };
        let tag = draft.check(TagId(item.0), item);
        Self::new(item, &tag.map(|tag| vec![tag]).unwrap_or_default(), true)
    }
}

html_parts!(TagsOfItem);

/// Puts a code on an item.
#[derive(Template)]
#[template(path = "tag/new.html")]
pub struct NewTag {
    /// The frame.
    pub shell: Shell,
    form: Form,
    page: String,
    mark: String,
    id: String,
    text: String,
}

impl NewTag {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        item: &Item,
        id: TagId,
        draft: &TagDraft,
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            shell,
            form: Form::new(wrong),
            page: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            id: id.to_string(),
            text: draft.text.clone(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let item = gear::item();
        let draft = TagDraft {
            text: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("text", "taken", PROBE);
        let shell = Shell::sample("Put a tag on");
        vec![Self::new(shell, &item, TagId(item.id.0), &draft, &wrong)]
    }
}

/// Takes a tag off: why.
#[derive(Template)]
#[template(path = "tag/off.html")]
pub struct TagOff {
    /// The frame.
    pub shell: Shell,
    form: Form,
    page: String,
    mark: String,
    tag: String,
    code: String,
    reason: String,
}

impl TagOff {
    /// The form with what was typed.
    pub fn new(shell: Shell, item: &Item, tag: &Tag, reason: &str, wrong: &FieldErrors) -> Self {
        Self {
            shell,
            form: Form::new(wrong),
            page: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            tag: tag.id.to_string(),
            code: words_of(&tag.text),
            reason: reason.to_owned(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let item = gear::item();
        let text = PROBE.to_owned();
        let tag = TagDraft { text }.check(TagId(item.id.0), item.id);
        let wrong = FieldErrors::one("reason", "required", PROBE);
        let page = |tag| Self::new(Shell::sample("Take off"), &item, &tag, PROBE, &wrong);
        tag.into_iter().map(page).collect()
    }
}

/// A code that is on no item.
#[derive(Clone, Debug)]
pub struct Unknown {
    answer: Answer,
    code: String,
    says: Facts,
    /// Why it goes on no item, if it does not.
    shared: Option<&'static str>,
    add: String,
    look: Option<(String, String)>,
}

impl Unknown {
    /// A code that was read; `model` is what other pieces of the same product are of. `query` writes the part of an
    /// address behind the question mark.
    pub fn new(
        scan: &Scan,
        model: Option<ModelId>,
        today: time::Date,
        query: impl Fn(&str, &[(&str, &str)]) -> String,
    ) -> Self {
        let mut says = Facts::default();
        for element in &scan.elements.0 {
            let aside = format!("({})", element.number);
            says = says.and_from(element.title, element.value.as_str(), aside);
        }
        if let Some(made) = scan.made(today) {
            says = says.and("Made, as a date", made.to_string());
        }
        let model = model.map(|model| model.to_string()).unwrap_or_default();
        let add = [("tag", scan.text.as_str()), ("model", model.as_str())];
        let looked_for = scan.serial().or(scan.lot());
        Self {
            answer: Answer::new(Tone::Hold, "No item has this code."),
            code: scan.words(),
            says,
            shared: scan.shared,
            add: query("/items/new", &add),
            look: looked_for.map(|text| (query("/items", &[("q", text)]), text.to_owned())),
        }
    }
}

/// The page that a scanner types into.
#[derive(Template)]
#[template(path = "tag/scan.html")]
pub struct ScanPage {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// What was scanned.
    pub code: String,
    /// Where no item has it.
    pub unknown: Option<Unknown>,
    /// Where it may mean several items: where each is opened, and its mark.
    pub several: Vec<(String, String)>,
    /// The mark of the item on which it is to go.
    pub mark: String,
    /// Whether this person may put codes on items.
    pub may_keep: bool,
    /// Whether this person may have the code in a photo read.
    pub may_send: bool,
}

impl ScanPage {
    /// The same page with the items of which it is the serial.
    #[must_use]
    pub fn with_serial(mut self, items: &[Item]) -> Self {
        let row = |item: &Item| (format!("/items/{}", item.id), item.mark.clone());
        self.several = items.iter().map(row).collect();
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let page = |code: &str, unknown, wrong: &FieldErrors| Self {
            shell: Shell::sample("Scan"),
            form: Form::new(wrong),
            code: code.to_owned(),
            unknown,
            several: Vec::new(),
            mark: PROBE.to_owned(),
            may_keep: true,
            may_send: true,
        };
        let address = |path: &str, pairs: &[(&str, &str)]| format!("{path}?{}", pairs.len());
        let unknown = |text: &str| {
            let scan = Scan::read(text).ok();
            scan.map(|scan| Unknown::new(&scan, None, gear::TODAY, address))
        };
        let fine = FieldErrors::default();
        let said = "(01)09521234543213(21)<b>&\"'(10)<i>(11)260324";
        vec![
            page("", None, &fine),
            page(PROBE, None, &FieldErrors::one("code", "code", PROBE)),
            page("", None, &FieldErrors::one("photo", "code", PROBE)),
            page(
                PROBE,
                unknown(PROBE),
                &FieldErrors::one("mark", "required", PROBE),
            ),
            page(said, unknown(said), &fine),
            page("(01)09521234543213", unknown("(01)09521234543213"), &fine),
            page(PROBE, None, &fine).with_serial(&[gear::item()]),
        ]
    }
}
