//! One criterion in the form of an examination.

use super::super::form::{Choices, Field, Form};
use crate::domain::{
    AnswerDraft, Criterion, Finding, ModelLimit, Out,
    checklist::{LENGTH, Watched},
    date::write_day,
    entered::EnteredLength,
    key_of,
};

/// What follows from a length that is measured.
const OF_LENGTH: &str = "From end to end. Where the record says more than that by over 1 %, as of a rope that was cut or shrank, \
                         this is its length from now on, by which kits are chosen; by less is no difference, and the record stays.";

/// The fields of one criterion.
#[derive(Clone, Debug)]
pub struct CriterionRow {
    /// How it came out.
    pub outcome: Field,
    /// What was measured.
    pub values: Vec<Field>,
    /// What was seen.
    pub note: Field,
    /// Whether the note is shown whatever is answered, since something stands in it.
    pub noted: bool,
    /// Why it is looked at closely this time; empty where it is not.
    pub before: String,
    /// Its key, and what a page that judges by itself needs of it.
    pub rule: CriterionRule,
}

/// What a criterion asks, for a page that has to say so without a line to the server.
#[derive(Clone, Debug)]
pub struct CriterionRule {
    /// The word for programs.
    pub key: String,
    /// Where a fail of it puts the item; empty where that is not said.
    pub out: String,
    /// Whether it is on the short list.
    pub quick: bool,
    /// The unit that bare numbers are in; empty where nothing is measured.
    pub unit: &'static str,
    /// At how many points it must be measured; 0 where the model sets no limit.
    pub points: u16,
    /// The least that the model allows, in the unit; empty where there is none.
    pub least: String,
    /// The most that the model allows, in the unit; empty where there is none.
    pub most: String,
}

impl CriterionRule {
    fn new(criterion: &Criterion, limit: Option<&ModelLimit>) -> Self {
        let measure = criterion.measure.as_ref();
        let number = |length: Option<EnteredLength>| {
            let number = measure.zip(length);
            let number = number.map(|(measure, length)| measure.unit.number(length.quantity()));
            number.map(|number| number.to_string()).unwrap_or_default()
        };
        Self {
            key: criterion.key.clone(),
            out: criterion.out.map(key_of).unwrap_or_default(),
            quick: criterion.quick,
            unit: measure.map_or("", |measure| measure.unit.symbol()),
            points: measure.zip(limit).map_or(0, |(measure, _)| measure.points),
            least: number(limit.and_then(|limit| limit.least)),
            most: number(limit.and_then(|limit| limit.most)),
        }
    }
}

impl CriterionRow {
    /// The row with what was typed. `limit` is what the model allows, `before` what was watched last time.
    pub fn new(
        form: &Form,
        criterion: &Criterion,
        draft: &AnswerDraft,
        limit: Option<&ModelLimit>,
        before: Option<&Watched>,
    ) -> Self {
        let name = |part: &str| format!("answers[{}]{part}", criterion.key);
        let outcomes: Choices = Finding::ALL
            .map(|outcome| (key_of(outcome), outcome.word().to_owned()))
            .into();
        let typed = draft.outcome.trim();
        let outcome = form
            .radios(&name("[outcome]"), &criterion.words, typed, outcomes)
            .hint(&how(criterion));
        let note = form.line(&name("[note]"), "What you saw", &draft.note);
        let note = note.needed("needed unless it passes");
        Self {
            outcome,
            values: values(form, criterion, draft, limit),
            noted: note.is_filled(),
            note,
            before: before.map(watched_words).unwrap_or_default(),
            rule: CriterionRule::new(criterion, limit),
        }
    }
}

/// Why something is looked at closely.
pub(in crate::view) fn watched_words(watched: &Watched) -> String {
    let measured = watched.answer.measured_words();
    let mut parts = vec![watched.answer.note.clone(), measured];
    parts.retain(|part| !part.is_empty());
    format!(
        "to watch since {}: {}",
        write_day(watched.on),
        parts.join("; ")
    )
}

/// How it is looked at, and what a fail does.
fn how(criterion: &Criterion) -> String {
    let mut words = criterion.by.word().to_owned();
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    match criterion.out {
        Some(out) => format!("{words}; {}.", Out::words(out)),
        None => format!("{words}."),
    }
}

fn values(
    form: &Form,
    criterion: &Criterion,
    draft: &AnswerDraft,
    limit: Option<&ModelLimit>,
) -> Vec<Field> {
    let Some(measure) = &criterion.measure else {
        return Vec::new();
    };
    let held = match (limit, &criterion.limit) {
        (Some(limit), _) => format!("The model allows {limit}: {}.", limit.source),
        (None, Some(limit)) => format!("Your team allows {limit}: {}.", limit.source),
        (None, None) if criterion.key == LENGTH => OF_LENGTH.to_owned(),
        (None, None) => {
            "No limit on record: the number is kept, and nothing follows from it.".to_owned()
        }
    };
    let points = usize::from(measure.points).max(draft.values.len());
    let fields = (0..points).map(|at| {
        let name = format!("answers[{}][values][{at}]", criterion.key);
        let label = match points {
            1 => measure.of.clone(),
            _ => format!("{}, point {}", measure.of, at + 1),
        };
        let text = draft.values.get(at).map_or("", String::as_str);
        let field = form.number(&name, &label, text).unit(measure.unit.symbol());
        let field = match limit {
            Some(_) => field.needed("needed for fit"),
            None => field,
        };
        if at == 0 { field.hint(&held) } else { field }
    });
    fields.collect()
}
