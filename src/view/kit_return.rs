//! Counting a kit back, and what was counted.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Field, Form},
    issue::{Since, issue_href},
    job::job_nav,
    part::{Answer, Badge, SectionNav, Tone},
    words,
};
use crate::domain::{
    Condition, Deed, FieldErrors, Issue, IssueState, IssuedLine, ItemId, Job, KitReturn,
    KitReturnDraft, ReturnId, ReturnedLineDraft, Zone,
};

/// An item that is still out.
pub struct OutRow {
    id: String,
    href: String,
    mark: String,
    what: String,
}

/// An item that was counted.
pub struct CountedRow {
    href: String,
    mark: String,
    condition: Badge,
    told: String,
}

/// What the page is made of.
#[derive(Clone, Copy)]
pub struct Count<'a> {
    /// The issue.
    pub issue: &'a Issue,
    /// The job as it stands now.
    pub job: &'a Job,
    /// What of it is with the crew still.
    pub out: &'a [ItemId],
    /// The counts so far, the first first.
    pub counts: &'a [KitReturn],
    /// What of what is out is not fit any more, with the reasons.
    pub since: &'a [(ItemId, Vec<String>)],
}

/// The page.
#[derive(Template)]
#[template(path = "kit_return/show.html")]
pub struct ShowKitReturn {
    /// The frame.
    pub shell: Shell,
    issue: String,
    job: String,
    since: Option<Since>,
    answer: Answer,
    nav: SectionNav,
    form: Form,
    action: String,
    draft: KitReturnDraft,
    rows: Vec<OutRow>,
    counted: Vec<CountedRow>,
    may_count: bool,
    is_over: bool,
}

impl ShowKitReturn {
    /// The page with what was typed; `id` is that of the count that it makes.
    pub fn new(
        shell: Shell,
        id: ReturnId,
        count: Count<'_>,
        (draft, wrong): (&KitReturnDraft, &FieldErrors),
    ) -> Self {
        let Count {
            issue,
            job,
            out,
            counts,
            since,
        } = count;
        let here = issue_href(issue.job.id, issue.id);
        let lines = issue.lines.iter();
        let rows = lines.filter(|line| out.contains(&line.item)).map(row);
        let told = counts.iter().flat_map(|count| {
            let lines = count.lines.iter();
            lines.filter_map(|line| counted(issue, count, line, &shell.zone))
        });
        Self {
            since: Since::of(issue, since, APART),
            answer: stands(issue, out.len()),
            nav: job_nav(job, &format!("/issues/{}/return", issue.id)),
            form: Form::new(wrong).failed("Nothing was counted"),
            action: format!("{here}/returns?id={id}"),
            issue: here,
            job: format!("/jobs/{}", issue.job.id),
            draft: draft.clone(),
            rows: rows.collect(),
            counted: told.collect(),
            may_count: !out.is_empty() && shell.may(Deed::ReportEvent),
            is_over: issue.state == IssueState::Returned,
            shell,
        }
    }

    fn typed(&self, row: &OutRow) -> ReturnedLineDraft {
        self.draft.lines.get(&row.id).cloned().unwrap_or_default()
    }

    /// How an item came back.
    fn condition_of(&self, row: &OutRow) -> Field {
        let choices = Condition::ALL.map(|one| {
            let word = match one {
                Condition::Fine => "Fine",
                Condition::LookAt => "Look at it",
                Condition::Damaged => "Damaged",
                Condition::Missing => "Missing",
            };
            (one.key().to_owned(), word.to_owned())
        });
        let name = format!("lines[{}][condition]", row.id);
        let label = format!("{}: {}", row.mark, row.what);
        self.form.radios(
            &name,
            &label,
            &self.typed(row).condition,
            Choices::from(choices),
        )
    }

    /// What was seen on it.
    fn note_of(&self, row: &OutRow) -> Field {
        let name = format!("lines[{}][note]", row.id);
        let label = format!("What was seen on {}", row.mark);
        self.form.line(&name, &label, &self.typed(row).note)
    }

    /// Where it is not with it as with the whole kit.
    fn otherwise_of(&self, row: &OutRow) -> Vec<Field> {
        let typed = self.typed(row);
        let name = |field: &str| format!("lines[{}][{field}]", row.id);
        let label = |words: &str| format!("{words} of {}", row.mark);
        let as_whole = || -> Choices {
            [("", "as the whole kit"), ("yes", "yes"), ("no", "no")]
                .map(|(key, word)| (key.to_owned(), word.to_owned()))
                .into()
        };
        vec![
            self.form
                .number(&name("hours"), &label("Hours"), &typed.hours),
            self.form
                .number(&name("uses"), &label("Times used"), &typed.uses),
            self.form
                .number(&name("loads"), &label("Loads"), &typed.loads),
            self.form.choice(
                &name("water"),
                &format!("{} was under water", row.mark),
                &typed.water,
                as_whole(),
            ),
            self.form.choice(
                &name("chemical"),
                &format!("{} met a chemical", row.mark),
                &typed.chemical,
                as_whole(),
            ),
        ]
    }

    /// Whether what is otherwise with it belongs in sight.
    fn is_otherwise(&self, row: &OutRow) -> bool {
        self.otherwise_of(row).iter().any(Field::is_filled)
    }

    /// What becomes of what has no answer.
    fn rests(&self) -> Choices {
        [("", "not counted yet"), ("fine", "back and fine")]
            .map(|(key, word)| (key.to_owned(), word.to_owned()))
            .into()
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear, issue};
        use crate::domain::{PersonId, ReturnedLine, Signer, UsageSums};
        let (issue, job) = (issue::sample(), gear::job());
        let item = issue.lines[0].item;
        let count = KitReturn {
            id: ReturnId(uuid::Uuid::nil()),
            job: job.id,
            issue: issue.id,
            by: Signer {
                person: PersonId(uuid::Uuid::nil()),
                name: PROBE.to_owned(),
            },
            at: issue.at,
            on: gear::TODAY,
            lines: vec![ReturnedLine {
                item,
                condition: Condition::Damaged,
                note: PROBE.to_owned(),
                amount: UsageSums::default(),
                water: true,
                chemical: true,
            }],
            note: PROBE.to_owned(),
        };
        let line = ReturnedLineDraft {
            note: PROBE.to_owned(),
            hours: PROBE.to_owned(),
            ..ReturnedLineDraft::default()
        };
        let draft = KitReturnDraft {
            hours: PROBE.to_owned(),
            scanned: PROBE.to_owned(),
            note: PROBE.to_owned(),
            lines: std::iter::once((item.to_string(), line)).collect(),
            ..KitReturnDraft::default()
        };
        let mut wrong = FieldErrors::one("hours", "number", PROBE);
        wrong.add(format!("lines[{item}][note]"), "required", PROBE);
        let page = |issue: &Issue, out: &[ItemId], counts: &[KitReturn]| {
            let whole = Count {
                issue,
                job: &job,
                out,
                counts,
                since: &[(item, vec![PROBE.to_owned()])],
            };
            Self::new(Shell::sample("Return"), count.id, whole, (&draft, &wrong))
        };
        let over = Issue {
            state: IssueState::Returned,
            ..issue.clone()
        };
        vec![
            page(&issue, &[item], &[]),
            page(&over, &[], std::slice::from_ref(&count)),
        ]
    }
}

/// What is done first with what became unfit.
const APART: &str = "Keep it apart from the rest. Counted as fine it stays as it is: what is to be done stands at each.";

fn stands(issue: &Issue, out: usize) -> Answer {
    let all = words::count(issue.lines.len(), "item", "items");
    match (&issue.state, out) {
        (IssueState::TakenBack { reason }, _) => {
            Answer::new(Tone::Out, "This issue was taken back").why(reason.as_str())
        }
        (IssueState::Returned, _) => Answer::new(Tone::Fit, format!("All of {all} accounted for"))
            .why("The job can be closed."),
        (IssueState::Out, out) => {
            Answer::new(Tone::Watch, format!("{out} of {all} still to be counted")).why(format!(
                "{} took it. The job cannot be closed before all is accounted for.",
                issue.to.name
            ))
        }
    }
}

fn row(line: &IssuedLine) -> OutRow {
    OutRow {
        id: line.item.to_string(),
        href: format!("/items/{}", line.item),
        mark: line.mark.clone(),
        what: format!("{}, {}", line.model, line.place),
    }
}

fn counted(
    issue: &Issue,
    count: &KitReturn,
    line: &crate::domain::ReturnedLine,
    zone: &Zone,
) -> Option<CountedRow> {
    let issued = issue.line_of(line.item)?;
    let tone = match line.condition {
        Condition::Fine => Tone::Fit,
        Condition::LookAt => Tone::Watch,
        Condition::Damaged => Tone::Stop,
        Condition::Missing => Tone::Hold,
    };
    let used = line.amount.words();
    let mut told = vec![format!("{}, {}", count.by.name, zone.words(count.at))];
    told.extend((!used.is_empty()).then_some(used));
    told.extend(line.water.then(|| "under water".to_owned()));
    told.extend(line.chemical.then(|| "met a chemical".to_owned()));
    told.extend((!line.note.is_empty()).then(|| line.note.clone()));
    Some(CountedRow {
        href: format!("/items/{}", line.item),
        mark: issued.mark.clone(),
        condition: Badge::new(tone, line.condition.word()),
        told: told.join("; "),
    })
}
