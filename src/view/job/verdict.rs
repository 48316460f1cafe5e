//! The verdict: the sentence first, then why, then every number with where it is from.

use askama::Template;

use super::{
    change::Changes,
    forces::{TensionRow, bodies, range, tensions},
    job_nav,
    kit::answer,
    need::needs,
    planned::withdrawn,
};
use crate::{
    domain::{
        Deed, KitEntry, KitList, Load, Units,
        kit_strength::{factor_words, is_weakest, spare_words, tightest, worst_of},
    },
    rigging::{Assessment, Check, Judged, Phase, Rig},
    view::{
        Shell,
        figure::RigFigure,
        part::{Answer, Badge, Cautions, Facts, SectionNav, Tone},
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
    /// Hand force, people, rope: what the crew needs.
    pub needs: Facts,
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
    /// What the numbers rest on.
    pub assumptions: Vec<String>,
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

/// One position against the worst force on it.
pub struct CheckRow {
    /// The number of the position, the same as in the drawing.
    pub number: usize,
    /// The position.
    pub title: String,
    /// The item.
    pub item: String,
    /// Pass, fail, refused, the weakest link, the smallest margin.
    pub badges: Vec<Badge>,
    /// The factor, or the limit, against what is asked.
    pub result: String,
    /// When and how it is loaded.
    pub when: String,
    /// The highest force, which is the one that counts.
    pub force: String,
    /// The likely force, which the drawing has, and the least; empty where all three are one.
    pub range: String,
    /// What it holds, and what was taken off, each with its source.
    pub holds: Vec<String>,
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
            answer: answer(list),
            nav: job_nav(&list.job, "/verdict"),
            refused: refused(list, rig, &shell),
            gaps: gaps(list, &shell),
            asked: Facts::default()
                .and_from("Rig", list.rig_words(), withdrawn(list.withdrawn.rig))
                .and_from(
                    "Load",
                    words::mass(list.load, units),
                    verdict.asked.load_note.clone().unwrap_or_default(),
                )
                .and_from(
                    "Counted for",
                    Load::Persons(verdict.asked.persons).to_string(),
                    verdict.asked.people.join(" "),
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
            needs: Facts::default(),
            positions: Vec::new(),
            tensions: Vec::new(),
            bodies: Vec::new(),
            phases: Vec::new(),
            changes: Changes::new(verdict, rig, units),
            warnings: Vec::new(),
            assumptions: verdict.assumptions.clone(),
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
        self.needs = needs(assessment, list, rig, units);
        for (index, position) in rig.positions().iter().enumerate() {
            let may_go = list
                .at(position.key())
                .is_none_or(|entry| entry.refusals.is_empty());
            let worst = worst_of(assessment, position.key()).into_iter();
            self.positions.extend(
                worst.map(|check| CheckRow::new(index + 1, check, assessment, may_go, units)),
            );
        }
        self.phases = assessment
            .phases
            .iter()
            .map(|forces| forces.phase.words())
            .collect();
        self.tensions = tensions(assessment, rig, units);
        self.bodies = bodies(assessment, rig, units);
        self.warnings.clone_from(&assessment.warnings);
        for line in &assessment.assumptions {
            if !self.assumptions.contains(line) {
                self.assumptions.push(line.clone());
            }
        }
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
            needs: Facts::default().and(PROBE, PROBE),
            positions: vec![check],
            tensions: vec![row()],
            bodies: vec![row()],
            phases: vec!["while hauling", "held by the capture"],
            changes: Changes::sample(PROBE),
            warnings: vec![PROBE.to_owned()],
            assumptions: vec![PROBE.to_owned()],
            cautions: Cautions {
                lines: vec![PROBE.to_owned()],
            },
            may_keep: true,
        }]
    }
}

impl CheckRow {
    fn new(
        number: usize,
        check: &Check,
        assessment: &Assessment,
        may_go: bool,
        units: Units,
    ) -> Self {
        let mut badges = match (may_go, check.passes) {
            (true, true) => vec![Badge::new(Tone::Fit, "holds")],
            (true, false) => vec![Badge::new(Tone::Stop, "does not hold")],
            (false, true) => vec![
                Badge::new(Tone::Stop, "may not go"),
                Badge::new(Tone::Note, "would hold"),
            ],
            (false, false) => vec![
                Badge::new(Tone::Stop, "may not go"),
                Badge::new(Tone::Stop, "does not hold"),
            ],
        };
        let mut weakest = assessment.weakest.iter();
        if weakest.any(|weakest| is_weakest(check, weakest)) {
            badges.push(Badge::new(Tone::Watch, "weakest link"));
        }
        if tightest(&assessment.checks).is_some_and(|least| std::ptr::eq(least, check)) {
            badges.push(Badge::new(Tone::Watch, "smallest margin"));
        }
        Self {
            number,
            title: check.title.clone(),
            item: check.item.clone(),
            badges,
            result: result(check, units),
            when: format!("{}, {}", check.phase.words(), check.spot),
            force: words::force(check.force.high(), units),
            range: range(check.force, units),
            holds: holds(check, units),
        }
    }
}

/// What the part holds, and all that was taken off it.
fn holds(check: &Check, units: Units) -> Vec<String> {
    let strength = &check.strength;
    let rating = &strength.rating;
    let (printed, kind, mode) = (
        words::force(rating.force, units),
        rating.kind.words(),
        rating.mode.words(),
    );
    if strength.reductions.is_empty() {
        return vec![format!("{printed} {kind}, {mode} ({})", rating.source)];
    }
    let effective = words::force(strength.effective, units);
    let mut holds = vec![format!(
        "{printed} {kind}, {mode}: {effective} ({})",
        rating.source
    )];
    holds.extend(strength.reductions.iter().map(|taken| {
        format!(
            "times {} for {} ({})",
            words::digits(taken.remaining.share(), 3),
            taken.reason,
            taken.source
        )
    }));
    holds
}

fn result(check: &Check, units: Units) -> String {
    let compared = match &check.judged {
        Judged::Factor {
            factor, required, ..
        } => format!(
            "factor {}; {} is asked for",
            factor_words(*factor),
            words::digits(required.ratio(), 3)
        ),
        Judged::Limit { against, what } => format!(
            "{} at most; {what} is {}",
            words::force(check.strength.effective, units),
            words::force(*against, units)
        ),
    };
    if check.passes {
        format!("{compared}, {} to spare", spare_words(check))
    } else {
        compared
    }
}

/// What is missing, each with the way to where it is mended; an empty position is filled.
fn gaps(list: &KitList, shell: &Shell) -> Vec<Reason> {
    let gaps = list.verdict.gaps.iter().map(|gap| {
        let mut reason = Reason::of_gap(gap, list.mend(gap), shell);
        if let ("empty", Some(key), true) = (gap.code, &gap.position, shell.may(Deed::PlanJob)) {
            let href = format!("/jobs/{}/positions/{key}", list.job.id);
            reason.mend = Some(("Choose an item", href));
        }
        reason
    });
    gaps.collect()
}

/// The items that may not go, in the order of the list.
fn refused(list: &KitList, rig: &Rig, shell: &Shell) -> Vec<RefusedRow> {
    let place = |entry: &KitEntry| {
        let key = entry.line.position.as_deref();
        let position = key.and_then(|key| rig.position(key));
        position
            .map_or("spare", |position| position.title())
            .to_owned()
    };
    let refused = list
        .entries
        .iter()
        .filter(|entry| !entry.refusals.is_empty());
    refused
        .map(|entry| RefusedRow {
            mark: entry.item.mark.clone(),
            href: format!("/items/{}", entry.item.id),
            place: place(entry),
            reasons: Reason::all(&entry.refusals, shell),
        })
        .collect()
}
