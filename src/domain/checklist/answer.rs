//! What was answered to each criterion of a list.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::length::KEY as LENGTH;
use super::limit::read_value;
use super::{Checklist, Criterion, ModelLimit};
use crate::domain::FieldErrors;
use crate::domain::entered::EnteredLength;
use crate::domain::rating::{doubt, key_of, word};

/// How a criterion came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Finding {
    /// The sentence holds.
    Pass,
    /// It does not.
    Fail,
    /// It holds, and is looked at closely next time.
    Watch,
    /// This one has no such part.
    NotApplicable,
}

impl Finding {
    /// All, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Pass, Self::Fail, Self::Watch, Self::NotApplicable];

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::Watch => "watch",
            Self::NotApplicable => "not applicable",
        }
    }
}

/// The answer to one criterion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Answer {
    /// The criterion's key in the list that the examination names.
    pub criterion: String,
    /// How it came out.
    pub outcome: Finding,
    /// What was seen; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// What was measured, as entered, a value a point.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub values: Vec<EnteredLength>,
    /// The limit of the model that the values were held against on that day; none where the model's
    /// record had none, and then nothing follows from the values.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit: Option<ModelLimit>,
    /// Whether it is a length far from the record, and somebody said that it was measured so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub confirmed: bool,
}

impl Answer {
    /// The measured values that are beyond the limit.
    pub fn beyond(&self) -> impl Iterator<Item = EnteredLength> {
        let limit = self.limit.as_ref();
        let values = self.values.iter().copied();
        values.filter(move |value| limit.is_some_and(|limit| limit.excludes(*value)))
    }

    /// The values in words, with what they were held against; empty where nothing was measured.
    pub fn measured_words(&self) -> String {
        if self.values.is_empty() {
            return String::new();
        }
        let values: Vec<String> = self.values.iter().map(ToString::to_string).collect();
        let held = match &self.limit {
            Some(limit) => format!("limit {limit}, {}", limit.source),
            None if self.confirmed => {
                "far from the length on record, and confirmed by whoever measured".to_owned()
            }
            None => "no limit on the model's record, so nothing follows from it".to_owned(),
        };
        format!("{} ({held})", values.join(", "))
    }
}

/// The answer to one criterion as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct AnswerDraft {
    /// `pass`, `fail`, `watch` or `not-applicable`; empty where it is not answered.
    pub outcome: String,
    /// What was seen; must be there for a fail and a watch.
    pub note: String,
    /// What was measured, a value a point; a bare number is in the unit of the criterion.
    pub values: Vec<String>,
    /// `true` where a length was measured so though the item's record says otherwise by far; without, it is refused where
    /// it is longer than the record by more than 3 %, or shorter than half of it. Common practice, no source. Forms send
    /// the value once more.
    #[serde(
        deserialize_with = "doubt::tick",
        skip_serializing_if = "String::is_empty"
    )]
    #[schema(value_type = bool)]
    pub confirmed: String,
}

impl AnswerDraft {
    fn is_blank(&self) -> bool {
        let values = self.values.iter();
        let mut texts = values.chain([&self.outcome, &self.note]);
        texts.all(|text| text.trim().is_empty())
    }
}

/// The answers that were typed to a list, in its order. `rest` gives the outcome of what was
/// not answered.
pub(super) fn read(
    list: &Checklist,
    limits: &[ModelLimit],
    drafts: &BTreeMap<String, AnswerDraft>,
    rest: impl Fn(&Criterion) -> Option<Finding>,
    wrong: &mut FieldErrors,
) -> Vec<Answer> {
    for (key, draft) in drafts {
        if list.criterion(key).is_none() && !draft.is_blank() {
            let sentence = format!("There is no such criterion in {}.", list.edition.words());
            wrong.add(format!("answers[{key}]"), "choice", sentence);
        }
    }
    let blank = AnswerDraft::default();
    let mut answers = Vec::new();
    for criterion in &list.criteria {
        let draft = drafts.get(&criterion.key).unwrap_or(&blank);
        let mut part = FieldErrors::default();
        answers.extend(one(criterion, limits, draft, rest(criterion), &mut part));
        wrong.nest(&format!("answers[{}]", criterion.key), part);
    }
    answers
}

/// One answer; none where it is not answered.
fn one(
    criterion: &Criterion,
    limits: &[ModelLimit],
    draft: &AnswerDraft,
    rest: Option<Finding>,
    wrong: &mut FieldErrors,
) -> Option<Answer> {
    let typed = draft.outcome.trim();
    let said = word::<Finding>(typed);
    if said.is_none() && !typed.is_empty() {
        let keys: Vec<String> = Finding::ALL.iter().map(key_of).collect();
        let given: String = typed.chars().take(60).collect();
        let sentence = format!("Choose {}, not \"{given}\".", keys.join(", "));
        wrong.add("outcome", "choice", sentence);
    }
    let note = wrong.optional_line("note", &draft.note).unwrap_or_default();
    let mut answer = Answer {
        criterion: criterion.key.clone(),
        outcome: Finding::Fail,
        values: values(criterion, draft, wrong),
        note,
        limit: limit_of(criterion, limits),
        confirmed: false,
    };
    if answer.values.is_empty() {
        answer.limit = None;
    }
    let beyond = answer.beyond().next();
    if let (Some(value), Some(limit), Some(said)) = (beyond, &answer.limit, said)
        && said != Finding::Fail
    {
        let sentence = format!(
            "{value} is beyond {} limit, {limit} ({}): this is a fail, not \"{}\".",
            whose(criterion),
            limit.source,
            said.word()
        );
        wrong.add("outcome", "range", sentence);
    }
    // What is beyond its limit is a fail, whether somebody says so or not.
    answer.outcome = match (said, beyond) {
        (Some(said), _) => said,
        (None, Some(_)) => Finding::Fail,
        (None, None) => rest.filter(|_| typed.is_empty())?,
    };
    noted(criterion, &answer, wrong);
    Some(answer)
}

/// Notes where words are missing that must be there.
fn noted(criterion: &Criterion, answer: &Answer, wrong: &mut FieldErrors) {
    let why = match answer.outcome {
        Finding::NotApplicable if is_told(&answer.note) => return,
        Finding::NotApplicable if criterion.out.is_some() => {
            "Write in a few words why this does not apply: a fail of it would put the item out at once."
        }
        Finding::NotApplicable if criterion.limit.is_some() => {
            "Write in a few words why this does not apply: your team holds it against a limit."
        }
        _ if !answer.note.is_empty() => return,
        Finding::Fail if answer.beyond().next().is_some() => return,
        Finding::Fail | Finding::Watch => "Write what you saw, and where.",
        Finding::Pass | Finding::NotApplicable => return,
    };
    if wrong.on("note").next().is_none() {
        wrong.add("note", "required", why);
    }
}

/// Whether a note says something: two words, or one that is no mere mark.
fn is_told(note: &str) -> bool {
    let words = note.split_whitespace();
    let words = words.filter(|word| word.chars().any(char::is_alphabetic));
    let letters = note.chars().filter(|letter| letter.is_alphabetic()).count();
    words.count() >= 2 || letters >= 6
}

/// Whose limit it is that a criterion is held against.
pub(super) fn whose(criterion: &Criterion) -> &'static str {
    match criterion.limit {
        Some(_) => "your team's",
        None => "the model's",
    }
}

/// The limit that a criterion is held against: the model's, or else the team's own.
pub(super) fn limit_of(criterion: &Criterion, limits: &[ModelLimit]) -> Option<ModelLimit> {
    let mut limits = limits.iter();
    criterion.measure.as_ref()?;
    limits
        .find(|limit| limit.criterion == criterion.key)
        .or(criterion.limit.as_ref())
        .cloned()
}

fn values(
    criterion: &Criterion,
    draft: &AnswerDraft,
    wrong: &mut FieldErrors,
) -> Vec<EnteredLength> {
    /// The most values of one criterion.
    const MOST: usize = 24;
    let typed = draft.values.iter().enumerate();
    let typed: Vec<_> = typed.filter(|(_, text)| !text.trim().is_empty()).collect();
    let Some(measure) = &criterion.measure else {
        if !typed.is_empty() {
            let sentence = "Nothing is measured here; write it into the note.";
            wrong.add("values", "choice", sentence);
        }
        return Vec::new();
    };
    if typed.len() > MOST {
        let sentence = format!("Keep to {MOST} values; {} were given.", typed.len());
        wrong.add("values", "long", sentence);
        return Vec::new();
    }
    let read = typed.into_iter().filter_map(|(at, text)| {
        let name = format!("values[{at}]");
        let value = wrong.keep(&name, "unit", read_value(text, measure.unit))?;
        if criterion.key == LENGTH && value.value() <= 0.0 {
            let sentence = format!(
                "A length is above 0 {}, not {value}.",
                measure.unit.symbol()
            );
            wrong.add(name, "range", sentence);
        }
        Some(value)
    });
    read.collect()
}
