//! What follows from the answers: which verdicts they refuse, and what is missing.

use std::collections::BTreeMap;

use super::answer::{limit_of, read, whose};
use super::{
    Answer, AnswerDraft, Checklist, Criterion, Doubted, Finding, LENGTH, ModelLimit, Out,
    shorter_than_recorded,
};
use crate::domain::entered::EnteredLength;
use crate::domain::rating::doubt::CONFIRMED;
use crate::domain::rating::word;
use crate::domain::{Event, FieldErrors, Verdict};

/// A look that is judged by its answers.
pub(in crate::domain) struct Looked<'a> {
    /// The list that it was done by.
    pub list: &'a Checklist,
    /// The limits on the model's record.
    pub limits: &'a [ModelLimit],
    /// Whether it is a thorough one; a quick look may leave the list out.
    pub thorough: bool,
    /// The verdict that was chosen.
    pub verdict: Option<Verdict>,
    /// What happened to the item since it was last found fit.
    pub happened: &'a [Event],
    /// The length of the item on its record.
    pub length: Option<EnteredLength>,
}

/// Reads the answers and holds the verdict against them.
///
/// A fail refuses the verdict "fit". A criterion that puts the item out at once refuses it with that reason;
/// where it puts the item out for good, a thorough look must end in "retire", while whoever looks quickly may
/// hold the item back for somebody competent. A thorough look that ends in "fit" has every criterion answered,
/// and everything that has a limit measured at all its points. "Fit" is refused too where a limit of the model's is said
/// not to apply, and where a pass goes over what the record says: an event, or a length. A length far from the record is
/// asked about, whatever the verdict.
pub(in crate::domain) fn read_answers(
    looked: &Looked<'_>,
    drafts: &BTreeMap<String, AnswerDraft>,
    rest: &str,
    wrong: &mut FieldErrors,
) -> Vec<Answer> {
    let rest = match (rest.trim(), word::<Finding>(rest)) {
        ("", _) => None,
        (_, Some(Finding::Pass)) => Some(Finding::Pass),
        (given, _) => {
            let given: String = given.chars().take(60).collect();
            let sentence = format!("Write pass, or leave it empty, not \"{given}\".");
            wrong.add("rest", "choice", sentence);
            None
        }
    };
    // Of a quick look only the short list is meant by the rest.
    let rest_of = |one: &Criterion| rest.filter(|_| looked.thorough || one.quick);
    let mut answers = read(looked.list, looked.limits, drafts, rest_of, wrong);
    looked.doubted(&mut answers, drafts, wrong);
    looked.failed(&answers, wrong);
    if looked.verdict == Some(Verdict::Fit) {
        looked.waved_off(&answers, wrong);
        looked.recorded_otherwise(&answers, wrong);
        if looked.thorough {
            looked.missing(&answers, wrong);
        }
    }
    answers
}

impl Looked<'_> {
    /// Asks about a length that is far from the record, and keeps that it was confirmed.
    fn doubted(
        &self,
        answers: &mut [Answer],
        drafts: &BTreeMap<String, AnswerDraft>,
        wrong: &mut FieldErrors,
    ) {
        let Some(draft) = drafts.get(LENGTH) else {
            return;
        };
        for answer in answers.iter_mut().filter(|one| one.criterion == LENGTH) {
            let field = format!("answers[{LENGTH}][values][0]");
            if wrong.on(&field).next().is_some() {
                continue;
            }
            if let Some(doubted) = Doubted::of(&answer.values, self.length) {
                answer.confirmed = doubted.is_confirmed(draft);
                if !answer.confirmed {
                    wrong.ask(field, doubted.question, CONFIRMED);
                }
            }
        }
    }

    /// Notes where a fail refuses the verdict.
    fn failed(&self, answers: &[Answer], wrong: &mut FieldErrors) {
        let failed = answers.iter().filter(|one| one.outcome == Finding::Fail);
        let failed = failed.filter_map(|one| self.list.criterion(&one.criterion));
        let failed: Vec<&Criterion> = failed.collect();
        let named = |out: Option<Out>| {
            let of = failed.iter().filter(|one| out.is_none() || one.out == out);
            let words: Vec<String> = of.map(|one| format!("\"{}\"", one.words)).collect();
            words.join(", ")
        };
        let has = |out: Out| failed.iter().any(|one| one.out == Some(out));
        let sentence = match self.verdict {
            Some(Verdict::Quarantine) if self.thorough && has(Out::Retire) => format!(
                "A fail of {} puts it out for good: choose to retire it.",
                named(Some(Out::Retire))
            ),
            Some(Verdict::Fit) if has(Out::Retire) => format!(
                "A fail of {} puts it out for good: choose to retire it{}.",
                named(Some(Out::Retire)),
                if self.thorough {
                    ""
                } else {
                    ", or quarantine for somebody competent to decide"
                }
            ),
            Some(Verdict::Fit) if has(Out::Quarantine) => format!(
                "A fail of {} puts it out at once: choose quarantine, or retire it.",
                named(Some(Out::Quarantine))
            ),
            Some(Verdict::Fit) if !failed.is_empty() => format!(
                "It is not fit, since this failed: {}. Choose quarantine, or retire it.",
                named(None)
            ),
            _ => return,
        };
        wrong.add("verdict", "range", sentence);
    }

    /// Notes what is said not to apply although the model's record has a limit for it.
    fn waved_off(&self, answers: &[Answer], wrong: &mut FieldErrors) {
        let answers = answers.iter();
        for answer in answers.filter(|one| one.outcome == Finding::NotApplicable) {
            let mut limits = self.limits.iter();
            if let Some(limit) = limits.find(|limit| limit.criterion == answer.criterion) {
                let sentence = format!(
                    "The model's record has a limit for this, {limit} ({}), so it applies: measure it, or have the limit \
                     taken off the model's record first.",
                    limit.source
                );
                let field = format!("answers[{}][outcome]", answer.criterion);
                wrong.add(field, "range", sentence);
            }
        }
    }

    /// Notes what passes although the record says otherwise.
    fn recorded_otherwise(&self, answers: &[Answer], wrong: &mut FieldErrors) {
        for answer in answers.iter().filter(|one| one.outcome == Finding::Pass) {
            let criterion = self.list.criterion(&answer.criterion);
            let of_record = criterion.is_some_and(Criterion::asks_the_record);
            if of_record && !self.happened.is_empty() && answer.note.is_empty() {
                let events = self.happened.iter();
                let events: Vec<String> = events.map(Event::in_words).collect();
                let sentence = format!(
                    "The record says otherwise: {}. Write what was made of that, or answer with a fail.",
                    events.join("; ")
                );
                let field = format!("answers[{}][note]", answer.criterion);
                wrong.add(field, "required", sentence);
            }
        }
        let measured = shorter_than_recorded(answers, self.length).zip(self.length);
        let passed = |one: &Answer| one.criterion == LENGTH && one.outcome == Finding::Pass;
        if let Some((measured, recorded)) = measured
            && answers.iter().any(passed)
        {
            let sentence = format!(
                "{measured} is less than the {recorded} of the register: say watch, and why, and {measured} is its length \
                 from now on; or fail."
            );
            wrong.add(format!("answers[{LENGTH}][outcome]"), "range", sentence);
        }
    }

    /// Notes what a thorough look that ends in "fit" leaves open. What was typed and could not be read has
    /// its own sentence already.
    fn missing(&self, answers: &[Answer], wrong: &mut FieldErrors) {
        for criterion in &self.list.criteria {
            let name = format!("answers[{}]", criterion.key);
            if wrong.0.iter().any(|error| error.field.starts_with(&name)) {
                continue;
            }
            let Some(answer) = answers.iter().find(|one| one.criterion == criterion.key) else {
                wrong.add(
                    format!("{name}[outcome]"),
                    "required",
                    "Not answered, and until it is the item is not fit: say pass, fail, watch or not applicable.",
                );
                continue;
            };
            let points = criterion.measure.as_ref().map_or(0, |one| one.points);
            let given = answer.values.len();
            let measured = answer.outcome == Finding::NotApplicable || given >= points.into();
            if let Some(limit) = limit_of(criterion, self.limits).filter(|_| !measured) {
                wrong.add(
                    format!("{name}[values][0]"),
                    "required",
                    format!(
                        "This is held against {} limit, {limit} ({}): measure at {}, not at {given}.",
                        whose(criterion),
                        limit.source,
                        match points {
                            1 => "1 point".to_owned(),
                            points => format!("{points} points"),
                        }
                    ),
                );
            }
        }
    }
}
