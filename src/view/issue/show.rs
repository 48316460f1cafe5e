//! The frozen record of an issue, and what is to be said of it today.

use askama::Template;

use super::{Since, issue_href, needs, warnings};
use crate::{
    domain::{
        Deed, FieldErrors, Issue, IssueState, IssuedCheck, IssuedLine, ItemId, Job, Units, Zone,
        date::write_day, kit_strength::factor_words,
    },
    rigging::{Force, SafetyFactor},
    view::{
        Shell,
        form::Form,
        job::{job_nav, planned_for, when, with_site},
        part::{Answer, Badge, Cautions, Facts, RigAsks, SectionNav, Tone},
        words,
    },
};

/// An item of an issue, as it was then, and what is to be said of it now.
pub struct IssuedRow {
    href: String,
    mark: String,
    place: String,
    what: String,
    then: String,
    checks: Vec<String>,
    /// Why there is no check.
    unjudged: &'static str,
    now: Badge,
    since: Vec<String>,
}

/// What is to be said of an issue now.
#[derive(Clone, Copy)]
pub struct Now<'a> {
    /// The job as it stands.
    pub job: &'a Job,
    /// What is with the crew still.
    pub out: &'a [ItemId],
    /// What is not fit any more, with the reasons.
    pub since: &'a [(ItemId, Vec<String>)],
}

/// The frozen record of an issue.
#[derive(Template)]
#[template(path = "issue/show.html")]
pub struct ShowIssue {
    /// The frame.
    pub shell: Shell,
    here: String,
    job: String,
    answer: Answer,
    changed: Option<Answer>,
    nav: SectionNav,
    who: Facts,
    verdict: String,
    needs: Facts,
    warnings: Vec<String>,
    planned: Facts,
    rows: Vec<IssuedRow>,
    form: Form,
    reason: String,
    may_take_back: bool,
    rig_asks: RigAsks,
    cautions: Cautions,
}

impl ShowIssue {
    /// The record, with what was typed to take it back.
    pub fn new(
        shell: Shell,
        issue: &Issue,
        now: Now<'_>,
        (reason, wrong): (&str, &FieldErrors),
    ) -> Self {
        let all_out = now.out.len() == issue.lines.len();
        let rows = issue.lines.iter();
        let rows = rows.map(|line| row(line, issue, now, shell.units));
        Self {
            here: issue_href(issue.job.id, issue.id),
            job: format!("/jobs/{}", issue.job.id),
            answer: stands(issue, now.out.len(), &shell.zone),
            changed: changed(issue, now),
            nav: job_nav(now.job, &format!("/issues/{}", issue.id)),
            who: who(issue, &shell.zone),
            verdict: shell.units.beside(&issue.verdict.sentence),
            needs: needs(&issue.verdict, shell.units),
            warnings: warnings(&issue.verdict, shell.units),
            planned: planned(issue, &shell),
            rows: rows.collect(),
            form: Form::new(wrong).failed("The kit is still issued"),
            reason: reason.to_owned(),
            may_take_back: issue.state == IssueState::Out && all_out && shell.may(Deed::PlanJob),
            rig_asks: RigAsks::new(&issue.verdict.rig_asks, shell.units),
            cautions: Cautions {
                lines: issue.verdict.cautions.clone(),
            },
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::sample;
        use crate::view::{PROBE, gear};
        let (issue, job) = (sample(), gear::job());
        let item = issue.lines[0].item;
        let wrong = FieldErrors::one("reason", "required", PROBE);
        let page = |issue: &Issue, out: &[ItemId], since: &[(ItemId, Vec<String>)]| {
            let now = Now {
                job: &job,
                out,
                since,
            };
            Self::new(Shell::sample("Issue"), issue, now, (PROBE, &wrong))
        };
        let back = Issue {
            state: IssueState::TakenBack {
                reason: PROBE.to_owned(),
            },
            alone: true,
            ..issue.clone()
        };
        vec![
            page(&issue, &[item], &[(item, vec![PROBE.to_owned()])]),
            page(&back, &[], &[]),
        ]
    }
}

fn stands(issue: &Issue, out: usize, zone: &Zone) -> Answer {
    let all = words::count(issue.lines.len(), "item", "items");
    match &issue.state {
        IssueState::Out if out == issue.lines.len() => Answer::new(
            Tone::Watch,
            format!(
                "{all} with {} since {}",
                issue.to.name,
                zone.words(issue.at)
            ),
        )
        .why("Plan and kit stay as they are until it is counted back or the issue is taken back."),
        IssueState::Out => Answer::new(Tone::Watch, format!("{out} of {all} not counted back yet"))
            .why(format!("{} took it.", issue.to.name)),
        IssueState::TakenBack { reason } => {
            Answer::new(Tone::Out, "This issue was taken back").why(reason.as_str())
        }
        IssueState::Returned => Answer::new(Tone::Out, format!("{all} counted back")),
    }
}

/// What is not fit any more while it is out, before anything else is said.
fn changed(issue: &Issue, now: Now<'_>) -> Option<Answer> {
    let first = "Stop using it and tell the crew at once. The reasons stand at its line below.";
    Since::of(issue, now.since, first).map(|since| since.answer)
}

fn who(issue: &Issue, zone: &Zone) -> Facts {
    let alone = if issue.alone {
        "one person handed out and took: the team had nobody else, and nobody else looked"
    } else {
        ""
    };
    Facts::default()
        .wide()
        .and("Issued", zone.words(issue.at))
        .and("Handed out by", &issue.by.name)
        .and_from("Taken by", &issue.to.name, alone)
}

fn planned(issue: &Issue, shell: &Shell) -> Facts {
    let (job, units) = (&issue.job, shell.units);
    let factor = words::digits(issue.verdict.factor_asked, 3);
    let facts = Facts::default()
        .wide()
        .and("What", &job.title)
        .and("Where", &job.place)
        .and("When", when(job, &shell.zone))
        .and("Depth", units.beside(&job.depth.to_string()))
        .and_from(
            "Load",
            units.beside(&job.load.to_string()),
            planned_for(job),
        )
        .and("Rig", &issue.verdict.rig)
        .and("Rulebook", &issue.verdict.rulebook)
        .and("Factor asked on breaking strength", factor)
        .and(
            "Worked out by",
            format!("Ropeloft {}", issue.verdict.version),
        );
    with_site(facts, job)
}

fn row(line: &IssuedLine, issue: &Issue, now: Now<'_>, units: Units) -> IssuedRow {
    let serial = line
        .serial
        .as_deref()
        .map(|serial| format!(", serial {serial}"));
    let day = |day: Option<time::Date>| day.map_or_else(|| "not known".to_owned(), write_day);
    let since = now.since.iter().find(|(item, _)| *item == line.item);
    let since = since
        .map(|(_, reasons)| reasons.clone())
        .unwrap_or_default();
    let is_out = now.out.contains(&line.item);
    IssuedRow {
        href: format!("/items/{}", line.item),
        mark: line.mark.clone(),
        place: line.place.clone(),
        what: format!(
            "{}{}; from {}",
            line.model,
            serial.unwrap_or_default(),
            line.store
        ),
        then: format!(
            "{}; last passed {}, in date until {}",
            line.state.word(),
            day(line.last_passed_on),
            day(line.due_on)
        ),
        checks: line.checks.iter().map(|check| said(check, units)).collect(),
        unjudged: match line.position {
            Some(_) => "not judged: nothing that was worked out loads it",
            None => "a spare, not in the rig",
        },
        now: match (&issue.state, since.is_empty()) {
            (IssueState::Out, false) => Badge::new(Tone::Stop, "not fit any more"),
            (IssueState::Out, true) if is_out => Badge::new(Tone::Watch, "with the crew"),
            (IssueState::TakenBack { .. }, _) => Badge::new(Tone::Out, "taken back"),
            _ => Badge::new(Tone::Out, "counted"),
        },
        since,
    }
}

/// A check in words: "factor 11.2: 25 kN against 2.2 kN while hauling, axle".
fn said(check: &IssuedCheck, units: Units) -> String {
    let force = |newtons: f64| match Force::from_newtons(newtons) {
        Ok(force) => words::force(force, units),
        Err(error) => error.to_string(),
    };
    let (holds, met) = (force(check.holds_newtons), force(check.force_newtons));
    let factor = check.factor.map(SafetyFactor::from_ratio);
    let head = match factor {
        Some(Ok(factor)) => format!("factor {}: ", factor_words(factor)),
        Some(Err(error)) => format!("{error}: "),
        None => "limit: ".to_owned(),
    };
    format!("{head}{holds} against {met} {}", check.when)
}
