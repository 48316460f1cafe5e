//! Issuing a kit, and the frozen record of an issue.

mod new;
mod show;
mod since;

pub use new::{BeforeIssue, NewIssue};
pub use show::{IssuedRow, Now, ShowIssue};
pub(super) use since::Since;

use super::part::{Badge, Facts, Tone};
use crate::domain::{
    Issue, IssueId, IssueState, IssuedCheck, IssuedLine, IssuedVerdict, JobId, Units, Zone,
};

/// An issue in a list.
pub struct IssueRow {
    href: String,
    when: String,
    who: String,
    state: Badge,
}

impl IssueRow {
    /// An issue in words, on the clocks of a zone.
    pub fn new(issue: &Issue, zone: &Zone) -> Self {
        Self {
            href: issue_href(issue.job.id, issue.id),
            when: zone.words(issue.at),
            who: format!("{} to {}", issue.by.name, issue.to.name),
            state: state_badge(&issue.state),
        }
    }
}

/// The page of an issue.
pub(crate) fn issue_href(job: JobId, issue: IssueId) -> String {
    format!("/jobs/{job}/issues/{issue}")
}

fn state_badge(state: &IssueState) -> Badge {
    let tone = match state {
        IssueState::Out => Tone::Watch,
        IssueState::TakenBack { .. } | IssueState::Returned => Tone::Out,
    };
    Badge::new(tone, state.word())
}

/// With which crew an item is, in words.
pub(super) fn with_crew(issue: &Issue, zone: &Zone) -> String {
    format!(
        "with the crew of the job \"{}\", taken by {} on {}",
        issue.job.title,
        issue.to.name,
        zone.words(issue.at)
    )
}

/// What the crew needs of pull, people and rope.
fn needs(verdict: &IssuedVerdict, units: Units) -> Facts {
    let needs = verdict.needs.iter();
    needs.fold(Facts::default().wide(), |facts, need| {
        facts.and(need.what.as_str(), units.beside(&need.value))
    })
}

/// What makes the result worse than it looks.
fn warnings(verdict: &IssuedVerdict, units: Units) -> Vec<String> {
    let warnings = verdict.warnings.iter();
    warnings.map(|line| units.beside(line)).collect()
}

/// With which crew an item is, to test with.
pub(super) fn sample_out() -> crate::domain::WithCrew {
    let issue = sample();
    crate::domain::WithCrew::of(&issue, issue.at)
}

/// An issue to test with.
pub(super) fn sample() -> Issue {
    use super::{PROBE, gear};
    use crate::domain::{IssuedNeed, KitLineId, PersonId, Signer};
    let (item, model) = (gear::item(), gear::model());
    let who = || Signer {
        person: PersonId(uuid::Uuid::nil()),
        name: PROBE.to_owned(),
    };
    Issue {
        id: IssueId(uuid::Uuid::nil()),
        job: gear::job(),
        at: gear::TODAY.midnight().assume_utc(),
        by: who(),
        to: who(),
        alone: false,
        verdict: IssuedVerdict {
            version: "0".to_owned(),
            sentence: PROBE.to_owned(),
            open: vec![PROBE.to_owned()],
            rig: PROBE.to_owned(),
            captures: true,
            belayed: true,
            rulebook: PROBE.to_owned(),
            factor_asked: 10.0,
            rig_asks: vec![PROBE.to_owned()],
            warnings: vec![PROBE.to_owned()],
            needs: vec![IssuedNeed {
                what: PROBE.to_owned(),
                value: PROBE.to_owned(),
            }],
            belay_shares: vec![PROBE.to_owned()],
            cautions: vec![PROBE.to_owned()],
            answer: String::new(),
        },
        lines: vec![IssuedLine {
            note: PROBE.to_owned(),
            line: KitLineId(uuid::Uuid::nil()),
            item: item.id,
            revision: 1,
            mark: PROBE.to_owned(),
            kind: model.kind,
            model: PROBE.to_owned(),
            serial: Some(PROBE.to_owned()),
            store: PROBE.to_owned(),
            position: Some("rope".to_owned()),
            place: PROBE.to_owned(),
            state: item.state,
            last_passed_on: None,
            due_on: Some(gear::TODAY),
            checks: vec![IssuedCheck {
                when: PROBE.to_owned(),
                force_newtons: 2000.0,
                holds_newtons: 24000.0,
                factor: Some(12.0),
            }],
        }],
        state: IssueState::Out,
    }
}
