//! What may go at a position.

use askama::Template;

use super::Reason;
use crate::{
    domain::Candidate,
    view::{
        Shell,
        form::{Choices, Form},
        part::{Answer, Badge, Empty, Pager, SectionNav, Tone},
        sieve::Sieve,
    },
};

/// Items for one position, the fit ones first.
#[derive(Template)]
#[template(path = "job/position.html")]
pub struct PositionSheet {
    /// The frame.
    pub shell: Shell,
    /// The job's address.
    pub job: String,
    /// This page's address.
    pub here: String,
    /// The position's key; empty for spares.
    pub position: String,
    /// What it takes.
    pub takes: String,
    /// The pages of the job.
    pub nav: SectionNav,
    /// What was just refused, if the last deed was.
    pub refused: Option<(Answer, Vec<Reason>)>,
    /// What was searched for.
    pub search: String,
    /// The kinds that the position takes.
    pub kinds: Choices,
    /// The kind that is shown.
    pub kind: String,
    /// One an item.
    pub rows: Vec<CandidateRow>,
    /// What to do where there is none.
    pub empty: Empty,
    /// Whether the person may put one on.
    pub may_change: bool,
    /// The next page.
    pub pager: Pager,
}

/// An item that might go.
pub struct CandidateRow {
    /// Its id.
    pub id: String,
    /// Its mark.
    pub mark: String,
    /// Its model.
    pub model: String,
    /// Fit, or refused.
    pub state: Badge,
    /// Why not.
    pub reasons: Vec<Reason>,
    /// The id that its line would get.
    pub line: String,
}

impl CandidateRow {
    /// The row of a candidate.
    pub fn new(candidate: &Candidate, line: String) -> Self {
        Self {
            id: candidate.item.id.to_string(),
            mark: candidate.item.mark.clone(),
            model: candidate.model.title(),
            state: match candidate.refusals.len() {
                0 => Badge::new(Tone::Fit, "may go"),
                1 => Badge::new(Tone::Stop, "1 reason against it"),
                n => Badge::new(Tone::Stop, format!("{n} reasons against it")),
            },
            reasons: candidate.refusals.iter().map(Reason::from).collect(),
            line,
        }
    }
}

impl PositionSheet {
    fn sieve(&self) -> Sieve {
        let form = Form::default();
        let label = "Mark, serial, lot or model";
        let sieve =
            Sieve::new(self.here.as_str()).search(form.typed("search", "q", label, &self.search));
        if self.kinds.len() > 1 {
            sieve.filter(form.choice("kind", "Kind", &self.kind, &self.kinds))
        } else {
            sieve
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let reason = Reason::sample;
        let row = |reasons: Vec<Reason>| CandidateRow {
            id: "1".to_owned(),
            mark: PROBE.to_owned(),
            model: PROBE.to_owned(),
            state: Badge::new(Tone::Fit, PROBE),
            reasons,
            line: "2".to_owned(),
        };
        vec![Self {
            shell: Shell::sample(PROBE),
            job: "/jobs/1".to_owned(),
            here: "/jobs/1/positions/head".to_owned(),
            position: "head".to_owned(),
            takes: PROBE.to_owned(),
            nav: SectionNav {
                label: "Job".to_owned(),
                links: Vec::new(),
                here: String::new(),
            },
            refused: Some((Answer::new(Tone::Stop, PROBE), vec![reason()])),
            search: PROBE.to_owned(),
            kinds: vec![("pulley".to_owned(), PROBE.to_owned())],
            kind: "pulley".to_owned(),
            rows: vec![row(Vec::new()), row(vec![reason()])],
            empty: Empty::new("None.", "Look elsewhere."),
            may_change: true,
            pager: Pager::default(),
        }]
    }
}
