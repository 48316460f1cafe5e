//! The function check of a rig: what is asked, and who has signed.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Field, Form},
    issue::issue_href,
    job::job_nav,
    part::{Answer, Cautions, SectionNav, Tone},
};
use crate::domain::{
    Deed, FieldErrors, FunctionAsk, FunctionCheck, FunctionCheckDraft, FunctionCheckId, Issue,
    IssueState, Job, SignedList, Zone, function_asks, signed_lists,
};

/// A list that was signed by one person or by two.
pub struct ListRow {
    answer: Answer,
    signatures: Vec<String>,
    notes: Vec<String>,
    looked: Vec<(String, String)>,
}

/// The page.
#[derive(Template)]
#[template(path = "function_check/show.html")]
pub struct ShowFunctionCheck {
    /// The frame.
    pub shell: Shell,
    issue: String,
    answer: Answer,
    nav: SectionNav,
    lists: Vec<ListRow>,
    asks: Vec<&'static FunctionAsk>,
    form: Form,
    action: String,
    draft: FunctionCheckDraft,
    button: String,
    may_sign: bool,
    cautions: Cautions,
}

/// What the page is made of.
#[derive(Clone, Copy)]
pub struct Checking<'a> {
    /// The issue.
    pub issue: &'a Issue,
    /// The job as it stands now.
    pub job: &'a Job,
    /// The signatures, the first first.
    pub checks: &'a [FunctionCheck],
}

impl ShowFunctionCheck {
    /// The page with what was answered; `id` is that of the signature that it makes.
    pub fn new(
        shell: Shell,
        id: FunctionCheckId,
        checking: Checking<'_>,
        (draft, wrong): (&FunctionCheckDraft, &FieldErrors),
    ) -> Self {
        let Checking { issue, job, checks } = checking;
        let lists = signed_lists(checks);
        let begun = lists.last().is_some_and(|list| list.second.is_none());
        let here = issue_href(issue.job.id, issue.id);
        let mut rows: Vec<ListRow> = lists
            .iter()
            .map(|list| row(list, issue, &shell.zone))
            .collect();
        rows.reverse();
        Self {
            answer: stands(lists.last(), issue),
            nav: job_nav(job, &format!("/issues/{}/check", issue.id)),
            lists: rows,
            asks: function_asks(issue),
            form: Form::new(wrong).failed("Not signed"),
            action: format!("{here}/checks?id={id}"),
            issue: here,
            draft: draft.clone(),
            button: if begun {
                "Sign as the second person".to_owned()
            } else {
                "Sign as the first person".to_owned()
            },
            may_sign: issue.state == IssueState::Out && shell.may(Deed::ReportEvent),
            cautions: Cautions::of_mechanics(),
            shell,
        }
    }

    /// The label of the moment, with the zone on whose clocks it is, whatever clock the device has.
    fn when_label(&self) -> String {
        format!("When it was done ({})", self.shell.zone)
    }

    /// The two answers to a line.
    fn answer_of(&self, ask: &FunctionAsk) -> Field {
        let choices: Choices = [("right", "Right"), ("not-right", "Not right")]
            .map(|(key, word)| (key.to_owned(), word.to_owned()))
            .into();
        let given = self.draft.answers.get(&ask.key);
        let given = given.map_or("", |given| given.answer.as_str());
        self.form
            .radios(
                &format!("answers[{}][answer]", ask.key),
                &ask.asks,
                given,
                choices,
            )
            .hint(&ask.from.to_string())
    }

    /// What else was seen at a line.
    fn note_of(&self, ask: &FunctionAsk) -> Field {
        let given = self.draft.answers.get(&ask.key);
        let given = given.map_or("", |given| given.note.as_str());
        let name = format!("answers[{}][note]", ask.key);
        self.form
            .line(&name, &format!("Note on: {}", ask.asks), given)
    }

    /// Whether a note belongs in sight.
    fn is_noted(&self, ask: &FunctionAsk) -> bool {
        self.note_of(ask).is_filled()
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear, issue};
        use crate::domain::{Cited, Known, Looked, LookedDraft, PersonId, Signer};
        let (issue, job) = (issue::sample(), gear::job());
        let check = FunctionCheck {
            id: FunctionCheckId(uuid::Uuid::nil()),
            job: job.id,
            issue: issue.id,
            edition: 1,
            by: Signer {
                person: PersonId(uuid::Uuid::nil()),
                name: PROBE.to_owned(),
            },
            at: issue.at,
            looked: vec![Looked {
                key: "knots".to_owned(),
                asks: PROBE.to_owned(),
                from: Cited::new(PROBE, Known::Practice),
                note: PROBE.to_owned(),
            }],
        };
        let looked = LookedDraft {
            answer: "not-right".to_owned(),
            note: PROBE.to_owned(),
        };
        let draft = FunctionCheckDraft {
            at: PROBE.to_owned(),
            answers: std::iter::once(("knots".to_owned(), looked)).collect(),
        };
        let wrong = FieldErrors::one("answers[knots][answer]", "not-right", PROBE);
        let page = |checks: &[FunctionCheck], issue: &Issue| {
            let checking = Checking {
                issue,
                job: &job,
                checks,
            };
            Self::new(Shell::sample("Check"), check.id, checking, (&draft, &wrong))
        };
        let alone = Issue {
            alone: true,
            ..issue.clone()
        };
        vec![
            page(&[], &issue),
            page(std::slice::from_ref(&check), &alone),
            page(&[check.clone(), check.clone()], &issue),
        ]
    }
}

fn stands(last: Option<&SignedList<'_>>, issue: &Issue) -> Answer {
    match last {
        _ if issue.state != IssueState::Out => {
            Answer::new(Tone::Out, "This kit is not out any more").why("Nothing is signed for it now.")
        }
        None => Answer::new(Tone::Hold, "Nobody has signed the function check")
            .why("Two different people look at everything, one after the other, before the rig is loaded."),
        Some(SignedList { first, second: None }) => {
            let words = format!("Signed by {} alone", first.by.name);
            Answer::new(Tone::Hold, words).why(if issue.alone {
                "The team had nobody else when the kit was issued: nobody looked a second time."
            } else {
                "A second person looks at everything again and signs. Until then the rig is not loaded."
            })
        }
        Some(SignedList { first, second: Some(second) }) => Answer::new(
            Tone::Fit,
            format!("Signed by {} and {}", first.by.name, second.by.name),
        )
        .why("Whoever changes the rig after that begins a new list."),
    }
}

fn row(list: &SignedList<'_>, issue: &Issue, zone: &Zone) -> ListRow {
    let both = std::iter::once(list.first).chain(list.second);
    let signatures = both.clone().map(|check| {
        let outside = check.outside(issue, zone);
        let outside = outside.map(|words| format!("; {words}"));
        format!(
            "{}, {}{}",
            check.by.name,
            zone.words(check.at),
            outside.unwrap_or_default()
        )
    });
    let notes = both.clone().flat_map(|check| {
        let noted = check.looked.iter().filter(|line| !line.note.is_empty());
        noted.map(|line| format!("{} {}: {}", check.by.name, line.asks, line.note))
    });
    let late = both
        .clone()
        .any(|check| check.outside(issue, zone).is_some());
    let answer = match (list.second, late) {
        (None, _) => Answer::new(Tone::Hold, "One signature"),
        (Some(_), true) => Answer::new(
            Tone::Watch,
            "Two signatures, not both in the time of the job",
        ),
        (Some(_), false) => Answer::new(Tone::Fit, "Two signatures"),
    };
    let looked = list.first.looked.iter();
    ListRow {
        answer,
        signatures: signatures.collect(),
        notes: notes.collect(),
        looked: looked
            .map(|line| (line.asks.clone(), line.from.to_string()))
            .collect(),
    }
}
