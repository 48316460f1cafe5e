//! What may go at a position.

use askama::Template;

use super::{
    above::{Above, grouped, shared},
    in_place::InPlace,
    kit_row::{may_go_with_gaps, not_back},
    lack::{ModelLack, by_model, is_of_record},
    noted::Noted,
};
use crate::{
    domain::{Candidate, Refusal, kit_strength::KitGap},
    view::{
        Shell,
        form::{Choices, Form},
        part::{Answer, Badge, Empty, Pager, SectionNav, Tone},
        reason::Reason,
        sieve::Sieve,
        words,
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
    /// The sum behind the length that a rope must have here; may be empty.
    pub length: String,
    /// The pages of the job.
    pub nav: SectionNav,
    /// What fills the position now; none while it is open, and for spares.
    pub in_place: Option<InPlace>,
    /// What was just refused, if the last deed was.
    pub refused: Option<(Answer, Vec<Reason>)>,
    /// What was searched for.
    pub search: String,
    /// The kinds that the position takes.
    pub kinds: Choices,
    /// The kind that is shown.
    pub kind: String,
    /// Where no item of the page may go: how many were looked at, and what is against them, each reason with
    /// how many have it, the most frequent first.
    pub none: Option<(Answer, Vec<Reason>)>,
    /// What is not on record of the models that might go, where nothing may go that lacks nothing.
    pub lacks: Vec<ModelLack>,
    /// Why the rows stand in their order.
    pub order: String,
    /// One an item.
    pub rows: Vec<CandidateRow>,
    /// What is noted of several of them alike.
    pub noted: Noted,
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
    /// The model's page.
    pub model_href: String,
    /// The store that it lives in.
    pub store: String,
    /// Fit, or refused.
    pub state: Badge,
    /// What was noted of it; may be empty.
    pub note: String,
    /// Whether it may go.
    pub may_go: bool,
    /// The mark of what fills the position, where nothing else stands against this one; else empty.
    pub waits_for: String,
    /// Why not in a few words, beside what all share.
    pub why: String,
    /// Why not, beside what all share.
    pub reasons: Vec<Reason>,
    /// What its record lacks for the verdict.
    pub gaps: Vec<Reason>,
    /// That it is with the crew of another job; may be empty.
    pub with_crew: String,
    /// The id that its line would get.
    pub line: String,
}

impl CandidateRow {
    /// The row of a candidate, without what is told above all rows.
    fn new(candidate: &Candidate, above: &Above<'_>, line: String, shell: &Shell) -> Self {
        let (refusals, gaps) = (&candidate.refusals, &candidate.gaps);
        let own = refusals
            .iter()
            .filter(|refusal| !above.tells(refusal, candidate));
        let own: Vec<&Refusal> = own.collect();
        let mut why: Vec<&str> = own.iter().map(|refusal| refusal.brief()).collect();
        why.dedup();
        let reasons = own.iter().map(|refusal| Reason::of(refusal, shell));
        let reasons: Vec<_> = reasons.collect();
        let with = candidate.with_crew.as_ref();
        let state = match (refusals.len(), gaps.len(), reasons.len()) {
            (0, 0, _) if with.is_some() => not_back(),
            (0, 0, _) => Badge::new(Tone::Fit, "may go"),
            (0, gaps, _) => may_go_with_gaps(gaps),
            (_, _, 0) => Badge::new(Tone::Stop, "the reasons above"),
            (all, _, own) if all > own => {
                let own = words::count(own, "more reason", "more reasons");
                Badge::new(Tone::Stop, format!("{own} against it"))
            }
            (all, _, _) => {
                let all = words::count(all, "reason", "reasons");
                Badge::new(Tone::Stop, format!("{all} against it"))
            }
        };
        let mend = |gap: &KitGap| gap.mend_of_model(candidate.model.id);
        Self {
            id: candidate.item.id.to_string(),
            mark: candidate.item.mark.clone(),
            model: candidate.model.title(),
            model_href: format!("/models/{}", candidate.model.id),
            store: candidate.store.clone(),
            state,
            note: candidate.item.note.clone(),
            may_go: refusals.is_empty(),
            waits_for: String::new(),
            why: why.join("; "),
            reasons,
            with_crew: with.map_or_else(String::new, |with| with.caution(&shell.zone)),
            gaps: gaps
                .iter()
                .filter(|gap| !(above.lacking.contains(&candidate.model.id) && is_of_record(gap)))
                .map(|gap| Reason::of_gap(gap, mend(gap), shell))
                .collect(),
            line,
        }
    }
}

impl PositionSheet {
    /// Puts the candidates into the sheet, with how many were judged in all; `line` makes the id that the line of each
    /// would get.
    pub fn fill(&mut self, (candidates, judged): (&[Candidate], usize), line: impl Fn() -> String) {
        let hidden = judged.saturating_sub(candidates.len());
        let in_place = self.in_place.as_ref();
        let others = in_place.map(|one| one.others(candidates));
        let candidates = others.as_deref().unwrap_or(candidates);
        let lacking;
        (lacking, self.lacks) = by_model(candidates, &self.shell).into_iter().unzip();
        let above = Above {
            shared: shared(candidates),
            lacking,
        };
        let none_fits = candidates
            .iter()
            .all(|candidate| !candidate.refusals.is_empty());
        if none_fits && candidates.len() > 1 {
            let told = |refusal: &Refusal, candidate: &Candidate| {
                above.tells_as_lacking(refusal, candidate)
            };
            let against = grouped(candidates, told, &self.shell);
            let looked_at = words::count(candidates.len() + hidden, "item", "items");
            let page = self.pager.first.as_ref().map_or("", |_| " of this page");
            let (tone, which) = match in_place {
                Some(_) => (Tone::Note, "the other "),
                None => (Tone::Stop, ""),
            };
            let answer = Answer::new(
                tone,
                format!("None of {which}{looked_at}{page} may go here"),
            );
            let counted = match hidden {
                0 => String::new(),
                _ => format!(
                    " Only the {} that are shown here are counted.",
                    candidates.len()
                ),
            };
            let answer = answer.why(format!(
                "{}{counted}",
                above.where_told(!against.is_empty())
            ));
            self.none = Some((answer, against));
        }
        self.noted = Noted::of(candidates.iter().map(|candidate| &candidate.item));
        self.rows = candidates
            .iter()
            .map(|candidate| {
                let mut row = CandidateRow::new(candidate, &above, line(), &self.shell);
                row.note = self.noted.own(&row.note);
                if let Some(one) = in_place {
                    one.holds_up(&mut row);
                }
                row
            })
            .collect();
        if let Some(one) = in_place {
            self.empty = one.no_other();
        }
    }

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
            model_href: "/models/1".to_owned(),
            store: PROBE.to_owned(),
            state: Badge::new(Tone::Fit, PROBE),
            note: PROBE.to_owned(),
            may_go: reasons.is_empty(),
            waits_for: if reasons.is_empty() {
                String::new()
            } else {
                PROBE.to_owned()
            },
            why: PROBE.to_owned(),
            gaps: reasons.clone(),
            with_crew: PROBE.to_owned(),
            reasons,
            line: "2".to_owned(),
        };
        vec![Self {
            shell: Shell::sample(PROBE),
            job: "/jobs/1".to_owned(),
            here: "/jobs/1/positions/head".to_owned(),
            position: "head".to_owned(),
            takes: PROBE.to_owned(),
            length: PROBE.to_owned(),
            nav: SectionNav {
                label: "Job".to_owned(),
                links: Vec::new(),
                here: String::new(),
            },
            in_place: Some(InPlace::sample()),
            refused: Some((Answer::new(Tone::Stop, PROBE), vec![reason()])),
            search: PROBE.to_owned(),
            kinds: vec![("pulley".to_owned(), PROBE.to_owned())],
            kind: "pulley".to_owned(),
            none: Some((Answer::new(Tone::Stop, PROBE), vec![reason()])),
            lacks: vec![ModelLack::sample()],
            order: PROBE.to_owned(),
            noted: Noted::sample(PROBE),
            rows: vec![row(Vec::new()), row(vec![reason()])],
            empty: Empty::new("None.", "Look elsewhere."),
            may_change: true,
            pager: Pager::default(),
        }]
    }
}
