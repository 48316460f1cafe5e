//! Recording an examination.

use askama::Template;
use time::Date;

use super::{
    super::{
        Shell, attribute,
        form::{Choices, Form},
        part::Tone,
        past::{kind_word, verdict_word},
        words,
    },
    CriterionRow, life_over,
};
use crate::domain::{
    AnswerDraft, Checklist, Competence, Criterion, ExaminationDraft, ExaminationId,
    ExaminationKind, FieldErrors, FirstThere, ForReportDraft, Item, Model, Verdict,
    checklist::Watched, fitness::interval_of, key_of, rulebook::Rulebook,
};

/// The form.
#[derive(Template)]
#[template(path = "examination/new.html")]
pub struct NewExamination {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    action: String,
    mark: String,
    model: String,
    interval: String,
    /// Which kinds set the next due day.
    sets: &'static str,
    kinds: Choices,
    verdicts: Choices,
    markings: Choices,
    rows: Vec<CriterionRow>,
    list: String,
    list_href: String,
    other: Option<(String, &'static str)>,
    who: Choices,
    nobody: bool,
    /// That its life is over; empty where it is not.
    life: String,
    /// What stands on its record since it was last found fit.
    since: Vec<String>,
    thorough: bool,
    /// Whether what is for the report alone is asked, and whether it stands open.
    for_report: Option<bool>,
    firsts: Choices,
    dangers: Choices,
    draft: ExaminationDraft,
}

/// Which examination of what.
pub struct Subject<'a> {
    /// The id that was made when the form was opened.
    pub id: ExaminationId,
    /// The item.
    pub item: &'a Item,
    /// Its model.
    pub model: &'a Model,
    /// The rulebook of the team.
    pub rulebook: &'a Rulebook,
    /// Whether this person may record thorough ones.
    pub may_thorough: bool,
    /// Whether somebody else may be named as the examiner.
    pub may_name: bool,
    /// Whether the whole list is shown, or the short one for a look before or after use.
    pub thorough: bool,
    /// The list.
    pub list: &'a Checklist,
    /// Who is competent, and the day on which that is asked.
    pub competence: (&'a Competence, Date),
    /// What is to be watched this time.
    pub watching: &'a [(Criterion, Watched)],
    /// What stands on its record since it was last found fit, in sentences.
    pub since: &'a [String],
}

impl NewExamination {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        subject: &Subject<'_>,
        draft: &ExaminationDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let href = format!("/items/{}", subject.item.id);
        let (months, rule) = interval_of(subject.item, subject.model, subject.rulebook);
        let kinds = ExaminationKind::ALL.into_iter();
        let mut kinds: Choices = kinds
            .filter(|kind| subject.thorough == kind.is_thorough())
            .map(|kind| (kind.key().to_owned(), kind_word(kind).to_owned()))
            .collect();
        kinds.insert(0, (String::new(), "Choose".to_owned()));
        let mut verdicts: Choices = Verdict::ALL
            .map(|verdict| (verdict.key().to_owned(), verdict_word(verdict).to_owned()))
            .into();
        verdicts.insert(0, (String::new(), "Choose".to_owned()));
        let form = Form::new(wrong);
        let look = if subject.thorough { "whole" } else { "quick" };
        let mut draft = draft.clone();
        draft.checklist = subject.list.edition.to_string();
        let action = format!("{href}/examinations?id={}&look={look}", subject.id);
        let other = |other: (String, _)| (shell.keeping_back(other.0), other.1);
        Self {
            action: shell.keeping_back(action),
            other: subject
                .may_thorough
                .then(|| other(self::other(&href, subject.thorough))),
            shell,
            rows: rows(&form, subject, &draft),
            for_report: for_report(&form, subject, &draft),
            firsts: attribute::keeping(firsts(), &draft.report.first),
            dangers: attribute::keeping(dangers(), &draft.report.danger),
            form,
            list: subject.list.edition.words(),
            list_href: format!("/checklists/{}", subject.list.edition.kind.key()),
            who: who(subject, &draft.examiner),
            nobody: subject.competence.0.is_empty(),
            life: life_over(subject, subject.competence.1),
            since: subject.since.to_vec(),
            thorough: subject.thorough,
            href,
            mark: subject.item.mark.clone(),
            model: subject.model.title(),
            interval: format!(
                "Empty is the longest that the rules allow, to the same day of the month: {}. The day itself is still in date.",
                words::every(months, &rule)
            ),
            sets: if subject.thorough {
                "Intake, periodic and after-event set the next due day."
            } else {
                "Neither sets the next due day."
            },
            kinds: attribute::keeping(kinds, &draft.kind),
            verdicts: attribute::keeping(verdicts, &draft.verdict),
            markings: markings(subject.item, &draft.markings_readable),
            draft,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let draft = ExaminationDraft {
            kind: PROBE.to_owned(),
            on: PROBE.to_owned(),
            examiner: PROBE.to_owned(),
            findings: PROBE.to_owned(),
            verdict: PROBE.to_owned(),
            next_due_on: PROBE.to_owned(),
            markings_readable: PROBE.to_owned(),
            checklist: PROBE.to_owned(),
            answers: [("sheath", "watch"), ("diameter", PROBE)]
                .map(|(key, outcome)| (key.to_owned(), sample_answer(outcome)))
                .into(),
            rest: PROBE.to_owned(),
            place: PROBE.to_owned(),
            seen: PROBE.to_owned(),
            report: ForReportDraft {
                first: PROBE.to_owned(),
                repair: PROBE.to_owned(),
                danger: PROBE.to_owned(),
                danger_by: PROBE.to_owned(),
                tests: PROBE.to_owned(),
            },
        };
        let mut wrong = FieldErrors::one("findings", "required", PROBE);
        wrong.add("answers[sheath][outcome]", "required", PROBE);
        wrong.add("checklist", "stale", PROBE);
        wrong.add("report[danger_by]", "date", PROBE);
        let (item, model) = (gear::item(), gear::model());
        let list = Checklist::newest(model.kind, None);
        let competence = Competence::default();
        let before = gear::examination_by_list();
        let watching: Vec<(Criterion, Watched)> = crate::domain::checklist::watched(&[before])
            .into_iter()
            .map(|one| (list.criteria[1].clone(), one))
            .collect();
        let page = |thorough| {
            let subject = Subject {
                id: gear::examination().id,
                item: &item,
                model: &model,
                rulebook: gear::rulebook(),
                may_thorough: thorough,
                may_name: thorough,
                thorough,
                list: &list,
                competence: (&competence, gear::TODAY),
                watching: &watching,
                since: &[PROBE.to_owned()],
            };
            Self::new(Shell::sample("Examination"), &subject, &draft, &wrong)
        };
        vec![page(true), page(false)]
    }
}

fn sample_answer(outcome: &str) -> AnswerDraft {
    use super::super::PROBE;
    AnswerDraft {
        outcome: outcome.to_owned(),
        note: PROBE.to_owned(),
        values: vec![PROBE.to_owned()],
        confirmed: PROBE.to_owned(),
    }
}

/// Who may be named as the examiner: everybody who is competent for the kind today, and what was typed. A look that is
/// not thorough may have been anybody's.
fn who(subject: &Subject<'_>, typed: &str) -> Choices {
    let (competence, today) = subject.competence;
    let mut who: Choices = vec![(String::new(), "I, who record it".to_owned())];
    if subject.may_name {
        let names = competence.who(subject.model.kind, today).into_iter();
        who.extend(names.map(|name| (name.to_owned(), name.to_owned())));
    }
    attribute::keeping(who, typed)
}

/// Whether what is for the report alone is asked, and whether it stands open. What was typed stays in sight, also where
/// it belongs to no such look.
fn for_report(form: &Form, subject: &Subject<'_>, draft: &ExaminationDraft) -> Option<bool> {
    let typed = !draft.report.is_empty() || !draft.place.trim().is_empty();
    let open = typed || form.is_wrong_in("report") || form.is_wrong_in("place");
    (subject.thorough || open).then_some(open)
}

/// Whether it is the first after the gear was installed at a new place.
fn firsts() -> Choices {
    let words = |first| match first {
        FirstThere::No => "No",
        FirstThere::YesSafe => "Yes; installed rightly, and safe",
        FirstThere::YesNotSafe => "Yes; not rightly, or not safe",
    };
    let mut firsts: Choices = vec![(String::new(), "Not said".to_owned())];
    firsts.extend(FirstThere::ALL.map(|one| (key_of(one), words(one).to_owned())));
    firsts
}

/// Whether a defect is a danger.
fn dangers() -> Choices {
    let dangers = [
        ("", "Not said"),
        ("none", "None is, or could become one"),
        ("now", "One is, now"),
        ("by", "Not yet; by the day below"),
    ];
    let dangers = dangers.map(|(key, words)| (key.to_owned(), words.to_owned()));
    dangers.into()
}

/// The way to the other list.
fn other(href: &str, thorough: bool) -> (String, &'static str) {
    let new = format!("{href}/examinations/new");
    if thorough {
        let words = "Only a look before or after use: the short list";
        (format!("{new}?look=quick"), words)
    } else {
        (new, "A thorough examination: the whole list")
    }
}

/// The criteria of a list with what was typed to each.
pub(in crate::view) fn rows(
    form: &Form,
    subject: &Subject<'_>,
    draft: &ExaminationDraft,
) -> Vec<CriterionRow> {
    let blank = AnswerDraft::default();
    let typed = |key: &str| draft.answers.get(key).unwrap_or(&blank);
    let criteria = subject.list.criteria.iter();
    // What was typed stays in sight, also where the other list was meant.
    let shown = criteria
        .filter(|one| subject.thorough || one.quick || *typed(&one.key) != AnswerDraft::default());
    let row = shown.map(|criterion| {
        let key = criterion.key.as_str();
        let mut limits = subject.model.limits.iter();
        let limit = limits.find(|limit| limit.criterion == key);
        let mut watching = subject.watching.iter();
        let before = watching.find(|(watched, _)| watched.key == key);
        let before = before.map(|(_, watched)| watched);
        let recorded = subject.item.attributes.length("length");
        CriterionRow::new(form, criterion, typed(key), (limit, recorded), before)
    });
    row.collect()
}

/// Whether the markings can be read, with what is known of it so far.
pub(in crate::view) fn markings(item: &Item, typed: &str) -> Choices {
    let so_far = match item.markings_readable {
        Some(true) => "Not looked at now; they could be read before",
        Some(false) => "Not looked at now; they could not be read before",
        None => "Not looked at; nobody has noted it yet",
    };
    let choices = [("", so_far), ("yes", "Yes"), ("no", "No")];
    let choices = choices.map(|(key, words)| (key.to_owned(), words.to_owned()));
    attribute::keeping(choices.into(), typed)
}
