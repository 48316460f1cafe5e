//! A maker's or authority's safety notice, and which items it covers.

mod beside;
mod course;
mod numbered;
mod past;
mod standing;

pub use course::{LetGo, NoticeEdit, NoticeStep, NoticeTurn, notice_course};
pub use past::{NoticePast, Version};
pub use standing::{NoticeItem, NoticeStanding};

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{Made, in_reach, iso, read_day, write_day};
use super::item::past_day;
use super::rating::optional;
use super::{FieldErrors, Item, ItemId, Model, NotAllowed, NoticeId, NumberSpan, fold};

/// A safety notice. An item stays covered until it is closed for that item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Notice {
    /// Its id.
    pub id: NoticeId,
    /// One line that says what it is about.
    pub title: String,
    /// Who issued it.
    pub issuer: String,
    /// The day it was issued.
    #[serde(with = "iso")]
    pub issued_on: Date,
    /// The maker whose gear it covers.
    pub maker: String,
    /// The model's name; empty covers all of the maker's.
    pub model_name: String,
    /// Further models of the maker; empty where it covers one model or all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub more_models: Vec<String>,
    /// The serials, as ranges or alone; empty covers all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub serials: Vec<NumberSpan>,
    /// The lots; without lots and ranges of lots all are covered.
    pub lots: Vec<String>,
    /// Ranges of lots.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lot_spans: Vec<NumberSpan>,
    /// The first day made that it covers.
    #[serde(with = "iso::option")]
    pub made_from: Option<Date>,
    /// The last day made that it covers.
    #[serde(with = "iso::option")]
    pub made_until: Option<Date>,
    /// What is to be done.
    pub action: String,
    /// How often it was corrected.
    #[serde(default, skip_serializing_if = "is_none_yet")]
    pub corrected: u32,
    /// Why it was withdrawn; it covers nothing from then on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<String>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde gives a reference")]
fn is_none_yet(count: &u32) -> bool {
    *count == 0
}

impl Notice {
    /// Whether it covers an item of this model.
    ///
    /// What is not known about the item never takes it out: an item with no lot or serial noted counts as
    /// being of the lot and in the range, as does one of which any reading is, and one whose date made is not known as made
    /// in the window.
    pub fn covers(&self, item: &Item, model: &Model) -> bool {
        self.withdrawn.is_none() && self.is_about(item, model)
    }

    /// Whether what it says is about an item of this model, though it may be withdrawn.
    pub fn is_about(&self, item: &Item, model: &Model) -> bool {
        self.names(model) && self.asks_for(item)
    }

    /// What it covers, or covered until it was withdrawn, in words: "Brindelok, Marrick Twin C, lot B1907".
    pub fn covers_words(&self) -> String {
        let models: Vec<&str> = self.models().collect();
        let models = match models.as_slice() {
            [] => "every model".to_owned(),
            some => some.join(", "),
        };
        let spans = self.lot_spans.iter().map(ToString::to_string);
        let lots: Vec<String> = self.lots.iter().cloned().chain(spans).collect();
        let lots = match lots.as_slice() {
            [] => "every lot".to_owned(),
            some => format!("lot {}", some.join(", ")),
        };
        let serials: Vec<String> = self.serials.iter().map(ToString::to_string).collect();
        let mut words = vec![self.maker.clone(), models, lots];
        if !serials.is_empty() {
            words.push(format!("serial {}", serials.join(", ")));
        }
        words.extend(
            self.made_from
                .map(|from| format!("made from {}", write_day(from))),
        );
        words.extend(
            self.made_until
                .map(|until| format!("made until {}", write_day(until))),
        );
        words.join(", ")
    }

    /// Whether it may be corrected or withdrawn.
    ///
    /// # Errors
    /// [`NotAllowed::NoticeWithdrawn`] once it was withdrawn.
    pub fn may_change(&self) -> Result<(), NotAllowed> {
        match self.withdrawn {
            None => Ok(()),
            Some(_) => Err(NotAllowed::NoticeWithdrawn),
        }
    }

    /// The notice as it is typed in, to be corrected.
    pub fn draft(&self) -> NoticeDraft {
        let day = |day: Option<Date>| day.map(write_day).unwrap_or_default();
        let listed = |alone: &[String], spans: &[NumberSpan]| {
            // One that may be read as a range too stands among both.
            let perhaps: Vec<NumberSpan> = perhaps(alone.iter().map(String::as_str)).collect();
            let spans = spans.iter().filter(|span| !perhaps.contains(span));
            let mut all = alone.to_vec();
            all.extend(spans.map(NumberSpan::to_string));
            all.join(", ")
        };
        NoticeDraft {
            title: self.title.clone(),
            issuer: self.issuer.clone(),
            issued_on: write_day(self.issued_on),
            maker: self.maker.clone(),
            model_name: self.model_name.clone(),
            more_models: self.more_models.join("\n"),
            serials: listed(&[], &self.serials),
            lots: listed(&self.lots, &self.lot_spans),
            made_from: day(self.made_from),
            made_until: day(self.made_until),
            action: self.action.clone(),
            ..NoticeDraft::default()
        }
    }

    /// The models that it names; none where it covers all of the maker's.
    pub fn models(&self) -> impl Iterator<Item = &str> {
        let first = Some(self.model_name.as_str()).filter(|name| !name.is_empty());
        first
            .into_iter()
            .chain(self.more_models.iter().map(String::as_str))
    }

    fn covers_model(&self, name: &str) -> bool {
        let mut models = self.models().peekable();
        models.peek().is_none() || models.any(|model| fold(model) == fold(name))
    }

    fn covers_made(&self, made: Option<Made>) -> bool {
        let Some(made) = made else { return true };
        let (first, last) = (made.cautious_day(), made.last_day());
        self.made_from.is_none_or(|from| last >= from)
            && self.made_until.is_none_or(|until| first <= until)
    }
}

/// That the notice is dealt with for one item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct NoticeClosing {
    /// The notice.
    pub notice: NoticeId,
    /// The item.
    pub item: ItemId,
    /// What was found and done.
    pub result: String,
}

/// A notice was corrected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct NoticeCorrection {
    /// The notice as it is from then on.
    pub notice: Notice,
    /// Why.
    pub reason: String,
}

/// A notice was withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct NoticeEnd {
    /// The notice.
    pub notice: NoticeId,
    /// Why.
    pub reason: String,
}

/// A notice as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct NoticeDraft {
    /// One line that says what it is about.
    pub title: String,
    /// Who issued it.
    pub issuer: String,
    /// The day it was issued.
    pub issued_on: String,
    /// The maker.
    pub maker: String,
    /// The model's name; empty covers all of the maker's.
    pub model_name: String,
    /// Further models, one a line.
    pub more_models: String,
    /// The serials, between commas: alone, or as ranges such as `A-100 to A-199`; empty covers all.
    pub serials: String,
    /// The lots, between commas, alone or as ranges; empty covers all.
    pub lots: String,
    /// The first day made.
    pub made_from: String,
    /// The last day made.
    pub made_until: String,
    /// What is to be done.
    pub action: String,
    /// `yes` where it is opened although the register has no such maker, model or lot: it may be bought later.
    pub anyway: String,
    /// Why it is corrected; only where it is.
    pub reason: String,
}

impl NoticeDraft {
    /// The notice that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: NoticeId, today: Date) -> Result<Notice, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let title = wrong.line("title", &self.title);
        let issuer = wrong.line("issuer", &self.issuer);
        let issued_on = past_day(&mut wrong, "issued_on", &self.issued_on, today);
        if self.issued_on.trim().is_empty() {
            wrong.add(
                "issued_on",
                "required",
                "Write the day on which it was issued.",
            );
        }
        let maker = wrong.line("maker", &self.maker);
        let model_name = wrong.optional_line("model_name", &self.model_name);
        let more_models = self.more_models(&mut wrong);
        let serials = spans(&mut wrong, "serials", &self.serials, |_| true);
        let (lots, lot_spans) = lots(&mut wrong, "lots", &self.lots);
        let day = |text: &str, field: &str, wrong: &mut FieldErrors| {
            optional(text, |text| {
                wrong.keep(field, "date", read_day(text).and_then(in_reach))
            })
        };
        let made_from = day(&self.made_from, "made_from", &mut wrong);
        let made_until = day(&self.made_until, "made_until", &mut wrong);
        if let (Some(from), Some(until)) = (made_from, made_until)
            && until < from
        {
            wrong.add(
                "made_until",
                "range",
                format!(
                    "The last day must not be before the first, {}.",
                    write_day(from)
                ),
            );
        }
        let action = wrong.reason("action", &self.action);
        match issued_on {
            Some(issued_on) if wrong.is_empty() => Ok(Notice {
                id,
                title,
                issuer,
                issued_on,
                maker,
                model_name: model_name.unwrap_or_default(),
                more_models,
                serials,
                lots,
                lot_spans,
                made_from,
                made_until,
                action,
                corrected: 0,
                withdrawn: None,
            }),
            _ => Err(wrong),
        }
    }

    /// The models beside the first.
    fn more_models(&self, wrong: &mut FieldErrors) -> Vec<String> {
        let names = self.more_models.lines().map(str::trim);
        let names: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
        if self.model_name.trim().is_empty() && !names.is_empty() {
            let words = "Write the first model here; left empty it covers everything of the maker.";
            wrong.add("model_name", "required", words);
        }
        too_many(wrong, "more_models", names.len());
        names
            .into_iter()
            .map(|name| wrong.line("more_models", name))
            .collect()
    }
}

/// The lots of a list that stand alone, and its ranges of lots.
pub(super) fn lots(
    wrong: &mut FieldErrors,
    field: &str,
    text: &str,
) -> (Vec<String>, Vec<NumberSpan>) {
    let lots = listed(text);
    too_many(wrong, field, lots.len());
    let alone = lots.into_iter().filter(|lot| !NumberSpan::is_range(lot));
    let alone = alone.map(|lot| wrong.line(field, lot)).collect();
    (alone, spans(wrong, field, text, is_no_lot))
}

/// Whether a text in the list of lots is a range, or would be one, rather than a lot.
fn is_no_lot(text: &str) -> bool {
    NumberSpan::is_range(text) || NumberSpan::names_several(text).is_some()
}

/// What stands between commas, semicolons or ends of lines.
fn listed(text: &str) -> Vec<&str> {
    let parts = text.split([',', ';', '\n']).map(str::trim);
    parts.filter(|part| !part.is_empty()).collect()
}

/// What parts of a list may mean beside the one number that they look like.
fn perhaps<'a>(parts: impl IntoIterator<Item = &'a str>) -> impl Iterator<Item = NumberSpan> {
    let alone = parts.into_iter().filter(|part| !NumberSpan::is_range(part));
    alone.flat_map(NumberSpan::perhaps)
}

fn too_many(wrong: &mut FieldErrors, field: &str, given: usize) {
    if given > 500 {
        wrong.add(
            field,
            "long",
            format!(
                "Keep to 500 {} in a notice; {given} were given.",
                field.replace('_', " ")
            ),
        );
    }
}

/// The ranges in a list; `takes` tells which of its parts are read as such.
fn spans(
    wrong: &mut FieldErrors,
    field: &str,
    text: &str,
    takes: impl Fn(&str) -> bool,
) -> Vec<NumberSpan> {
    let parts: Vec<&str> = listed(text)
        .into_iter()
        .filter(|part| takes(part))
        .collect();
    too_many(wrong, field, parts.len());
    let mut spans = Vec::new();
    for part in parts {
        wrong.line(field, part);
        spans.extend(wrong.keep(field, "range", NumberSpan::read(part)));
    }
    // What can be read as one or as a range covers both: what is not known takes nothing out of a notice.
    spans.extend(perhaps(listed(text)));
    spans
}
