//! What jobs will ask of the models of a list, told while questions are still open: as if each had an answer.
//!
//! No answer is made up here for good. It is only looked what would be asked next, so that one page can ask all of it.

use super::against_asked::REGISTER;
use super::answer::{
    Answers, DateOrder, DecimalMark, IN_NOTE, LessThanDay, Numbered, Ranges, Restricted, Target,
};
use super::doubted_figure::is_figure;
use super::examiner::HISTORY;
use super::fate::RowError;
use super::field::Field;
use super::foretold::{Foretold, Offer, Reason};
use super::given::SeenOf;
use super::question::{Earlier, Question};
use crate::domain::{ItemState, RatingSource, Verdict};

/// Which answer is assumed to each question.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Assume {
    /// The first of those that can be given.
    First,
    /// The last of them: what holds with both does not hang on the answer.
    Last,
}

impl Assume {
    fn one<T>(self, first: T, last: T) -> T {
        match self {
            Self::First => first,
            Self::Last => last,
        }
    }
}

/// The answers, with one for each question that is open, as far as what models lack does not hang on it.
pub(super) fn assumed(answers: &Answers, questions: &[Question], assume: Assume) -> Answers {
    let mut assumed = answers.clone();
    for question in questions {
        match question {
            Question::Heading { heading, .. } => {
                assumed.headings.insert(heading.clone(), Target::InNote);
            }
            Question::DateOrder { .. } => {
                assumed.dates = Some(assume.one(DateOrder::DayFirst, DateOrder::MonthFirst));
            }
            Question::DecimalMark { .. } => {
                assumed.decimal = Some(assume.one(DecimalMark::Point, DecimalMark::Comma));
            }
            Question::LessThanDay { .. } => {
                assumed.less_than_day = Some(assume.one(LessThanDay::First, LessThanDay::InNote));
            }
            Question::Ranges { .. } => {
                assumed.ranges = Some(assume.one(Ranges::One, Ranges::Several));
            }
            Question::Numbered { .. } => {
                assumed.numbered = Some(assume.one(Numbered::Each, Numbered::One));
            }
            Question::Restricted { .. } => {
                assumed.restricted = Some(assume.one(Restricted::Go, Restricted::Quarantine));
            }
            Question::Unit { heading, units, .. } => {
                if let Some(unit) = assume.one(units.first(), units.last()) {
                    assumed.units.insert(heading.clone(), *unit);
                }
            }
            Question::Word { field, word, .. } => {
                let meaning = match *field {
                    Field::State => {
                        let state = assume.one(ItemState::InService, ItemState::Missing);
                        state.key()
                    }
                    Field::Verdict => assume.one(Verdict::Fit, Verdict::Quarantine).key(),
                    field if is_figure(field) => IN_NOTE,
                    _ => continue,
                };
                say(&mut assumed, *field, word, meaning);
            }
            Question::Examiner { name, .. } if name.is_empty() => {
                silent(&mut assumed, Field::Examiner, HISTORY);
            }
            Question::Examiner { name, .. } => say(&mut assumed, Field::Examiner, name, HISTORY),
            Question::Silent { field, earlier, .. } => {
                of_silence(&mut assumed, (*field, earlier.as_ref()), assume);
            }
            Question::Differs { .. } => of_differing(&mut assumed, question, assume),
            Question::LoadOf { .. } | Question::RopeEnd { .. } | Question::Life { .. } => {}
        }
    }
    assumed
}

/// Assumes which of the things holds that are said of a model; what the register has stands before all of them.
fn of_differing(assumed: &mut Answers, question: &Question, assume: Assume) {
    if let Question::Differs {
        model,
        field,
        said,
        register,
        ..
    } = question
    {
        let one = match register {
            Some(_) => Some(REGISTER),
            None => assume
                .one(said.first(), said.last())
                .map(|(text, _)| text.as_str()),
        };
        agree(assumed, (model, *field), one);
    }
}

/// Assumes what holds where the list is silent.
fn of_silence(assumed: &mut Answers, (field, earlier): (Field, Option<&Earlier>), assume: Assume) {
    match (field, earlier) {
        (field, Some(earlier)) => silent(assumed, field, &earlier.value),
        (Field::LifeSupport, None) => {
            silent(assumed, field, assume.one("yes", "no"));
        }
        (Field::Store, None) => silent(assumed, field, "?"),
        (Field::State, None) => {
            let state = assume.one(ItemState::InService, ItemState::Quarantined);
            silent(assumed, field, state.key());
        }
        (Field::StrengthSource, None) => {
            let source = assume.one(RatingSource::Paper, RatingSource::Marking);
            silent(assumed, field, source.key());
        }
        // What a model is called and of which kind it is has to be known first.
        _ => {}
    }
}

/// What is wrong with both assumptions, each at the same place for the same reason; in the words of the first. What
/// only is not there may stand under a heading that nobody knows yet.
pub(super) fn either_way(
    first: Vec<RowError>,
    last: &[RowError],
    questions: &[Question],
) -> Vec<RowError> {
    let mut headings = questions.iter();
    let may_be_there = headings.any(|one| matches!(one, Question::Heading { .. }));
    let both = first.into_iter();
    both.filter(|error| !(may_be_there && error.code == "required"))
        .filter(|error| last.iter().any(|other| same_place(error, other)))
        .collect()
}

/// Whether two errors are one, as far as their place and their reason tell.
pub(super) fn same_place(one: &RowError, other: &RowError) -> bool {
    let is_cell = one.column.is_some() || one.message == other.message;
    is_cell && (one.row, &one.column, &one.code) == (other.row, &other.column, &other.code)
}

/// Assumes that one of the things holds that rows say of a field of their model.
fn agree(answers: &mut Answers, (model, field): (&str, Field), said: Option<&str>) {
    if let Some(text) = said {
        let agreed = answers.agreed.entry(model.to_owned()).or_default();
        agreed.insert(field.key(), text.to_owned());
    }
}

fn say(answers: &mut Answers, field: Field, word: &str, meaning: &str) {
    let words = answers.words.entry(field.key()).or_default();
    words.insert(word.to_owned(), meaning.to_owned());
}

fn silent(answers: &mut Answers, field: Field, value: &str) {
    answers.silent.insert(field.key(), value.to_owned());
    answers.silent_rows.remove(&field.key());
}

/// Of what would be told then: what can be said of models now, and that markings are to be looked at. A column of which
/// nobody knows yet what it is may say what it is likely to hold.
pub(super) fn of(foretold: Option<Foretold>, questions: &[Question]) -> Option<Foretold> {
    let mut foretold = foretold?;
    let likely = questions.iter().flat_map(|question| match question {
        Question::Heading { suggestions, .. } => suggestions.as_slice(),
        _ => &[],
    });
    let likely: Vec<Field> = likely.copied().collect();
    let keep = |reason: &mut Reason| match &mut reason.offer {
        Offer::Seen(of) => {
            *of == SeenOf::MarkingsUnknown && !likely.contains(&Field::MarkingsReadable)
        }
        Offer::InFile => false,
        Offer::Models(models) => {
            models.retain(|model| {
                let field = model.field.filter(|_| model.id.is_none());
                field.is_some_and(|field| !likely.contains(&field))
            });
            !models.is_empty()
        }
    };
    // What may stay open is asked once the rest is settled.
    foretold.papers.clear();
    foretold.reasons.retain_mut(keep);
    foretold.at_positions.retain_mut(keep);
    let is_empty = foretold.reasons.is_empty() && foretold.at_positions.is_empty();
    (!is_empty).then_some(foretold)
}
