//! The kit list of a job.

use std::collections::HashMap;

use askama::Template;
use time::OffsetDateTime;

use super::{
    answer::{answer, recalled},
    job_nav,
    kit_row::{Instead, PositionRow},
    noted::Noted,
    planned::facts,
};
use crate::{
    domain::{Candidate, Deed, Issue, Job, JobState, KitLineId, KitList},
    rigging::Rig,
    view::{
        Shell,
        form::{Choices, Field, Form},
        issue::issue_href,
        part::{Answer, Badge, Cautions, Facts, SectionNav, Tone},
        reason::Reason,
    },
};

/// A job: the answer, every position of its rig with the item in it, and the spares.
#[derive(Template)]
#[template(path = "job/show.html")]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each shows a part of its own"
)]
pub struct KitSheet {
    /// That what a person hangs in is not on the list.
    pub unworn: Option<String>,
    /// The frame.
    pub shell: Shell,
    /// The job's address.
    pub here: String,
    /// Where it stands.
    pub state: Badge,
    /// What its PDF has no letters for.
    pub lacking: Option<String>,
    /// What on it an open safety notice covers, on a planned job.
    pub recalled: Option<Answer>,
    /// That its time is over though it is planned still.
    pub over: Option<Answer>,
    /// That its kit is with a crew, and where the record of that is.
    pub issued: Option<(Answer, String)>,
    /// The answer.
    pub answer: Answer,
    /// The pages of the job.
    pub nav: SectionNav,
    /// What is planned.
    pub facts: Facts,
    /// One a position of the rig.
    pub positions: Vec<PositionRow>,
    /// What is on the list beside the positions.
    pub spares: Vec<PositionRow>,
    /// What is noted of several of the items alike.
    pub noted: Noted,
    /// Where an item may be put, for the form that takes a mark.
    pub places: Choices,
    /// The first position that must be filled and is not.
    pub first_empty: String,
    /// The form that takes a mark.
    pub form: Form,
    /// The mark that was typed.
    pub typed_item: String,
    /// What was put on just before, where whoever did it goes on.
    pub put_on: Option<String>,
    /// How the job ended, as typed.
    pub typed_reason: String,
    /// The id that the next line gets, so that a form sent twice adds it once.
    pub next_line: String,
    /// Whether the person may log the use of what is on it.
    pub may_log: bool,
    /// Whether the person may change the job as it stands.
    pub may_change: bool,
    /// Whether the person may take the kit list along as a file.
    pub may_export: bool,
    /// Whether the person may end the job.
    pub may_end: bool,
    /// The revision that a change is made to.
    pub revision: u32,
    /// What the numbers do not tell.
    pub cautions: Cautions,
}

impl KitSheet {
    /// The page of a job.
    pub fn new(shell: Shell, list: &KitList, next_line: String) -> Self {
        let (job, rig) = (&list.job, list.rig.as_ref());
        let may_end = job.state == JobState::Planned && shell.may(Deed::PlanJob);
        let may_change = job.may_change().is_ok() && may_end;
        let mut positions: Vec<_> = rig
            .positions()
            .iter()
            .map(|position| PositionRow::of_position(list, position, &shell))
            .collect();
        let mut spares: Vec<_> = list
            .entries
            .iter()
            .filter(|entry| {
                let place = entry.line.position.as_deref();
                place.is_none_or(|key| rig.position(key).is_none())
            })
            .map(|entry| PositionRow::of_spare(job, entry, &shell))
            .collect();
        let noted = noted(list, positions.iter_mut().chain(&mut spares));
        let places = rig
            .positions()
            .iter()
            .map(|position| (position.key().to_owned(), position.title().to_owned()))
            .chain(std::iter::once((String::new(), "Spare".to_owned())))
            .collect();
        Self {
            unworn: list.verdict.unworn.as_ref().map(|one| one.sentence.clone()),
            state: super::state_badge(job.state),
            here: format!("/jobs/{}", job.id),
            recalled: recalled(list),
            lacking: None,
            over: None,
            issued: None,
            answer: answer(list, shell.units),
            nav: job_nav(job, ""),
            facts: facts(&shell, list),
            first_empty: first_empty(list, rig),
            positions,
            spares,
            noted,
            places,
            form: Form::default(),
            typed_item: String::new(),
            put_on: None,
            typed_reason: String::new(),
            next_line,
            // While it is out its use is told with the count.
            may_log: job.issued.is_none()
                && !list.entries.is_empty()
                && shell.may(Deed::ReportEvent),
            may_change,
            may_export: !list.entries.is_empty() && shell.may(Deed::Export),
            may_end,
            revision: job.revision,
            cautions: Cautions::of_mechanics(),
            shell,
        }
    }

    /// The same page while the kit is with a crew.
    #[must_use]
    pub fn with_crew(mut self, issue: &Issue) -> Self {
        let words = format!(
            "Issued to {} on {}",
            issue.to.name,
            self.shell.zone.words(issue.at)
        );
        let answer = Answer::new(Tone::Watch, words)
            .why("Plan and kit stay as they are until it is counted back.");
        self.issued = Some((answer, issue_href(issue.job.id, issue.id)));
        self
    }

    /// Says so where the job is planned still and its time is over.
    pub fn since(&mut self, job: &Job, now: OffsetDateTime) {
        let is_over = job.state == JobState::Planned && job.issued.is_none() && job.ends_at < now;
        let until = self.shell.zone.words(job.ends_at);
        self.over = is_over.then(|| {
            Answer::new(Tone::Watch, format!("The time of this job is over: it was planned until {until}")).why(
                "What may go on it is judged by how the items stand today, not on that day. If the day is a slip, change the \
                 plan; if it is done, close the job.",
            )
        });
    }

    /// Offers in the place of what may not go what may.
    pub(crate) fn offer(&mut self, found: &HashMap<KitLineId, Vec<Candidate>>) {
        let rows = self.positions.iter_mut().chain(&mut self.spares);
        for instead in rows.filter_map(|row| row.instead.as_mut()) {
            instead.offer(found);
        }
    }

    /// Goes on after a line was put on: what it is stands where the next is scanned, and the cursor with it.
    pub fn goes_on(&mut self, put: Option<KitLineId>) {
        let mut rows = self.positions.iter().chain(&self.spares);
        let row = put.and_then(|put| rows.find(|row| row.line == Some(put)));
        self.put_on = row.and_then(|row| {
            let (mark, _) = row.item.as_ref()?;
            Some(format!("{mark} is on: {}. The next one:", row.title))
        });
    }

    /// Whether something stands at a position that may not go.
    fn has_refused(&self) -> bool {
        self.may_change && self.positions.iter().any(|row| row.instead.is_some())
    }

    /// The field that an item is typed or scanned into.
    fn item_field(&self) -> Field {
        let field = self.form.line("item", "Mark of the item", &self.typed_item);
        let field = field.must().autocomplete("off");
        match &self.put_on {
            Some(put) => field.hint(put).focused(),
            None => field.hint("Type it or scan it. Where no other position is chosen, it goes to one that takes it."),
        }
    }

    /// Keeps what was typed in one of the page's forms.
    pub fn typed(&mut self, field: &str, text: &str) {
        match field {
            "item" => text.clone_into(&mut self.typed_item),
            _ => text.clone_into(&mut self.typed_reason),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let row = || PositionRow {
            title: PROBE.to_owned(),
            takes: PROBE.to_owned(),
            choose: "/jobs/1/positions/head".to_owned(),
            item: Some((PROBE.to_owned(), "/items/1".to_owned())),
            model: PROBE.to_owned(),
            note: PROBE.to_owned(),
            state: Badge::new(Tone::Stop, PROBE),
            reasons: vec![Reason::sample()],
            gaps: vec![Reason::sample()],
            with_crew: PROBE.to_owned(),
            line: None,
            remove: Some("/jobs/1/kit/1/remove".to_owned()),
            instead: Some(Instead::sample()),
        };
        [false, true]
            .into_iter()
            .map(|may_change| Self {
                unworn: Some(PROBE.to_owned()),
                shell: Shell::sample(PROBE),
                here: "/jobs/1".to_owned(),
                lacking: Some(PROBE.to_owned()),
                over: Some(Answer::new(Tone::Watch, PROBE).why(PROBE)),
                state: Badge::new(Tone::Note, "planned"),
                recalled: may_change.then(|| Answer::new(Tone::Stop, PROBE).why(PROBE)),
                issued: (!may_change).then(|| {
                    let answer = Answer::new(Tone::Watch, PROBE).why(PROBE);
                    (answer, "/jobs/1/issues/1".to_owned())
                }),
                answer: Answer::new(Tone::Stop, PROBE).why(PROBE),
                nav: SectionNav {
                    label: "Job".to_owned(),
                    links: Vec::new(),
                    here: String::new(),
                },
                facts: Facts::default().and(PROBE, PROBE),
                positions: vec![row()],
                spares: vec![row()],
                noted: Noted::sample(PROBE),
                places: vec![("head".to_owned(), PROBE.to_owned())],
                first_empty: String::new(),
                form: Form::default(),
                typed_item: PROBE.to_owned(),
                put_on: may_change.then(|| PROBE.to_owned()),
                typed_reason: PROBE.to_owned(),
                next_line: String::new(),
                may_log: may_change,
                may_change,
                may_export: true,
                may_end: true,
                revision: 1,
                cautions: Cautions {
                    lines: vec![PROBE.to_owned()],
                },
            })
            .collect()
    }
}

/// What is noted of several items alike, taken out of the rows.
fn noted<'a>(list: &KitList, rows: impl Iterator<Item = &'a mut PositionRow>) -> Noted {
    let noted = Noted::of(list.entries.iter().map(|entry| &entry.item));
    for row in rows {
        row.note = noted.own(&row.note);
    }
    noted
}

fn first_empty(list: &KitList, rig: &Rig) -> String {
    let empty = rig
        .positions()
        .iter()
        .find(|position| !position.is_optional() && list.at(position.key()).is_none());
    empty.map_or_else(String::new, |position| position.key().to_owned())
}
