//! What is in a place, and whether all of it is fit.

use askama::Template;

use super::{
    super::{
        Shell,
        form::Form,
        part::{Answer, Tone},
        reason::Reason,
        words,
    },
    around, name_of, sample,
};
use crate::domain::{BagCheck, FieldErrors, InPlace, Inside, ItemId, date::write_day};

/// The page.
#[derive(Template)]
#[template(path = "bag/show.html")]
pub struct PlaceSheet {
    /// The frame.
    pub shell: Shell,
    /// What the PDF of its list has no letters for.
    pub lacking: Option<String>,
    name: String,
    note: String,
    around: Option<(String, String)>,
    inside: Vec<(String, String)>,
    answer: Answer,
    unfit: Vec<UnfitRow>,
    lines: Vec<LineRow>,
    beyond: Vec<(String, String)>,
    /// What lives in it, is on no line of its list, and is out or was not found.
    away: Vec<(String, String)>,
    rows: Vec<InsideRow>,
    more: bool,
    checked: Option<Checked>,
    base: String,
    register: String,
    is_bag: bool,
    may: Allowed,
    form: Form,
    codes: String,
}

/// What somebody may do on the page.
#[derive(Clone, Copy, Debug)]
pub struct Allowed {
    /// Write the list.
    pub keep: bool,
    /// Look through it and move items.
    pub handle: bool,
    /// Take the list away as a file.
    pub export: bool,
}

/// An item that is not fit.
#[derive(Clone, Debug)]
struct UnfitRow {
    mark: String,
    href: String,
    kind: &'static str,
    reasons: Vec<Reason>,
}

/// A line of the list beside what is there.
#[derive(Clone, Debug)]
struct LineRow {
    words: String,
    wanted: u16,
    there: usize,
    lacks: usize,
    items: Vec<(String, String)>,
}

/// An item of the place.
#[derive(Clone, Debug)]
struct InsideRow {
    mark: String,
    href: String,
    model: String,
    state: String,
}

/// How it was looked through last.
#[derive(Clone, Debug)]
struct Checked {
    on: String,
    words: String,
    note: String,
    missing: Vec<(String, String)>,
    others: Vec<(String, String)>,
}

impl PlaceSheet {
    /// The page; `codes` are those of items that were to be moved and were not.
    pub fn new(
        shell: Shell,
        place: &InPlace,
        may: Allowed,
        (codes, wrong): (&str, &FieldErrors),
    ) -> Self {
        let base = format!("/stores/{}", place.store.id);
        let inside = place.bags.iter();
        let inside = inside.filter(|bag| bag.within == Some(place.store.id));
        let named = |id| place.stores.iter().find(|store| store.id == id);
        let inside = inside.filter_map(|bag| named(bag.store));
        let link = |item: &ItemId| link(place, *item);
        let unfit = place.items.iter().filter(|one| !one.refusals.is_empty());
        let beyond = place.contents.beyond.iter();
        let beyond = beyond.filter(|_| place.bag.is_some());
        let (there, away): (Vec<&ItemId>, Vec<&ItemId>) =
            beyond.partition(|item| place.is_there(**item));
        Self {
            lacking: None,
            name: name_of(place),
            note: place.store.note.clone(),
            around: around(place)
                .map(|store| (store.name.clone(), format!("/stores/{}", store.id))),
            inside: inside
                .map(|store| (store.name.clone(), format!("/stores/{}", store.id)))
                .collect(),
            answer: answer(place),
            unfit: unfit
                .map(|one| UnfitRow {
                    mark: one.item.mark.clone(),
                    href: format!("/items/{}", one.item.id),
                    kind: one.model.kind.word(),
                    reasons: Reason::all(&one.refusals, &shell),
                })
                .collect(),
            lines: lines(place),
            beyond: there.into_iter().map(link).collect(),
            away: away.into_iter().map(link).collect(),
            rows: rows(place),
            more: place.more,
            checked: place.checked.as_ref().map(|check| checked(place, check)),
            register: format!("/items?store={}", place.store.id),
            is_bag: place.bag.is_some(),
            form: Form::new(wrong),
            codes: codes.to_owned(),
            shell,
            base,
            may,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::PROBE;
        let all = |yes| Allowed {
            keep: yes,
            handle: yes,
            export: yes,
        };
        let wrong = FieldErrors::one("codes", "choice", PROBE);
        let full = sample();
        let mut empty = sample();
        (empty.bag, empty.checked) = (None, None);
        empty.items.clear();
        empty.more = false;
        let page = |place: &InPlace, yes| {
            Self::new(Shell::sample("Bag"), place, all(yes), (PROBE, &wrong))
        };
        let mut told = page(&full, true);
        told.lacking = Some(PROBE.to_owned());
        vec![told, page(&empty, false)]
    }
}

/// The mark of an item of the place with its page; its page alone where it is not told of.
fn link(place: &InPlace, id: ItemId) -> (String, String) {
    let mut inside = place.items.iter().map(|one| &one.item);
    let item = inside
        .find(|item| item.id == id)
        .or_else(|| place.elsewhere.iter().find(|item| item.id == id));
    let mark = item.map_or_else(
        || "an item that is elsewhere now".to_owned(),
        |item| item.mark.clone(),
    );
    (mark, format!("/items/{id}"))
}

fn answer(place: &InPlace) -> Answer {
    let all = place.items.len();
    let unfit = place.items.iter();
    let unfit = unfit.filter(|one| !one.refusals.is_empty()).count();
    let lacking = place.lacking();
    let some = if place.more {
        format!("Of the first {all} items")
    } else {
        format!("Of {}", words::count(all, "item", "items"))
    };
    let unseen = place.checked.iter().flat_map(|check| &check.missing);
    let lives = |id: &&ItemId| place.items.iter().any(|one| one.item.id == **id);
    let unseen = unseen.filter(lives).count();
    let (tone, said) = match (all, unfit, lacking) {
        (_, 0, 0) if unseen > 0 => (
            Tone::Hold,
            format!(
                "Not found when it was last looked through: {}",
                words::count(unseen, "item", "items")
            ),
        ),
        (0, _, 0) => (Tone::Note, "Nothing lives here".to_owned()),
        (_, 0, 0) if place.out() > 0 => (
            Tone::Watch,
            format!(
                "{some} all are fit, and {} with crews, not here",
                place.out()
            ),
        ),
        (_, 0, 0) if place.bag.is_some() => (Tone::Fit, "Complete, and all of it fit".to_owned()),
        (_, 0, 0) => (Tone::Fit, format!("{some} all are fit")),
        (_, 0, n) => (Tone::Hold, format!("Not complete: {} not there", pieces(n))),
        (_, bad, 0) => (Tone::Stop, format!("{some} {bad} not fit")),
        (_, bad, n) => (
            Tone::Stop,
            format!("{some} {bad} not fit, and {} not there", pieces(n)),
        ),
    };
    let answer = Answer::new(tone, said);
    if all == 0 {
        return answer;
    }
    answer.why(format!(
        "Fit is what any job by {} may take somewhere, today; what a job asks beyond that its kit list says.",
        place.rulebook
    ))
}

fn pieces(count: usize) -> String {
    words::count(count, "piece of its list", "pieces of its list")
}

fn lines(place: &InPlace) -> Vec<LineRow> {
    let Some(bag) = &place.bag else {
        return Vec::new();
    };
    let lines = bag.parts.iter().zip(&place.words).enumerate();
    lines
        .map(|(line, (part, words))| LineRow {
            words: words.clone(),
            wanted: part.count,
            there: place.contents.filled[line]
                .iter()
                .filter(|item| place.is_there(**item))
                .count(),
            lacks: place.lacks(bag, line),
            items: place.contents.filled[line]
                .iter()
                .filter(|item| place.is_there(**item))
                .map(|item| link(place, *item))
                .collect(),
        })
        .collect()
}

fn rows(place: &InPlace) -> Vec<InsideRow> {
    let items = place.items.iter();
    items
        .map(|one| InsideRow {
            mark: one.item.mark.clone(),
            href: format!("/items/{}", one.item.id),
            model: one.model.title(),
            state: state(place, one),
        })
        .collect()
}

/// Whether an item is fit, and where it is if it is not there.
fn state(place: &InPlace, one: &Inside) -> String {
    let fit = match one.refusals.len() {
        0 => "fit".to_owned(),
        n => format!("not fit: {}", words::count(n, "reason", "reasons")),
    };
    match &one.with_crew {
        Some(with) => format!(
            "not here: with the crew of \"{}\", taken by {}; {fit}",
            with.title, with.taken_by
        ),
        None if !place.is_there(one.item.id) => {
            format!("not found when it was last looked through; {fit}")
        }
        None => fit,
    }
}

fn checked(place: &InPlace, check: &BagCheck) -> Checked {
    let count = |count, words: &str| format!("{count} {words}");
    let mut found = vec![count(check.present.len(), "present")];
    if !check.missing.is_empty() {
        found.push(count(check.missing.len(), "missing"));
    }
    if !check.others.is_empty() {
        found.push(count(check.others.len(), "that lived elsewhere"));
    }
    if let Some(lacking) = check.lacking.filter(|lacking| *lacking > 0) {
        found.push(count(
            usize::try_from(lacking).unwrap_or(usize::MAX),
            "of its list not there",
        ));
    }
    let links = |items: &[ItemId]| items.iter().map(|item| link(place, *item)).collect();
    Checked {
        on: write_day(check.on),
        words: found.join(", "),
        note: check.note.clone(),
        missing: links(&check.missing),
        others: links(&check.others),
    }
}
