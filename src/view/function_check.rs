//! The function check of a rig: what is asked, and who has signed.

use askama::Template;
use time::OffsetDateTime;

use super::{
    Shell,
    form::{Choices, Field, Form},
    issue::{Since, issue_href},
    job::job_nav,
    part::{Answer, Cautions, SectionNav, Tone},
};
use crate::domain::{
    Deed, FieldErrors, FunctionAsk, FunctionCheck, FunctionCheckDraft, FunctionCheckId, Issue,
    IssueState, ItemId, Job, SignedList, Zone, function_asks, half_signed, signed_lists,
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
    since: Option<Since>,
    answer: Answer,
    nav: SectionNav,
    lists: Vec<ListRow>,
    asks: Vec<&'static FunctionAsk>,
    form: Form,
    action: String,
    draft: FunctionCheckDraft,
    button: &'static str,
    may_sign: bool,
    /// Where whoever looks at the page has signed first, and somebody else signs here.
    beside: Option<Beside>,
    /// Nobody has signed this list.
    is_first: bool,
    cautions: Cautions,
}

/// A second person who signs on the device of the first.
struct Beside {
    /// Whose device it is.
    host: String,
    sign_in: String,
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
    /// What of what is out is not fit any more, with the reasons.
    pub since: &'a [(ItemId, Vec<String>)],
    /// Who brought it in, and when; none while it is out.
    pub over: Option<&'a (String, OffsetDateTime)>,
}

impl ShowFunctionCheck {
    /// The page with what was answered; `id` is that of the signature that it makes.
    pub fn new(
        shell: Shell,
        id: FunctionCheckId,
        checking: Checking<'_>,
        (draft, sign_in, wrong): (&FunctionCheckDraft, &str, &FieldErrors),
    ) -> Self {
        let Checking {
            issue,
            job,
            checks,
            since,
            over,
        } = checking;
        let lists = signed_lists(checks);
        let first = half_signed(checks).map(|first| &first.by);
        let viewer = shell.viewer.as_ref().map(|viewer| viewer.id);
        let mine = first.filter(|first| Some(first.person) == viewer);
        let here = issue_href(issue.job.id, issue.id);
        let sent_to = if mine.is_some() {
            format!("{here}/checks/beside")
        } else {
            format!("{here}/checks")
        };
        let mut rows: Vec<ListRow> = lists
            .iter()
            .map(|list| row(list, issue, since.is_empty(), &shell.zone))
            .collect();
        rows.reverse();
        let is_out = issue.state == IssueState::Out;
        // What stands on top says it; what was answered all the same is not lost.
        let own = wrong.apart_from("kit");
        let has_form = since.is_empty() || !draft.answers.is_empty();
        Self {
            since: Since::of(issue, since, NOT_LOADED),
            answer: match over_words(issue, over, &shell.zone) {
                Some(over) => over,
                None => stands(lists.last(), issue),
            },
            nav: job_nav(job, &format!("/issues/{}/check", issue.id)),
            lists: rows,
            asks: function_asks(issue),
            form: Form::new(&own).failed("Not signed"),
            action: format!("{sent_to}?id={id}"),
            issue: here,
            draft: draft.clone(),
            button: match (first, mine) {
                (None, _) => "Sign as the first person",
                (_, None) => "Sign as the second person",
                _ => "Sign as the second person, on this device",
            },
            is_first: first.is_none(),
            beside: mine.map(|mine| Beside {
                host: mine.name.clone(),
                sign_in: sign_in.to_owned(),
            }),
            may_sign: is_out && has_form && shell.may(Deed::ReportEvent),
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
        use crate::domain::{LookedDraft, PersonId, Signer};
        let (issue, job) = (issue::sample(), gear::job());
        let check = sample(&issue);
        let looked = LookedDraft {
            answer: "not-right".to_owned(),
            note: PROBE.to_owned(),
        };
        let draft = FunctionCheckDraft {
            at: PROBE.to_owned(),
            answers: std::iter::once(("knots".to_owned(), looked)).collect(),
        };
        let wrong = FieldErrors::one("answers[knots][answer]", "not-right", PROBE);
        let unfit = [(issue.lines[0].item, vec![PROBE.to_owned()])];
        let page = |checks: &[FunctionCheck], issue: &Issue| {
            let checking = Checking {
                issue,
                job: &job,
                checks,
                since: if checks.len() == 2 { &unfit } else { &[] },
                over: None,
            };
            let typed = (&draft, PROBE, &wrong);
            Self::new(Shell::sample("Check"), check.id, checking, typed)
        };
        let others = FunctionCheck {
            by: Signer {
                person: PersonId::new(),
                name: PROBE.to_owned(),
            },
            on_device_of: Some(check.by.clone()),
            ..check.clone()
        };
        let alone = Issue {
            alone: true,
            ..issue.clone()
        };
        vec![
            page(&[], &issue),
            page(std::slice::from_ref(&check), &alone),
            page(&[check.clone(), others.clone()], &issue),
            page(&[others], &issue),
        ]
    }
}

/// What is done first with a kit of which something became unfit.
const NOT_LOADED: &str = "The rig is not loaded with it: nothing is signed, and what was signed holds no more. Take it out of \
                          the rig, and count it back or take the issue back, so that another may go in its place.";

/// That a kit is not out any more, since when, and who brought it in.
fn over_words(
    issue: &Issue,
    over: Option<&(String, OffsetDateTime)>,
    zone: &Zone,
) -> Option<Answer> {
    let deed = match issue.state {
        IssueState::Out => return None,
        IssueState::TakenBack { .. } => "was taken back",
        IssueState::Returned => "is back whole: the last of it was counted",
    };
    let by = over.map(|(who, at)| format!(" by {who} on {}", zone.words(*at)));
    let words = format!("This kit {deed}{}", by.unwrap_or_default());
    Some(Answer::new(Tone::Out, words).why("Nothing is signed for it now."))
}

fn stands(last: Option<&SignedList<'_>>, issue: &Issue) -> Answer {
    match last {
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

fn row(list: &SignedList<'_>, issue: &Issue, is_fit: bool, zone: &Zone) -> ListRow {
    let both = std::iter::once(list.first).chain(list.second);
    let signatures = both.clone().map(|check| {
        let outside = check.outside(issue, zone);
        let outside = outside.map(|words| format!("; {words}"));
        format!(
            "{}, {}{}",
            check.signer_words(),
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
        (Some(_), false) if !is_fit => Answer::new(
            Tone::Watch,
            "Two signatures, from before something of the kit was not fit any more",
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

/// A signature to test with.
fn sample(issue: &Issue) -> FunctionCheck {
    use super::PROBE;
    use crate::domain::{Cited, Known, Looked, PersonId, Signer};
    FunctionCheck {
        id: FunctionCheckId(uuid::Uuid::nil()),
        job: issue.job.id,
        issue: issue.id,
        edition: 1,
        by: Signer {
            person: PersonId(uuid::Uuid::nil()),
            name: PROBE.to_owned(),
        },
        on_device_of: None,
        at: issue.at,
        looked: vec![Looked {
            key: "knots".to_owned(),
            asks: PROBE.to_owned(),
            from: Cited::new(PROBE, Known::Practice),
            note: PROBE.to_owned(),
        }],
    }
}
