//! The style guide: each part once, with words that show what it is for.

use askama::Template;
use time::macros::date;

use super::{
    Shell,
    chart::{Bar, Bars, Chart, Course, Level, Measured},
    form::{Choices, Form},
    part::{Answer, Badge, Cautions, Empty, Facts, Flash, Pager, SectionNav, Tone},
    sieve::Sieve,
};
use crate::domain::FieldErrors;

/// Every part.
#[derive(Template)]
#[template(path = "style/show.html")]
pub struct StyleGuide {
    /// The frame.
    pub shell: Shell,
    answers: Vec<Answer>,
    badges: Vec<Badge>,
    flash: Flash,
    form: Form,
    wrong_form: Form,
    kinds: Choices,
    facts: Facts,
    wide_facts: Facts,
    cautions: Cautions,
    empty: Empty,
    pager: Pager,
    sections: SectionNav,
    sieve: Sieve,
    charts: Vec<Chart>,
    rows: Vec<Row>,
}

struct Row {
    name: &'static str,
    kind: &'static str,
    state: Badge,
    due: &'static str,
    strength: &'static str,
}

impl StyleGuide {
    /// Every part in this frame.
    pub fn new(shell: Shell) -> Self {
        Self {
            shell,
            answers: answers(),
            badges: Tone::ALL.map(badge).into(),
            flash: Flash {
                tone: Tone::Fit,
                words: "The examination was recorded.".to_owned(),
                ways: Vec::new(),
            },
            form: Form::default(),
            wrong_form: wrong_form(),
            kinds: kinds(),
            facts: Facts::default()
                .and("Serial", "HL-0417")
                .and_from(
                    "Strength",
                    "22 kN",
                    "breaking strength, as entered: 4946 lbf",
                )
                .and("Made", ""),
            wide_facts: Facts::default()
                .and("Depth", "15 m")
                .and("Load", "120 kg")
                .and("Rope needed", "70 m")
                .and("People to haul", "2")
                .wide(),
            cautions: cautions(),
            empty: Empty::new(
                "No items yet.",
                "Bring your list in from a file, or write the first item by hand.",
            )
            .step("Add the first item", "#f-serial"),
            pager: Pager {
                first: Some("#main".to_owned()),
                next: Some("#main".to_owned()),
                shown: "50 items, sorted by what falls due".to_owned(),
            },
            sections: SectionNav {
                label: "About this item".to_owned(),
                links: ["Record", "Examinations", "History"]
                    .map(|word| (word.to_owned(), format!("#{}", word.to_lowercase())))
                    .into(),
                here: "#record".to_owned(),
            },
            sieve: sieve(),
            charts: vec![bars(), course()],
            rows: rows(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self::new(Shell::sample("Style guide"))]
    }
}

fn badge(tone: Tone) -> Badge {
    Badge::new(tone, word(tone))
}

fn answers() -> Vec<Answer> {
    vec![
        Answer::new(Tone::Fit, "Strong enough: factor 11.2 while hauling")
            .why("The weakest part is the head pulley; the rulebook asks for 10."),
        Answer::new(Tone::Stop, "Refused: 3 reasons")
            .why("None of them can be overridden; mend the record or take another item."),
        Answer::new(Tone::Watch, "In service, examination due in 12 days"),
        Answer::new(Tone::Hold, "Quarantined until somebody competent decides"),
    ]
}

fn kinds() -> Choices {
    [("", "Choose"), ("rope", "Rope"), ("pulley", "Pulley")]
        .map(|(key, word)| (key.to_owned(), word.to_owned()))
        .into()
}

fn sieve() -> Sieve {
    let form = Form::default();
    Sieve::new("/style")
        .search(form.typed("search", "q", "Search", ""))
        .filter(form.choice("kind_filter", "Kind", "", kinds()))
}

fn bars() -> Chart {
    let years = [
        (2021_u16, [4, 0]),
        (2022, [7, 1]),
        (2023, [2, 0]),
        (2024, [9, 3]),
    ];
    let bars = years.map(|(year, counts)| Bar {
        name: year.to_string(),
        counts: counts.into(),
    });
    let bars = Bars {
        id: "sample-bars",
        title: "Items by the year in which they were made".to_owned(),
        counted: "items",
        parts: vec!["in use".to_owned(), "past their life".to_owned()],
        bars: bars.into(),
    };
    bars.chart("A pattern for each part; the table below a chart has every number.")
}

fn course() -> Chart {
    let days = [
        (date!(2023 - 03 - 01), [10.6, 10.5]),
        (date!(2024 - 03 - 02), [10.5, 10.3]),
        (date!(2025 - 03 - 01), [10.2, 9.7]),
    ];
    let points = days.map(|(on, values)| Measured {
        on,
        values: values.map(|value| (value, value < 9.8)).into(),
    });
    let course = Course {
        id: "sample-course".to_owned(),
        title: "Diameter of a rope over time".to_owned(),
        measured: "Diameter, mm".to_owned(),
        points: points.into(),
        levels: vec![Level {
            value: 9.8,
            words: "at least 9.8 mm".to_owned(),
            is_limit: true,
        }],
    };
    course.chart("What was measured, and nothing beyond it.")
}

fn wrong_form() -> Form {
    let mut wrong = FieldErrors::default();
    wrong.add(
        "strength",
        "number",
        "Write the strength as a number of kN, such as 22.",
    );
    wrong.add("kind", "choice", "Choose a kind of gear.");
    Form::new(&wrong)
}

fn cautions() -> Cautions {
    Cautions {
        lines: vec![
            "This is arithmetic on what people entered; it has not seen the rope.".to_owned(),
            "Friction is an estimate, and at rest the split between parts is not known.".to_owned(),
        ],
    }
}

fn rows() -> Vec<Row> {
    let row = |name, kind, tone, due, strength| Row {
        name,
        kind,
        state: badge(tone),
        due,
        strength,
    };
    vec![
        row(
            "Main rope 70 m",
            "rope",
            Tone::Fit,
            "2026-09-01, in 6 months",
            "32 kN",
        ),
        row(
            "Head pulley",
            "pulley",
            Tone::Watch,
            "2026-03-13, in 12 days",
            "15 kN",
        ),
        row(
            "Blue sling 120 cm",
            "sling",
            Tone::Stop,
            "2026-02-20, 9 days ago",
            "22 kN",
        ),
        row(
            "Rope clamp",
            "rope clamp",
            Tone::Hold,
            "not while in quarantine",
            "not known",
        ),
    ]
}

fn word(tone: Tone) -> &'static str {
    match tone {
        Tone::Fit => "In service",
        Tone::Watch => "Due soon",
        Tone::Stop => "Overdue",
        Tone::Hold => "Quarantined",
        Tone::Note => "On a job",
        Tone::Out => "Retired",
    }
}
