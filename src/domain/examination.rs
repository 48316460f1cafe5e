//! A dated look at an item with findings and a verdict.

mod for_report;
mod next_due;

use std::collections::BTreeMap;

use for_report::Beside;
pub use for_report::{Danger, FirstThere, ForReport, ForReportDraft};
use next_due::Examined;
use serde::{Deserialize, Serialize};
use time::Date;

use super::checklist::{
    Looked, about_as_recorded, longer_than_recorded, read_answers, shorter_than_recorded,
};
use super::date::iso;
use super::entered::EnteredLength;
use super::item::{past_day, readable};
use super::{
    Answer, AnswerDraft, Checklist, Competence, Event, ExaminationId, ExaminationKind, FieldErrors,
    Finding, ItemId, Kind, LONGEST_NOTE, ListEdition, ModelLimit, PersonId, QualificationId,
    Verdict,
};

/// A dated look at an item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Examination {
    /// Its id.
    pub id: ExaminationId,
    /// The item.
    pub item: ItemId,
    /// Why it was looked at.
    pub kind: ExaminationKind,
    /// The day it was done, which may be before it was recorded.
    #[serde(with = "iso")]
    pub on: Date,
    /// Who recorded it.
    pub recorded_by: PersonId,
    /// Who looked, by name; the recorder, or another competent person.
    pub examiner: String,
    /// Where it was looked at; empty where nobody said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// What was found.
    pub findings: String,
    /// What it ended in.
    pub verdict: Verdict,
    /// When the next thorough one is due.
    #[serde(with = "iso::option")]
    pub next_due_on: Option<Date>,
    /// Whether its markings could be read; none where nobody looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub markings_readable: Option<bool>,
    /// The qualification by which the examiner was competent on that day; none where none was needed, or it was
    /// recorded before qualifications were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub qualification: Option<QualificationId>,
    /// Whether it brings no item back from quarantine by itself: the team has a second person confirm it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub return_waits: bool,
    /// The thorough examination of a later day that did not find it fit, if there was one: then this brings nothing back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outdone_by: Option<ExaminationId>,
    /// The list that it was done by; none where it was done by none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checklist: Option<ListEdition>,
    /// What was answered to its criteria.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<Answer>,
    /// Its length from that day on, where it was measured shorter than its record said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_now: Option<EnteredLength>,
    /// What its report tells beside; empty where nobody said, or it was recorded before that was asked.
    #[serde(default, skip_serializing_if = "ForReport::is_empty")]
    pub report: ForReport,
}

impl Examination {
    /// The answers with this outcome.
    pub fn answered(&self, outcome: Finding) -> impl Iterator<Item = &Answer> {
        let answers = self.answers.iter();
        answers.filter(move |answer| answer.outcome == outcome)
    }

    /// That it measured a little less than the length on an item's record, or far more, and that the record stays as it is, in
    /// one sentence; none where it measured about the same, or so much less that the record follows.
    pub fn length_left(&self, recorded: Option<EnteredLength>) -> Option<String> {
        let recorded = recorded.filter(|_| self.length_now.is_none())?;
        if let Some(measured) = longer_than_recorded(&self.answers, recorded) {
            return Some(format!(
                "{measured} was measured, more than the {recorded} on record: the record stays, and kits are chosen by the \
                 {recorded}, until it is corrected on the page of the item."
            ));
        }
        let measured = about_as_recorded(&self.answers, recorded)?;
        Some(format!(
            "{measured} was measured, less than the {recorded} on record by no more than 1 %, which counts as no difference: \
             the record stays."
        ))
    }
}

/// An examination as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ExaminationDraft {
    /// The kind's key.
    pub kind: String,
    /// The day it was done.
    pub on: String,
    /// Who looked; empty is whoever records it.
    pub examiner: String,
    /// Where it was looked at; may be empty.
    pub place: String,
    /// What was found.
    pub findings: String,
    /// The verdict's key.
    pub verdict: String,
    /// The next due day; empty is the longest that the rules allow.
    pub next_due_on: String,
    /// Whether its markings can be read: `yes`, `no`, or empty where nobody looked.
    pub markings_readable: String,
    /// The edition of the list that is answered, such as `rope@1`; empty is the newest.
    pub checklist: String,
    /// What is answered to its criteria, by key. A thorough examination that ends in fit answers all.
    pub answers: BTreeMap<String, AnswerDraft>,
    /// `pass` where all that is not answered passes; said once, after the exceptions.
    pub rest: String,
    /// The `state_since` of the item when it was looked at; empty asks nothing. Where its state changed since, "fit" is
    /// not recorded: whoever looked did not know of it.
    pub seen: String,
    /// What its report tells beside, of a thorough one; all of it may be left out.
    pub report: ForReportDraft,
}

/// What an examination is checked against.
#[derive(Clone, Debug)]
pub struct ExaminationBasis<'a> {
    /// The item.
    pub item: ItemId,
    /// Who records it.
    pub recorded_by: PersonId,
    /// The recorder's name.
    pub recorder: String,
    /// The day it is recorded.
    pub today: Date,
    /// The shortest interval that binds, in months.
    pub interval_months: u16,
    /// The list for the item's kind; none where what was looked at is not asked, as in a list that is imported.
    pub list: Option<&'a Checklist>,
    /// The limits of its model.
    pub limits: &'a [ModelLimit],
    /// What kind of gear it is.
    pub gear: Kind,
    /// Who is competent.
    pub competence: &'a Competence,
    /// Whether a second person confirms a return from quarantine.
    pub return_waits: bool,
    /// What happened to the item since it was last found fit.
    pub happened: &'a [Event],
    /// The length of the item on its record.
    pub length: Option<EnteredLength>,
}

impl ExaminationDraft {
    /// The examination that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        id: ExaminationId,
        basis: &ExaminationBasis<'_>,
    ) -> Result<Examination, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let (kind, verdict) = self.chosen(&mut wrong);
        let on = past_day(&mut wrong, "on", &self.on, basis.today);
        if self.on.trim().is_empty() {
            wrong.add("on", "required", "Write the day on which it was examined.");
        }
        let (examiner, qualification) = self.examined_by(kind, on, basis, &mut wrong);
        let place = wrong.optional_line("place", &self.place);
        let thorough = kind.is_none_or(ExaminationKind::is_thorough);
        let answers = self.answers(thorough, verdict, on, basis, &mut wrong);
        let findings = self.findings(&answers, basis.list, &mut wrong);
        if findings.is_empty() && verdict.is_some_and(|verdict| verdict != Verdict::Fit) {
            wrong.add(
                "findings",
                "required",
                "Write what was found; an item is not taken out of use without it.",
            );
        }
        let looked = (thorough, verdict, on);
        let report = self.for_report(looked, (&findings, &answers), &mut wrong);
        let examined = Examined {
            kind,
            verdict,
            on,
            danger_by: report.danger_by(),
        };
        let next_due_on = self.next_due(examined, basis, &mut wrong);
        let markings_readable = self.markings(&answers, basis.list, &mut wrong);
        match (kind, verdict, on) {
            (Some(kind), Some(verdict), Some(on)) if wrong.is_empty() => Ok(Examination {
                id,
                item: basis.item,
                kind,
                on,
                recorded_by: basis.recorded_by,
                examiner,
                place: place.unwrap_or_default(),
                findings,
                verdict,
                next_due_on,
                markings_readable,
                qualification,
                return_waits: basis.return_waits && thorough && verdict == Verdict::Fit,
                outdone_by: None,
                checklist: basis
                    .list
                    .filter(|_| !answers.is_empty())
                    .map(|list| list.edition),
                length_now: shorter_than_recorded(&answers, basis.length),
                answers,
                report,
            }),
            _ => Err(wrong),
        }
    }

    /// What its report tells beside; a line of the list that fails or is to be watched has its words as findings have.
    fn for_report(
        &self,
        (thorough, verdict, on): (bool, Option<Verdict>, Option<Date>),
        (findings, answers): (&str, &[Answer]),
        wrong: &mut FieldErrors,
    ) -> ForReport {
        let seen = |one: &Answer| matches!(one.outcome, Finding::Fail | Finding::Watch);
        let beside = Beside {
            thorough,
            verdict,
            on,
            has_words: !findings.is_empty() || answers.iter().any(seen),
        };
        self.report.check(beside).unwrap_or_else(|part| {
            wrong.nest("report", part);
            ForReport::default()
        })
    }

    /// Who looked, and by which qualification where one is needed.
    fn examined_by(
        &self,
        kind: Option<ExaminationKind>,
        on: Option<Date>,
        basis: &ExaminationBasis<'_>,
        wrong: &mut FieldErrors,
    ) -> (String, Option<QualificationId>) {
        let named = wrong.optional_line("examiner", &self.examiner);
        let named = named.unwrap_or_default();
        if uuid::Uuid::try_parse(&named).is_ok() {
            let sentence = format!("Write the name of whoever looked, not an id, as {named} is.");
            wrong.add("examiner", "choice", sentence);
        }
        let recorder = (basis.recorded_by, basis.recorder.as_str());
        let examiner = basis.competence.examiner(&named, recorder);
        let thorough = kind.is_some_and(ExaminationKind::is_thorough);
        let qualification = match (thorough, on) {
            (true, Some(on)) => {
                wrong.keep("examiner", "competence", examiner.covered(basis.gear, on))
            }
            _ => None,
        };
        (examiner.name, qualification)
    }

    /// Whether the markings can be read: as typed, or as the line of the list says that asks for it.
    fn markings(
        &self,
        answers: &[Answer],
        list: Option<&Checklist>,
        wrong: &mut FieldErrors,
    ) -> Option<bool> {
        let typed = readable(wrong, &self.markings_readable);
        let mut criteria = list.into_iter().flat_map(|list| &list.criteria);
        let Some(line) = criteria.find(|one| one.asks_the_markings()) else {
            return typed;
        };
        let answer = answers.iter().find(|one| one.criterion == line.key);
        let listed = answer.and_then(|answer| match answer.outcome {
            Finding::Pass | Finding::Watch => Some(true),
            Finding::Fail => Some(false),
            Finding::NotApplicable => None,
        });
        if let (Some(typed), Some(listed)) = (typed, listed)
            && typed != listed
        {
            let sentence = format!(
                "This says {}, and the line \"{}\" says otherwise: answer both alike.",
                if typed { "yes" } else { "no" },
                line.words
            );
            wrong.add("markings_readable", "choice", sentence);
        }
        typed.or(listed)
    }

    /// What was answered to the list; a look that is not thorough may leave it out.
    fn answers(
        &self,
        thorough: bool,
        verdict: Option<Verdict>,
        on: Option<Date>,
        basis: &ExaminationBasis<'_>,
        wrong: &mut FieldErrors,
    ) -> Vec<Answer> {
        let Some(list) = basis.list else {
            return Vec::new();
        };
        let named = self.checklist.trim();
        if !named.is_empty() && named != list.edition.to_string() {
            let given: String = named.chars().take(60).collect();
            let sentence = format!(
                "The list is {} now, not {given}: look at what is new, then record again.",
                list.edition
            );
            wrong.add("checklist", "stale", sentence);
        }
        // A look of an earlier day cannot know what happened later.
        let happened = basis.happened.iter();
        let happened: Vec<Event> = happened
            .filter(|event| on.is_none_or(|on| event.on <= on))
            .cloned()
            .collect();
        let looked = Looked {
            list,
            limits: basis.limits,
            thorough,
            verdict,
            happened: &happened,
            length: basis.length,
        };
        read_answers(&looked, &self.answers, &self.rest, wrong)
    }

    /// What was found: as typed, or what the failed criteria say where nothing was typed.
    fn findings(
        &self,
        answers: &[Answer],
        list: Option<&Checklist>,
        wrong: &mut FieldErrors,
    ) -> String {
        let typed = wrong.note("findings", &self.findings);
        let Some(list) = list.filter(|_| typed.is_empty()) else {
            return typed;
        };
        let failed = answers.iter().filter(|one| one.outcome == Finding::Fail);
        let failed = failed.filter_map(|one| Some((list.criterion(&one.criterion)?, one)));
        let lines = failed.map(|(criterion, one)| {
            let seen = [one.note.clone(), one.measured_words()];
            let seen: Vec<String> = seen.into_iter().filter(|text| !text.is_empty()).collect();
            format!("Failed: {}: {}.", criterion.words, seen.join("; "))
        });
        let lines: Vec<String> = lines.collect();
        let text = lines.join("\n");
        text.chars().take(LONGEST_NOTE).collect()
    }

    /// Why it was looked at, and what the look ended in.
    fn chosen(&self, wrong: &mut FieldErrors) -> (Option<ExaminationKind>, Option<Verdict>) {
        let kind = ExaminationKind::from_key(&self.kind);
        if kind.is_none() {
            wrong.add(
                "kind",
                "choice",
                format!(
                    "Choose intake, pre-use, periodic, after-use or after-event, not \"{}\".",
                    self.kind.trim()
                ),
            );
        }
        let verdict = Verdict::from_key(&self.verdict);
        if verdict.is_none() {
            wrong.add(
                "verdict",
                "choice",
                format!(
                    "Choose fit, quarantine or retire, not \"{}\".",
                    self.verdict.trim()
                ),
            );
        }
        (kind, verdict)
    }
}
