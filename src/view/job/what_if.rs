//! A kit as it is planned beside the same kit planned otherwise.

use askama::Template;

use super::{
    PlanChoices,
    answer::answer,
    job_nav,
    plan::{BY_LOAD, cases},
    verdict::{self, RefusedRow},
};
use crate::{
    domain::{
        KitList, LoadCase, Units,
        kit_strength::{Moved, Otherwise, WhatIf, factor_words, spare_words, tightest},
    },
    rigging::{Assessment, Mass, Phase},
    view::{
        Shell,
        form::{Choices, Form},
        part::{Answer, Cautions, SectionNav, Tone},
        words,
    },
};

/// What the kit comes to now, and what it would come to.
#[derive(Template)]
#[template(path = "job/what_if.html")]
pub struct WhatIfSheet {
    /// The frame.
    pub shell: Shell,
    /// This page's address.
    pub here: String,
    /// The pages of the job.
    pub nav: SectionNav,
    /// What was wrong.
    pub form: Form,
    /// What was asked.
    pub asked: WhatIf,
    /// The rigs.
    pub rigs: Choices,
    /// For whom.
    pub cases: Choices,
    /// Wet or dry.
    pub weather: Choices,
    /// The plan, and beside it what is asked.
    pub sides: Vec<Side>,
    /// One line a number: what it is, as planned, otherwise.
    pub rows: Vec<WhatIfRow>,
    /// Items that would stand elsewhere, or nowhere.
    pub moved: Vec<String>,
    /// What is missing otherwise.
    pub gaps: Vec<String>,
    /// What the numbers do not tell.
    pub cautions: Cautions,
}

/// What a kit comes to on one of the plans, as the page of its verdict says it.
pub struct Side {
    /// Which of them.
    pub title: &'static str,
    /// The answer.
    pub answer: Answer,
    /// What may not go.
    pub refused: Vec<RefusedRow>,
    /// What makes it worse than it looks.
    pub warnings: Vec<String>,
}

impl Side {
    fn new(title: &'static str, list: &KitList, shell: &Shell) -> Self {
        let assessment = list.verdict.assessment.as_ref();
        let warnings = assessment.map(|one| verdict::beside(&one.warnings, shell.units));
        Self {
            title,
            answer: answer(list, shell.units),
            refused: verdict::refused(list, &list.rig, shell),
            warnings: warnings.unwrap_or_default(),
        }
    }
}

/// One number as planned and otherwise.
pub struct WhatIfRow {
    /// What it is.
    pub what: String,
    /// As planned.
    pub planned: String,
    /// Otherwise; empty as long as nothing is asked.
    pub other: String,
}

impl WhatIfSheet {
    /// The page with the plan alone.
    pub fn new(shell: Shell, list: &KitList, choices: PlanChoices, asked: &WhatIf) -> Self {
        let keep = |words: &str| (String::new(), words.to_owned());
        let mut rigs = choices.rigs;
        if let Some(first) = rigs.first_mut() {
            *first = keep("As planned");
        }
        let numbers = numbers(list, shell.units);
        let rows = numbers.into_iter().map(|(what, planned)| WhatIfRow {
            what,
            planned,
            other: String::new(),
        });
        Self {
            here: format!("/jobs/{}/what-if", list.job.id),
            nav: job_nav(&list.job, "/what-if"),
            form: Form::default(),
            asked: asked.clone(),
            rigs,
            cases: std::iter::once(keep("As planned")).chain(cases()).collect(),
            weather: vec![
                keep("As planned"),
                ("yes".to_owned(), "It gets wet".to_owned()),
                ("no".to_owned(), "It stays dry".to_owned()),
            ],
            sides: vec![Side::new("As planned", list, &shell)],
            rows: rows.collect(),
            moved: Vec::new(),
            gaps: Vec::new(),
            cautions: Cautions::of_mechanics(),
            shell,
        }
    }

    /// Puts the other plan beside.
    pub fn beside(&mut self, otherwise: &Otherwise) {
        let list = &otherwise.list;
        let mut side = Side::new("Otherwise", list, &self.shell);
        if otherwise.loses_belay {
            side.answer = without_belay(side.answer);
        }
        self.sides.push(side);
        let numbers = numbers(list, self.shell.units);
        for (row, (_, other)) in self.rows.iter_mut().zip(numbers) {
            row.other = other;
        }
        self.moved = otherwise.moved.iter().filter_map(moved).collect();
        self.gaps = list
            .verdict
            .gaps
            .iter()
            .map(|gap| self.shell.units.beside(&gap.sentence))
            .collect();
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let probe = || PROBE.to_owned();
        vec![Self {
            shell: Shell::sample(PROBE),
            here: "/jobs/1/what-if".to_owned(),
            nav: SectionNav {
                label: "Job".to_owned(),
                links: Vec::new(),
                here: String::new(),
            },
            form: Form::default(),
            asked: WhatIf {
                load: probe(),
                ..WhatIf::default()
            },
            rigs: PlanChoices::new(
                &[],
                PROBE,
                (Vec::new(), crate::view::rulebook::WhichRulebook::new(&[])),
            )
            .rigs,
            cases: vec![(String::new(), probe())],
            weather: vec![(String::new(), probe())],
            sides: ["As planned", "Otherwise"]
                .map(|title| Side {
                    title,
                    answer: Answer::new(Tone::Fit, PROBE),
                    refused: vec![RefusedRow {
                        mark: probe(),
                        href: "/items/1".to_owned(),
                        place: probe(),
                        reasons: vec![crate::view::reason::Reason::sample()],
                    }],
                    warnings: vec![probe()],
                })
                .into(),
            rows: vec![WhatIfRow {
                what: probe(),
                planned: probe(),
                other: probe(),
            }],
            moved: vec![probe()],
            gaps: vec![probe()],
            cautions: Cautions {
                lines: vec![probe()],
            },
        }]
    }
}

/// The answer of a plan that loses the belay: whatever it comes to, it is to be looked at.
fn without_belay(answer: Answer) -> Answer {
    let tone = match answer.tone {
        Tone::Fit => Tone::Watch,
        other => other,
    };
    let words = format!("The belay of the plan is lost. {}", answer.words);
    Answer::new(tone, words).why(answer.why)
}

/// How many items of a list may go.
fn may_go(list: &KitList) -> String {
    let all = words::count(list.entries.len(), "item", "items");
    match list.refused() {
        0 => format!("all of {all}"),
        refused => format!("{refused} of {all} may not"),
    }
}

/// An item that would stand elsewhere, in a sentence.
fn moved(moved: &Moved) -> Option<String> {
    let item = &moved.item;
    match (&moved.from, &moved.to) {
        (from, to) if from == to => None,
        (Some(from), None) => Some(format!(
            "{item} stands at \"{from}\" and would have no place."
        )),
        (Some(from), Some(to)) => Some(format!("{item} would go from \"{from}\" to \"{to}\".")),
        (None, Some(to)) => Some(format!("{item}, a spare, would go to \"{to}\".")),
        (None, None) => None,
    }
}

/// The weakest link with its factor.
fn weakest(assessment: &Assessment) -> Option<String> {
    let weakest = assessment.weakest.as_ref()?;
    Some(format!(
        "{} ({}), factor {} {}",
        weakest.title,
        weakest.item,
        factor_words(weakest.factor),
        weakest.phase.words()
    ))
}

/// What is left over where the least is, and where that is; nothing where something fails.
fn least(assessment: &Assessment) -> Option<String> {
    let least = tightest(&assessment.checks).filter(|_| assessment.passes)?;
    Some(format!(
        "{}, at {} ({}) {}",
        spare_words(least),
        least.title,
        least.item,
        least.phase.words()
    ))
}

/// The numbers that two plans are compared by, always the same in the same order.
fn numbers(list: &KitList, units: Units) -> Vec<(String, String)> {
    let (verdict, rig, case) = (&list.verdict, &list.rig, list.job.case);
    let assessment = verdict.assessment.as_ref();
    let told = |tell: &dyn Fn(&Assessment) -> Option<String>| {
        assessment.and_then(tell).unwrap_or_else(|| "–".to_owned())
    };
    let hand = |phase| {
        told(&|assessment: &Assessment| {
            let hand = assessment.forces(phase)?.hand?;
            Some(format!(
                "{} to {}",
                words::force(hand.low(), units),
                words::force(hand.high(), units)
            ))
        })
    };
    let rope = told(&|assessment| {
        let needs = assessment.rope.ropes.iter();
        let needs = needs.map(|need| words::length(need.length, units));
        Some(needs.collect::<Vec<_>>().join(", "))
    });
    let load = Mass::from_kilograms(verdict.asked.load_kg)
        .map_or_else(|_| "–".to_owned(), |mass| words::mass(mass, units));
    let row = |what: &str, value: String| (what.to_owned(), value);
    vec![
        row("Rig", rig.title().to_owned()),
        row("Load", load),
        row(
            "Planned for",
            case.map_or(BY_LOAD, LoadCase::word).to_owned(),
        ),
        row("May go", may_go(list)),
        row("Belay", rig.belay_words()),
        row("Weakest link", told(&weakest)),
        row("Least to spare", told(&least)),
        row("Pull at the hand to haul", hand(Phase::Hauling)),
        row("Hold at the hand to lower", hand(Phase::Lowering)),
        row(
            "People to haul, at the top of the range",
            told(&|assessment| Some(assessment.haulers.to_string())),
        ),
        row(
            "Advantage without friction",
            told(&|assessment| {
                let ratio = assessment.ideal_advantage.ratio();
                Some(format!("{} : 1", words::digits(ratio, 3)))
            }),
        ),
        row("Rope needed", rope),
        row(
            "Rope through the hand",
            told(&|assessment| Some(words::length(assessment.rope.hauled, units))),
        ),
        row(
            "Times it is set back",
            told(&|assessment| assessment.rope.resets.map(|resets| resets.to_string())),
        ),
    ]
}
