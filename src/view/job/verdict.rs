//! The verdict: the sentence first, then why, then every number with where it is from.

use askama::Template;

use super::{
    answer::answer,
    brief::brief,
    change::Changes,
    check_row::{CheckRow, by_approval, unjudged},
    forces::{TensionRow, bodies, tensions},
    job_nav,
    need::sums,
    open_point::{catch_lacks, gaps, unsaid},
    planned::withdrawn,
};
use crate::{
    domain::{
        JobState, KitEntry, KitList, Load, Units,
        kit_strength::{KitVerdict, worst_of},
    },
    rigging::{Assessment, Phase, Rig},
    view::{
        Shell,
        figure::RigFigure,
        part::{Answer, Badge, Cautions, Facts, RigAsks, SectionNav, Tone},
        reason::Reason,
        words,
    },
};

/// Whether the kit is strong enough, rigged as planned.
#[derive(Template)]
#[template(path = "job/verdict.html")]
pub struct VerdictSheet {
    /// The frame.
    pub shell: Shell,
    /// This page's address.
    pub here: String,
    /// The answer.
    pub answer: Answer,
    /// The pages of the job.
    pub nav: SectionNav,
    /// The items that may not go.
    pub refused: Vec<RefusedRow>,
    /// What is missing before there is a verdict.
    pub gaps: Vec<Reason>,
    /// Rig, rulebook, what is asked.
    pub asked: Facts,
    /// The rig in one phase.
    pub figure: Option<RigFigure>,
    /// Load, weakest link, hands, rope and gear, a line each.
    pub brief: Facts,
    /// What lies behind the rope that is needed.
    pub sums: Facts,
    /// The worst check of each position.
    pub positions: Vec<CheckRow>,
    /// The pull in every part of the rope, one table a rope.
    pub tensions: Vec<TensionRow>,
    /// The force on every body, by phase.
    pub bodies: Vec<TensionRow>,
    /// The phases, in words, that the tables show.
    pub phases: Vec<&'static str>,
    /// What would make it pass, what it hangs on, which approvals cover it.
    pub changes: Changes,
    /// What makes the result worse than it looks.
    pub warnings: Vec<String>,
    /// What is missing to judge a catch, each with the way to where it is given.
    pub catch_lacks: Vec<Reason>,
    /// What nobody said of the plan, and what is therefore not judged.
    pub unsaid: Vec<Reason>,
    /// What the numbers rest on.
    pub assumptions: Vec<String>,
    /// What the rig asks for.
    pub rig_asks: RigAsks,
    /// What the numbers do not tell.
    pub cautions: Cautions,
    /// Whether the person may keep the verdict.
    pub may_keep: bool,
}

/// An item on the list that may not go, with every reason.
pub struct RefusedRow {
    /// Its mark.
    pub mark: String,
    /// Its page.
    pub href: String,
    /// The position it stands at, or that it is a spare.
    pub place: String,
    /// Why it may not go.
    pub reasons: Vec<Reason>,
}

/// How grave a yes is: one that leaves the belay or the harness open, or counts less than the people of the plan weigh, is
/// to be looked at.
pub(super) fn yes(verdict: &KitVerdict) -> Tone {
    if verdict.open.is_empty() && verdict.light.is_none() {
        Tone::Fit
    } else {
        Tone::Watch
    }
}

impl VerdictSheet {
    /// The page of a verdict.
    pub fn new(shell: Shell, list: &KitList, may_keep: bool) -> Self {
        let rig = list.rig.as_ref();
        let units = shell.units;
        let verdict = &list.verdict;
        let assessment = verdict.assessment.as_ref();
        let mut sheet = Self {
            here: format!("/jobs/{}/verdict", list.job.id),
            answer: answer(list, units),
            nav: job_nav(&list.job, "/verdict"),
            refused: refused(list, rig, &shell),
            gaps: gaps(list, &shell),
            asked: Facts::default()
                .and_from("Rig", list.rig_words(), withdrawn(list.withdrawn.rig))
                .and_from(
                    "Load",
                    words::mass(list.load, units),
                    units.beside(verdict.asked.load_note.as_deref().unwrap_or_default()),
                )
                .and_from(
                    "Counted for",
                    Load::Persons(verdict.asked.persons).to_string(),
                    units.beside(&verdict.asked.people.join(" ")),
                )
                .and_from(
                    "Rulebook",
                    &verdict.asked.title,
                    withdrawn(list.withdrawn.rulebook),
                )
                .and_from(
                    "Factor asked on breaking strength",
                    words::digits(verdict.asked.factor, 3),
                    format!("{} {}", verdict.asked.reason, verdict.asked.from),
                )
                .and("Working limits and rated loads", &verdict.asked.limit),
            figure: None,
            brief: Facts::default(),
            sums: Facts::default(),
            positions: Vec::new(),
            tensions: Vec::new(),
            bodies: Vec::new(),
            phases: Vec::new(),
            changes: Changes::new(verdict, rig, units),
            warnings: Vec::new(),
            catch_lacks: Vec::new(),
            unsaid: unsaid(list, &shell),
            assumptions: beside(&verdict.assumptions, units),
            rig_asks: RigAsks::new(&verdict.rig_asks, units),
            cautions: Cautions::of_mechanics(),
            may_keep: may_keep && assessment.is_some(),
            shell,
        };
        if let Some(assessment) = assessment {
            sheet.fill(assessment, (list, rig), units);
        }
        sheet
    }

    fn fill(&mut self, assessment: &Assessment, (list, rig): (&KitList, &Rig), units: Units) {
        self.brief = brief(assessment, list, rig, units);
        self.sums = sums(assessment, list, rig, units);
        for (index, position) in rig.positions().iter().enumerate() {
            let is_over = list.job.state != JobState::Planned;
            let may_go = list
                .at(position.key())
                .is_none_or(|entry| is_over || entry.refusals.is_empty());
            let worst = worst_of(assessment, position.key()).into_iter();
            self.positions.extend(
                worst.map(|check| CheckRow::new(index + 1, check, assessment, may_go, units)),
            );
            let open = assessment.unjudged.iter();
            let open = open.filter(|one| one.position == position.key());
            let why = not_caught(list);
            self.positions
                .extend(open.map(|one| unjudged(index + 1, one, &why, units)));
            let approved = assessment.by_approval.iter();
            let approved = approved.filter(|one| one.position == position.key());
            self.positions
                .extend(approved.map(|one| by_approval(index + 1, one)));
        }
        self.phases = assessment
            .phases
            .iter()
            .map(|forces| forces.phase.words())
            .collect();
        self.tensions = tensions(assessment, rig, units);
        self.bodies = bodies(assessment, rig, units);
        self.warnings = beside(&assessment.warnings, units);
        self.catch_lacks = catch_lacks(list, &self.shell);
        for line in beside(&assessment.assumptions, units) {
            if !self.assumptions.contains(&line) {
                self.assumptions.push(line);
            }
        }
    }

    /// How many things the rig asks for.
    fn points(&self) -> String {
        words::count(self.rig_asks.lines.len(), "point", "points")
    }

    /// The same page with the rig drawn in one phase. Without an assessment nothing is drawn.
    #[must_use]
    pub fn drawn(mut self, list: &KitList, phase: Phase) -> Self {
        let assessment = list.verdict.assessment.as_ref();
        let units = self.shell.units;
        self.figure = assessment
            .map(|assessment| RigFigure::in_phase(&list.rig, assessment, phase, units, &self.here));
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let row = || TensionRow {
            what: PROBE.to_owned(),
            forces: vec![Some((PROBE.to_owned(), PROBE.to_owned())), None],
        };
        let check = CheckRow {
            number: 1,
            title: PROBE.to_owned(),
            item: PROBE.to_owned(),
            badges: vec![Badge::new(Tone::Stop, PROBE)],
            result: PROBE.to_owned(),
            reached: PROBE.to_owned(),
            asked: PROBE.to_owned(),
            is_short: true,
            when: PROBE.to_owned(),
            force: PROBE.to_owned(),
            range: PROBE.to_owned(),
            holds: vec![PROBE.to_owned()],
        };
        vec![Self {
            shell: Shell::sample(PROBE),
            here: "/jobs/1/verdict".to_owned(),
            answer: Answer::new(Tone::Fit, PROBE),
            nav: SectionNav {
                label: "Job".to_owned(),
                links: Vec::new(),
                here: String::new(),
            },
            refused: vec![RefusedRow {
                mark: PROBE.to_owned(),
                href: "/items/1".to_owned(),
                place: PROBE.to_owned(),
                reasons: vec![Reason::sample()],
            }],
            gaps: vec![Reason::sample()],
            asked: Facts::default().and(PROBE, PROBE),
            figure: Some(RigFigure::sample()),
            brief: Facts::default().and(PROBE, PROBE),
            sums: Facts::default().and(PROBE, PROBE),
            positions: vec![check],
            tensions: vec![row()],
            bodies: vec![row()],
            phases: vec!["while hauling", "held by the capture"],
            changes: Changes::sample(PROBE),
            warnings: vec![PROBE.to_owned()],
            catch_lacks: vec![Reason::sample()],
            unsaid: vec![Reason::sample()],
            assumptions: vec![PROBE.to_owned()],
            rig_asks: RigAsks {
                lines: vec![PROBE.to_owned()],
            },
            cautions: Cautions {
                lines: vec![PROBE.to_owned()],
            },
            may_keep: true,
        }]
    }
}

/// Sentences with their quantities in the reader's units too.
pub(super) fn beside(sentences: &[String], units: Units) -> Vec<String> {
    let sentences = sentences.iter();
    sentences.map(|one| units.beside(one)).collect()
}

/// Why a position that only a catch loads is not judged, in a few words.
fn not_caught(list: &KitList) -> String {
    let has = |code| list.verdict.catch_lacks.iter().find(|gap| gap.code == code);
    if has("belay-aside").is_some() {
        return "not judged: the belay leaves the tripod further aside than the rig counts with"
            .to_owned();
    }
    match has("no-modulus") {
        Some(_) if list.job.setup.catch_slack.is_some() => {
            "not judged: how the belay rope stretches is not on record".to_owned()
        }
        _ => "not judged: the plan gives no catch".to_owned(),
    }
}

/// The items that may not go, in the order of the list.
pub(super) fn refused(list: &KitList, rig: &Rig, shell: &Shell) -> Vec<RefusedRow> {
    let place = |entry: &KitEntry| {
        let key = entry.line.position.as_deref();
        let position = key.and_then(|key| rig.position(key));
        position
            .map_or("spare", |position| position.title())
            .to_owned()
    };
    let planned = list.job.state == JobState::Planned;
    let refused = list
        .entries
        .iter()
        .filter(|entry| planned && !entry.refusals.is_empty());
    refused
        .map(|entry| RefusedRow {
            mark: entry.item.mark.clone(),
            href: format!("/items/{}", entry.item.id),
            place: place(entry),
            reasons: Reason::all(&entry.refusals, shell),
        })
        .collect()
}
