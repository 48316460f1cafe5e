//! The page on which a kit is issued.

use askama::Template;

use super::{IssueRow, needs, warnings};
use crate::{
    domain::{
        Deed, FieldErrors, HeldBefore, Issue, IssueDraft, IssueId, IssuedVerdict, Job, Person, able,
    },
    view::{
        Shell,
        form::{Choices, Form},
        job::job_nav,
        part::{Answer, Cautions, Facts, SectionNav, Tone},
        words,
    },
};

/// The page on which a kit is issued.
#[derive(Template)]
#[template(path = "issue/new.html")]
pub struct NewIssue {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    nav: SectionNav,
    reasons: Vec<String>,
    /// The other jobs that hold items of it, each with its page.
    held: Vec<(String, String)>,
    sentence: String,
    needs: Facts,
    warnings: Vec<String>,
    form: Form,
    action: String,
    draft: IssueDraft,
    people: Choices,
    alone: bool,
    may_issue: bool,
    past: Vec<IssueRow>,
    cautions: Cautions,
}

/// What the page on which a kit is issued is made of.
pub struct BeforeIssue<'a> {
    /// The job.
    pub job: &'a Job,
    /// The verdict, as it would be frozen.
    pub verdict: &'a IssuedVerdict,
    /// The other jobs that hold items of it.
    pub held: &'a [HeldBefore],
    /// Why it is not handed out.
    pub reasons: &'a [String],
    /// The team.
    pub people: &'a [Person],
    /// The issues of the job so far.
    pub issues: &'a [Issue],
}

impl NewIssue {
    /// The page with what was typed; `id` is that of the issue that it makes.
    pub fn new(
        shell: Shell,
        id: IssueId,
        before: BeforeIssue<'_>,
        (draft, wrong): (&IssueDraft, &FieldErrors),
    ) -> Self {
        let job = before.job;
        let able = able(before.people);
        let people = able.iter();
        let people = people.map(|person| (person.id.to_string(), person.name.clone()));
        let open = before.reasons.is_empty() && job.may_change().is_ok();
        Self {
            answer: may_be_issued(job, before.reasons, (&before.verdict.open, before.held)),
            held: before
                .held
                .iter()
                .map(|one| (one.caution(&shell.zone), format!("/jobs/{}", one.job)))
                .collect(),
            needs: needs(before.verdict, shell.units),
            warnings: warnings(before.verdict, shell.units),
            nav: job_nav(job, "/issues"),
            reasons: before.reasons.to_vec(),
            sentence: shell.units.beside(&before.verdict.sentence),
            form: Form::new(&wrong.apart_from("kit")),
            action: format!("/jobs/{}/issues?id={id}", job.id),
            draft: draft.clone(),
            people: people.collect(),
            alone: able.len() == 1,
            may_issue: open && shell.may(Deed::PlanJob),
            past: before
                .issues
                .iter()
                .map(|issue| IssueRow::new(issue, &shell.zone))
                .collect(),
            cautions: Cautions::of_mechanics(),
            shell,
        }
    }

    /// Who may take it; nobody is chosen before somebody chooses.
    fn takers(&self) -> Choices {
        let nobody = (String::new(), "choose who takes it".to_owned());
        std::iter::once(nobody).chain(self.people.clone()).collect()
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::sample;
        use crate::view::{PROBE, gear};
        let job = gear::job();
        let page = |reasons: &[String], wrong: &FieldErrors| {
            let before = BeforeIssue {
                job: &job,
                verdict: &sample().verdict,
                held: &[HeldBefore {
                    job: job.id,
                    title: PROBE.to_owned(),
                    starts_at: job.starts_at,
                    ends_at: job.ends_at,
                    marks: vec![PROBE.to_owned()],
                }],
                reasons,
                people: &[gear::person()],
                issues: &[sample()],
            };
            let draft = IssueDraft::default();
            Self::new(Shell::sample("Issue"), sample().id, before, (&draft, wrong))
        };
        vec![
            page(&[PROBE.to_owned()], &FieldErrors::default()),
            page(&[], &FieldErrors::one("to", "choice", PROBE)),
        ]
    }
}

/// Whether the kit may go; `open` is what the verdict leaves open, which whoever hands it out must know first.
fn may_be_issued(
    job: &Job,
    reasons: &[String],
    (open, held): (&[String], &[HeldBefore]),
) -> Answer {
    let but = match open {
        [] => String::new(),
        open => format!("; {}", open.join("; ")),
    };
    match (job.may_change(), reasons.len()) {
        (Err(why), _) => Answer::new(Tone::Out, "This kit is not issued now").why(why.to_string()),
        (Ok(()), 0) if !held.is_empty() => Answer::new(
            Tone::Watch,
            format!(
                "This kit may be issued, but takes what {} with{but}",
                words::count(held.len(), "other job plans", "other jobs plan")
            ),
        )
        .why("Which items they are stands below, by job and day."),
        (Ok(()), 0) if !open.is_empty() => {
            Answer::new(Tone::Watch, format!("This kit may be issued{but}"))
                .why("What is not judged nobody has shown to hold. The verdict says what it lacks.")
        }
        (Ok(()), 0) => Answer::new(Tone::Fit, "This kit may be issued")
            .why("It is frozen with its verdict as both stand at that moment."),
        (Ok(()), n) => Answer::new(
            Tone::Stop,
            format!(
                "This kit cannot be issued: {}",
                words::count(n, "reason", "reasons")
            ),
        )
        .why("There is no override: mend the record, take another item, or plan otherwise."),
    }
}
