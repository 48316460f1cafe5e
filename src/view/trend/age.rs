//! The age of the fleet.

use askama::Template;

use super::{
    super::{
        Shell,
        chart::{Bar, Bars, Chart},
        file_choice::FileChoice,
        part::{Answer, SectionNav, Tone},
        sieve::Sieve,
    },
    items, kind_sieve, nav, part_of, share_of,
};
use crate::domain::{
    Kind,
    trend::{AgeGroup, Ages, KindAges, Lives},
};

/// The page.
#[derive(Template)]
#[template(path = "trend/age.html")]
pub struct AgePage {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    sieve: Sieve,
    answer: Answer,
    chart: Chart,
    is_empty: bool,
    groups: Vec<(String, Lives)>,
    kinds: Vec<KindRow>,
    rulebook: String,
    file: FileChoice,
}

struct KindRow {
    word: &'static str,
    href: String,
    items: u32,
    past: String,
    open: String,
    unknown: String,
    rough: String,
}

impl AgePage {
    /// The page, narrowed to a kind or not.
    pub fn new(
        shell: Shell,
        ages: &Ages,
        (kind, file): (Option<Kind>, FileChoice),
        rulebook: &str,
    ) -> Self {
        let all = ages.kinds.iter();
        let all = all.fold(Lives::default(), |sum, of| Lives {
            within: sum.within + of.lives.within,
            past: sum.past + of.lives.past,
            open: sum.open + of.lives.open,
        });
        Self {
            shell,
            nav: nav("/trends"),
            sieve: kind_sieve("/trends", kind),
            answer: answer(all, ages),
            chart: chart(&ages.groups),
            is_empty: ages.groups.is_empty(),
            groups: ages
                .groups
                .iter()
                .map(|group| (name(group), group.lives))
                .collect(),
            kinds: ages.kinds.iter().map(kind_row).collect(),
            rulebook: rulebook.to_owned(),
            file,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::PROBE;
        let lives = Lives {
            within: 3,
            past: 1,
            open: 2,
        };
        let group = |years| AgeGroup { years, lives };
        let ages = Ages {
            groups: vec![group(Some(0)), group(Some(1)), group(None)],
            kinds: vec![KindAges {
                kind: Kind::Rope,
                lives,
                made_unknown: 1,
                made_rough: 2,
            }],
        };
        let nothing = Ages {
            groups: Vec::new(),
            kinds: Vec::new(),
        };
        let page = |ages: &Ages, kind| {
            let of = (kind, FileChoice::sample());
            Self::new(Shell::sample("Trends"), ages, of, PROBE)
        };
        vec![page(&ages, Some(Kind::Rope)), page(&nothing, None)]
    }
}

fn name(group: &AgeGroup) -> String {
    let years = group.years.map(|years| years.to_string());
    years.unwrap_or_else(|| "not known".to_owned())
}

fn answer(all: Lives, ages: &Ages) -> Answer {
    let unknown: u32 = ages.kinds.iter().map(|of| of.made_unknown).sum();
    let (tone, words) = match (all.items(), all.past) {
        (0, _) => {
            return Answer::new(Tone::Note, "Nothing is here to count")
                .why("Items that are not retired are counted by their age.");
        }
        (_, 0) => (
            Tone::Fit,
            format!("None of {} is past its life", items(all.items())),
        ),
        (all, past) => (
            Tone::Watch,
            format!("Past their life: {}", share_of(past, all)),
        ),
    };
    let open = format!(
        "Of {} no day ends the life: its condition decides, or its end cannot be told.",
        items(all.open)
    );
    let unknown = match unknown {
        0 => String::new(),
        n => format!(" The date made is not known of {}.", items(n)),
    };
    Answer::new(tone, words).why(format!("{open}{unknown}"))
}

fn chart(groups: &[AgeGroup]) -> Chart {
    let bars = groups.iter().map(|group| Bar {
        name: name(group),
        counts: vec![group.lives.within, group.lives.past, group.lives.open],
    });
    let bars = Bars {
        id: "ages",
        title: "Items by whole years since they were made".to_owned(),
        counted: "items",
        parts: [
            "within their life",
            "past their life",
            "no day ends their life",
        ]
        .map(str::to_owned)
        .into(),
        bars: bars.collect(),
    };
    bars.chart(
        "Whole years since they were made, items that are not retired. Where only the year or the month is known, the age is counted from its first day: such items may be younger.",
    )
}

fn kind_row(of: &KindAges) -> KindRow {
    let all = of.lives.items();
    KindRow {
        word: of.kind.word(),
        href: format!("/trends?kind={}", of.kind.key()),
        items: all,
        past: share_of(of.lives.past, all),
        open: part_of(of.lives.open, all),
        unknown: part_of(of.made_unknown, all),
        rough: part_of(of.made_rough, all),
    }
}
