//! One criterion in the form of an examination.

use super::super::form::{Choices, Field, Form};
use crate::domain::{
    AnswerDraft, Criterion, Finding, ModelLimit, Out,
    checklist::{Doubted, LENGTH, LONGER, SHORTER, Watched, read_value},
    date::write_day,
    entered::EnteredLength,
    key_of,
};

/// What follows from a length that is measured.
const OF_LENGTH: &str = "From end to end. Where the record says more than that by over 1 %, as of a rope that was cut or shrank, \
                         this is its length from now on, by which kits are chosen; by less is no difference, and the record stays. What is \
                         over 3 % longer, or less than half, is asked about.";

/// The fields of one criterion.
#[derive(Clone, Debug)]
pub struct CriterionRow {
    /// How it came out.
    pub outcome: Field,
    /// What was measured.
    pub values: Vec<Field>,
    /// What was seen.
    pub note: Field,
    /// A length far from the record, which is confirmed so; none where no length is held against a record.
    pub confirm: Option<Field>,
    /// Whether it is to be confirmed.
    pub doubted: bool,
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
    /// What is less is asked about, in the unit; empty where nothing is.
    pub asked_below: String,
    /// What is more is asked about, in the unit; empty where nothing is.
    pub asked_above: String,
    /// The length on record; empty where none is held against it.
    pub recorded: String,
}

impl CriterionRule {
    fn new(
        criterion: &Criterion,
        limit: Option<&ModelLimit>,
        recorded: Option<EnteredLength>,
    ) -> Self {
        let measure = criterion.measure.as_ref();
        let number = |length: Option<EnteredLength>| {
            let number = measure.zip(length);
            let number = number.map(|(measure, length)| measure.unit.number(length.quantity()));
            number.map(|number| number.to_string()).unwrap_or_default()
        };
        let share = |share: f64| {
            let of = measure.zip(recorded);
            let of = of.map(|(measure, length)| measure.unit.number(length.quantity()) * share);
            // A product of decimals has a hair too much.
            of.map(|number| ((number * 1e6).round() / 1e6).to_string())
                .unwrap_or_default()
        };
        Self {
            asked_below: share(SHORTER),
            asked_above: share(LONGER),
            recorded: recorded
                .map(|length| length.to_string())
                .unwrap_or_default(),
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
    /// The row with what was typed. `limit` is what the model allows, `before` what was watched last time, `recorded` the
    /// length on the item's record.
    pub fn new(
        form: &Form,
        criterion: &Criterion,
        draft: &AnswerDraft,
        (limit, recorded): (Option<&ModelLimit>, Option<EnteredLength>),
        before: Option<&Watched>,
    ) -> Self {
        let recorded = recorded.filter(|_| criterion.key == LENGTH);
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
        let doubted = doubted(criterion, draft, recorded);
        Self {
            confirm: recorded.map(|_| confirm(form, &name("[confirmed]"), draft, doubted.as_ref())),
            doubted: doubted.is_some(),
            outcome,
            values: values(form, criterion, draft, limit),
            noted: note.is_filled(),
            note,
            before: before.map(watched_words).unwrap_or_default(),
            rule: CriterionRule::new(criterion, limit, recorded),
        }
    }
}

/// What is asked of a length that was typed.
fn doubted(
    criterion: &Criterion,
    draft: &AnswerDraft,
    recorded: Option<EnteredLength>,
) -> Option<Doubted> {
    let unit = criterion.measure.as_ref()?.unit;
    let values = draft.values.iter();
    let values: Vec<_> = values
        .filter_map(|text| read_value(text, unit).ok())
        .collect();
    Doubted::of(&values, recorded)
}

/// Asked only of what is far from the record, and again where another such length is written.
fn confirm(form: &Form, name: &str, draft: &AnswerDraft, doubted: Option<&Doubted>) -> Field {
    let given = doubted.map_or("", Doubted::given);
    let is_confirmed = doubted.is_some_and(|one| one.is_confirmed(draft));
    let label = "I measured again: the length is no slip, and this is the item of this record";
    form.tick_of(name, label, given, is_confirmed)
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
