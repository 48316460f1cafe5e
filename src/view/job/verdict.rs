//! The verdict: the sentence first, then why, then every number with where it is from.

use askama::Template;

use super::{
    change::Changes,
    kit::{answer, job_nav},
};
use crate::{
    domain::{KitList, Units},
    rigging::{Assessment, Band, CAUTIONS, Check, Force, Judged, Phase, Rig},
    view::{
        Shell,
        part::{Answer, Badge, Cautions, Facts, SectionNav, Tone},
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
    /// What is missing before there is a verdict.
    pub gaps: Vec<String>,
    /// Rig, rulebook, what is asked.
    pub asked: Facts,
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

/// One position against the worst force on it.
pub struct CheckRow {
    /// The position.
    pub title: String,
    /// The item.
    pub item: String,
    /// Pass, fail, the weakest link.
    pub badges: Vec<Badge>,
    /// The factor, or the limit, against what is asked.
    pub result: String,
    /// When and how it is loaded.
    pub when: String,
    /// The force with its range.
    pub force: String,
    /// What it holds, and what was taken off, each with its source.
    pub holds: Vec<String>,
}

/// Something with its force in each phase.
pub struct TensionRow {
    /// What it is.
    pub what: String,
    /// One a phase: the likely force, and its range if it has one.
    pub forces: Vec<(String, String)>,
}

impl VerdictSheet {
    /// The page of a verdict.
    pub fn new(shell: Shell, list: &KitList, rig: &Rig, rulebook: &str, may_keep: bool) -> Self {
        let units = shell.units;
        let verdict = &list.verdict;
        let assessment = verdict.assessment.as_ref();
        let mut sheet = Self {
            here: format!("/jobs/{}/verdict", list.job.id),
            answer: answer(list),
            nav: job_nav(&list.job, "/verdict"),
            gaps: verdict
                .gaps
                .iter()
                .map(|gap| gap.sentence.clone())
                .collect(),
            asked: Facts::default()
                .and("Rig", rig.title())
                .and_from(
                    "Load",
                    words::mass(list.load, units),
                    verdict.asked.load_note.clone().unwrap_or_default(),
                )
                .and("Rulebook", rulebook)
                .and_from(
                    "Factor asked on breaking strength",
                    words::digits(verdict.asked.factor, 3),
                    format!("{} {}", verdict.asked.reason, verdict.asked.from),
                )
                .and("Working limits and rated loads", &verdict.asked.limit),
            needs: Facts::default(),
            positions: Vec::new(),
            tensions: Vec::new(),
            bodies: Vec::new(),
            phases: Vec::new(),
            changes: Changes::new(verdict, rig, units),
            warnings: Vec::new(),
            assumptions: verdict.assumptions.clone(),
            cautions: Cautions {
                lines: CAUTIONS.iter().map(|line| (*line).to_owned()).collect(),
            },
            may_keep: may_keep && assessment.is_some(),
            shell,
        };
        if let Some(assessment) = assessment {
            sheet.fill(assessment, rig, units);
        }
        sheet
    }

    fn fill(&mut self, assessment: &Assessment, rig: &Rig, units: Units) {
        self.needs = needs(assessment, units);
        let rows = rig
            .positions()
            .iter()
            .flat_map(|position| worst(assessment, position.key()));
        self.positions = rows
            .map(|check| CheckRow::new(check, assessment, units))
            .collect();
        self.phases = assessment
            .phases
            .iter()
            .map(|forces| forces.phase.words())
            .collect();
        let parts = assessment
            .phases
            .first()
            .map(|forces| forces.parts.len())
            .unwrap_or_default();
        self.tensions = (0..parts)
            .map(|at| tension(assessment, at, units))
            .collect();
        let bodies = assessment
            .phases
            .first()
            .map(|forces| forces.bodies.len())
            .unwrap_or_default();
        self.bodies = (0..bodies)
            .map(|at| body(assessment, rig, at, units))
            .collect();
        self.warnings.clone_from(&assessment.warnings);
        for line in &assessment.assumptions {
            if !self.assumptions.contains(line) {
                self.assumptions.push(line.clone());
            }
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let row = || TensionRow {
            what: PROBE.to_owned(),
            forces: vec![(PROBE.to_owned(), PROBE.to_owned())],
        };
        let check = CheckRow {
            title: PROBE.to_owned(),
            item: PROBE.to_owned(),
            badges: vec![Badge::new(Tone::Stop, PROBE)],
            result: PROBE.to_owned(),
            when: PROBE.to_owned(),
            force: PROBE.to_owned(),
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
            gaps: vec![PROBE.to_owned()],
            asked: Facts::default().and(PROBE, PROBE),
            needs: Facts::default().and(PROBE, PROBE),
            positions: vec![check],
            tensions: vec![row()],
            bodies: vec![row()],
            phases: vec!["while hauling"],
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

/// A force with its range: "0.613 kN (0.59 kN to 0.66 kN)".
fn band(force: Band<Force>, units: Units) -> String {
    match apart(force, units) {
        (likely, range) if range.is_empty() => likely,
        (likely, range) => format!("{likely} ({range})"),
    }
}

/// The likely force, and its range where the two ends are not shown alike.
fn apart(force: Band<Force>, units: Units) -> (String, String) {
    let (low, high) = (
        words::force(force.low(), units),
        words::force(force.high(), units),
    );
    let range = if low == high {
        String::new()
    } else {
        format!("{low} to {high}")
    };
    (words::force(force.likely(), units), range)
}

fn needs(assessment: &Assessment, units: Units) -> Facts {
    let hand = |phase| {
        let forces = assessment.forces(phase).and_then(|forces| forces.hand);
        forces.map(|hand| band(hand, units)).unwrap_or_default()
    };
    let people = |n: u32| words::count(n as usize, "person", "people");
    let rope = &assessment.rope;
    let mut facts = Facts::default()
        .wide()
        .and_from(
            "Pull at the hand to haul",
            hand(Phase::Hauling),
            format!(
                "{} at the pull that the job sets",
                people(assessment.haulers)
            ),
        )
        .and_from(
            "Hold at the hand to lower",
            hand(Phase::Lowering),
            format!("{} at the same pull", people(assessment.lowerers)),
        )
        .and(
            "Advantage without friction",
            format!(
                "{} : 1",
                words::digits(assessment.ideal_advantage.ratio(), 3)
            ),
        )
        .and("Rope through the hand", words::length(rope.hauled, units));
    for need in &rope.ropes {
        facts = facts.and(
            format!("Length needed: {}", need.rope),
            words::length(need.length, units),
        );
    }
    if let Some(resets) = rope.resets {
        facts = facts.and("Times it is set back", resets.to_string());
    }
    facts
}

/// The checks of a position that are shown: its smallest factor, and its nearest limit.
fn worst<'a>(assessment: &'a Assessment, position: &str) -> Vec<&'a Check> {
    let room = |check: &Check| match &check.judged {
        Judged::Factor { factor, .. } => factor.ratio(),
        Judged::Limit { against, .. } => check.strength.effective.newtons() / against.newtons(),
    };
    let of = |by_factor: bool| {
        assessment
            .checks
            .iter()
            .filter(|check| check.position == position && check.factor().is_some() == by_factor)
            .min_by(|a, b| room(a).total_cmp(&room(b)))
    };
    [of(true), of(false)].into_iter().flatten().collect()
}

impl CheckRow {
    fn new(check: &Check, assessment: &Assessment, units: Units) -> Self {
        let mut badges = vec![if check.passes {
            Badge::new(Tone::Fit, "holds")
        } else {
            Badge::new(Tone::Stop, "does not hold")
        }];
        let is_weakest = |factor| {
            assessment.weakest.as_ref().is_some_and(|weakest| {
                weakest.position == check.position && weakest.factor == factor
            })
        };
        if check.factor().is_some_and(is_weakest) {
            badges.push(Badge::new(Tone::Watch, "weakest link"));
        }
        let rating = &check.strength.rating;
        let mut holds = vec![format!(
            "{} {}, {}: {} ({})",
            words::force(rating.force, units),
            rating.kind.words(),
            rating.mode.words(),
            words::force(check.strength.effective, units),
            rating.source
        )];
        if check.strength.reductions.is_empty() {
            holds = vec![format!(
                "{} {}, {} ({})",
                words::force(rating.force, units),
                rating.kind.words(),
                rating.mode.words(),
                rating.source
            )];
        }
        holds.extend(check.strength.reductions.iter().map(|taken| {
            format!(
                "times {} for {} ({})",
                words::digits(taken.remaining.share(), 3),
                taken.reason,
                taken.source
            )
        }));
        Self {
            title: check.title.clone(),
            item: check.item.clone(),
            badges,
            result: result(check, units),
            when: format!("{}, {}", check.phase.words(), check.spot),
            force: band(check.force, units),
            holds,
        }
    }
}

fn result(check: &Check, units: Units) -> String {
    match &check.judged {
        Judged::Factor {
            factor, required, ..
        } => {
            let required = words::digits(required.ratio(), 3);
            format!("factor {factor}; {required} is asked for")
        }
        Judged::Limit { against, what } => format!(
            "{} at most; {what} is {}",
            words::force(check.strength.effective, units),
            words::force(*against, units)
        ),
    }
}

fn tension(assessment: &Assessment, at: usize, units: Units) -> TensionRow {
    let part = &assessment.phases[0].parts[at];
    TensionRow {
        what: format!("Part {}: {} to {}", at + 1, part.from, part.to),
        forces: assessment
            .phases
            .iter()
            .filter_map(|forces| forces.parts.get(at))
            .map(|part| apart(part.tension, units))
            .collect(),
    }
}

fn body(assessment: &Assessment, rig: &Rig, at: usize, units: Units) -> TensionRow {
    let key = &assessment.phases[0].bodies[at].body;
    let title = rig
        .bodies()
        .iter()
        .find(|body| body.key() == key)
        .map_or(key.as_str(), |body| body.title());
    TensionRow {
        what: title.to_owned(),
        forces: assessment
            .phases
            .iter()
            .filter_map(|forces| forces.bodies.get(at))
            .map(|body| apart(body.force, units))
            .collect(),
    }
}
