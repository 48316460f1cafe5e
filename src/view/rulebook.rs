//! Rulebooks: each number with its source and how it is known.

use askama::Template;

use crate::{
    domain::{
        Cited,
        rulebook::{ApprovalAsked, Interval, Minimum, Rulebook},
    },
    view::{
        Shell,
        part::{Badge, Facts, Tone},
    },
};

/// Every rulebook that comes with the program.
#[derive(Template)]
#[template(path = "rulebook/list.html")]
pub struct RulebookList {
    /// The frame.
    pub shell: Shell,
    /// Address, title, what it covers.
    pub rows: Vec<(String, String, String)>,
}

impl RulebookList {
    /// The page of all rulebooks.
    pub fn new(shell: Shell, rulebooks: &[Rulebook]) -> Self {
        let row = |rulebook: &Rulebook| {
            (
                format!("/rulebooks/{}", rulebook.key()),
                rulebook.title().to_owned(),
                rulebook.covers().to_owned(),
            )
        };
        Self {
            shell,
            rows: rulebooks.iter().map(row).collect(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let row = (
            "/rulebooks/1".to_owned(),
            PROBE.to_owned(),
            PROBE.to_owned(),
        );
        vec![Self {
            shell: Shell::sample("Rulebooks"),
            rows: vec![row],
        }]
    }
}

/// A source with its label: one from memory is marked wherever it shows.
pub struct Source {
    /// Title, edition, clause.
    pub text: String,
    /// How it is known.
    pub known: Badge,
}

impl From<&Cited> for Source {
    fn from(cited: &Cited) -> Self {
        let tone = if cited.known.from_memory() {
            Tone::Watch
        } else {
            Tone::Note
        };
        Self {
            text: cited.source.clone(),
            known: Badge::new(tone, cited.known.label()),
        }
    }
}

/// One line: what is asked, of what, how much, and where it is from.
pub struct RuleLine {
    /// Of what.
    pub of: String,
    /// In which standard, use or way of loading.
    pub detail: String,
    /// How much.
    pub value: String,
    /// Where it is from.
    pub source: Source,
}

/// One rulebook.
#[derive(Template)]
#[template(path = "rulebook/show.html")]
pub struct RulebookSheet {
    /// The frame.
    pub shell: Shell,
    /// What it covers.
    pub covers: String,
    /// Factor, planning mass, what must be known.
    pub facts: Facts,
    /// Minimum strengths.
    pub minimums: Vec<RuleLine>,
    /// Approvals.
    pub approvals: Vec<RuleLine>,
    /// Intervals.
    pub intervals: Vec<RuleLine>,
    /// Kinds without a minimum or an approval, and why.
    pub without: Vec<(String, String)>,
    /// What it leaves out on purpose.
    pub leaves_out: Vec<String>,
    /// The standards and papers behind it.
    pub sources: Vec<Source>,
}

impl RulebookSheet {
    /// The page of a rulebook.
    pub fn new(shell: Shell, rulebook: &Rulebook) -> Self {
        let mut without = Vec::new();
        for rule in rulebook.kinds() {
            let reasons = [&rule.no_minimum, &rule.no_approval].into_iter().flatten();
            without.extend(reasons.map(|reason| (rule.kind.word().to_owned(), reason.clone())));
        }
        Self {
            shell,
            covers: rulebook.covers().to_owned(),
            facts: facts(rulebook),
            minimums: rulebook.minimums().iter().map(minimum).collect(),
            approvals: rulebook.approvals().iter().map(approval).collect(),
            intervals: rulebook.intervals().iter().map(interval).collect(),
            without,
            leaves_out: rulebook.leaves_out().to_vec(),
            sources: rulebook.sources().iter().map(Source::from).collect(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let source = || Source {
            text: PROBE.to_owned(),
            known: Badge::new(Tone::Watch, PROBE),
        };
        let line = || RuleLine {
            of: PROBE.to_owned(),
            detail: PROBE.to_owned(),
            value: PROBE.to_owned(),
            source: source(),
        };
        vec![Self {
            shell: Shell::sample(PROBE),
            covers: PROBE.to_owned(),
            facts: Facts::default().and(PROBE, PROBE),
            minimums: vec![line()],
            approvals: vec![line()],
            intervals: vec![line()],
            without: vec![(PROBE.to_owned(), PROBE.to_owned())],
            leaves_out: vec![PROBE.to_owned()],
            sources: vec![source()],
        }]
    }
}

fn facts(rulebook: &Rulebook) -> Facts {
    let (person, factor, limit) = (rulebook.person(), rulebook.factor(), rulebook.limit());
    Facts::default()
        .and_from(
            "Factor on breaking strength",
            factor.value.to_string(),
            format!("{} {}", factor.reason, factor.from),
        )
        .and_from(
            "Working limits and rated loads",
            &limit.rule,
            limit.from.to_string(),
        )
        .and_from(
            "Mass of one person with kit",
            person.mass.to_string(),
            format!("{} {}", person.reason, person.from),
        )
        .and_from(
            "Must be known of every item",
            rulebook.identity().words(),
            rulebook.identity().from.to_string(),
        )
}

fn minimum(minimum: &Minimum) -> RuleLine {
    let printed = minimum
        .or_printed
        .map(|printed| format!(" (printed as {printed} too)"))
        .unwrap_or_default();
    RuleLine {
        of: minimum.kind.word().to_owned(),
        detail: minimum.words(),
        value: format!("{}{printed}", minimum.at_least),
        source: (&minimum.from).into(),
    }
}

fn approval(asked: &ApprovalAsked) -> RuleLine {
    RuleLine {
        of: asked.kind.word().to_owned(),
        detail: asked.when.words().to_owned(),
        value: asked.words(),
        source: (&asked.from).into(),
    }
}

fn interval(interval: &Interval) -> RuleLine {
    RuleLine {
        of: interval.scope(),
        detail: "thorough examination at least every".to_owned(),
        value: format!("{} months", interval.months),
        source: (&interval.from).into(),
    }
}
