//! What was measured of an item over time, drawn and as a table.

use std::collections::BTreeMap;

use askama::Template;

use super::{
    Shell,
    chart::{self, Chart, Level, Measured},
    file_choice::FileChoice,
    part::Empty,
    past::kind_word,
    quantity::{self, Shown},
    words,
};
use crate::domain::{
    Course, Item, ItemId, Model, ModelLimit, Reading, Units,
    date::write_day,
    entered::{EnteredLength, LengthUnit},
};

/// The page.
#[derive(Template)]
#[template(path = "course/list.html")]
pub struct CourseList {
    /// The frame.
    pub shell: Shell,
    mark: String,
    href: String,
    model_href: String,
    file: FileChoice,
    parts: Vec<Part>,
    empty: Empty,
    cut_off: Option<String>,
}

/// What was measured by one criterion.
struct Part {
    id: String,
    of: String,
    told: String,
    limit: String,
    has_limit: bool,
    chart: Chart,
    rows: Vec<Row>,
}

struct Row {
    on: String,
    href: String,
    kind: String,
    values: Vec<Valued>,
    mean: String,
    held: String,
}

/// A value as it is read.
struct Valued {
    shown: Shown,
    beyond: bool,
}

impl CourseList {
    /// The page of an item. `ropes` are the marks of the ropes that it was part of; `most` examinations were looked
    /// at, if there are more of them.
    pub fn new(
        shell: Shell,
        (item, model): (&Item, &Model),
        courses: &[Course],
        ropes: &BTreeMap<ItemId, String>,
        (most, file): (Option<u32>, FileChoice),
    ) -> Self {
        let href = format!("/items/{}", item.id);
        let units = shell.units;
        let parts = courses.iter().enumerate();
        Self {
            mark: item.mark.clone(),
            model_href: format!("/models/{}", model.id),
            file,
            parts: parts
                .map(|(at, course)| part(at, course, ropes, units))
                .collect(),
            empty: Empty::new(
                "Nothing was measured yet.",
                "What is measured in an examination by the checklist stands here from then on.",
            )
            .step("Back to the item", href.clone()),
            cut_off: most.map(|most| {
                format!("Only the last {most} examinations were looked at; there are older ones.")
            }),
            href,
            shell,
        }
    }

    /// Pages to test with.
    ///
    /// # Panics
    /// Never: its lengths hold.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let (item, model) = (gear::item(), gear::model());
        let list = crate::domain::Checklist::newest(model.kind, None);
        let measure = list
            .criterion("diameter")
            .and_then(|one| one.measure.clone());
        let value =
            |text: &str| EnteredLength::read(text, None).expect("the sample's length holds");
        let reading = |values: &[&str]| Reading {
            on: gear::TODAY,
            examination: gear::examination().id,
            kind: gear::examination().kind,
            item: ItemId(uuid::Uuid::nil()),
            examiner: PROBE.to_owned(),
            values: values.iter().map(|text| value(text)).collect(),
            limit: model.limits.first().cloned(),
        };
        let mut measure = measure.expect("ropes are measured");
        PROBE.clone_into(&mut measure.of);
        let course = |limit: Option<ModelLimit>| Course {
            criterion: PROBE.to_owned(),
            measure: measure.clone(),
            limit,
            on_record: Some(value("11 mm")),
            readings: vec![reading(&["10.9 mm", "0.42 in"]), reading(&["10 mm"])],
        };
        let courses = [course(model.limits.first().cloned()), course(None)];
        let ropes = [(ItemId(uuid::Uuid::nil()), PROBE.to_owned())].into();
        let page = |courses: &[Course], most| {
            let shell = Shell::sample("What was measured");
            let most = (most, FileChoice::sample());
            Self::new(shell, (&item, &model), courses, &ropes, most)
        };
        vec![page(&courses, Some(500)), page(&[], None)]
    }
}

/// The unit in which a course is drawn for somebody.
fn unit_of(course: &Course, units: Units) -> LengthUnit {
    match (is_long(course), units) {
        (true, Units::Metric) => LengthUnit::Metre,
        (true, Units::Us) => LengthUnit::Foot,
        (false, Units::Metric) => LengthUnit::Millimetre,
        (false, Units::Us) => LengthUnit::Inch,
    }
}

/// Whether it is a length of rope, and no thickness.
fn is_long(course: &Course) -> bool {
    matches!(course.measure.unit, LengthUnit::Metre | LengthUnit::Foot)
}

fn shown(course: &Course, value: EnteredLength, units: Units) -> Shown {
    if is_long(course) {
        quantity::length(value, units)
    } else {
        quantity::thickness(value, units)
    }
}

fn part(at: usize, course: &Course, ropes: &BTreeMap<ItemId, String>, units: Units) -> Part {
    let unit = unit_of(course, units);
    let points = course.readings.iter().map(|reading| Measured {
        on: reading.on,
        values: reading
            .values
            .iter()
            .map(|value| (unit.number(value.quantity()), reading.is_beyond(*value)))
            .collect(),
    });
    let drawn = chart::Course {
        id: format!("course-{at}"),
        title: format!("{} over time", course.measure.of),
        measured: format!("{}, {}", course.measure.of, unit.symbol()),
        points: points.collect(),
        levels: levels(course, unit, units),
    };
    Part {
        id: format!("measured-{at}"),
        of: course.measure.of.clone(),
        told: told(course, unit),
        limit: match &course.limit {
            Some(limit) => format!("Limit on the model's record today: {limit}, {}.", limit.source),
            None => "No limit is on the model's record for this: nothing follows from these numbers alone.".to_owned(),
        },
        has_limit: course.limit.is_some(),
        chart: drawn.chart(
            "Every value as measured. The line ends with the last examination: how it goes on is not known.",
        ),
        rows: course.readings.iter().rev().map(|reading| row(course, reading, ropes, units)).collect(),
    }
}

/// The limits of today, and what is on record to compare with.
fn levels(course: &Course, unit: LengthUnit, units: Units) -> Vec<Level> {
    let level = |value: EnteredLength, word: &str, is_limit| Level {
        value: unit.number(value.quantity()),
        words: format!("{word} {}", shown(course, value, units).words),
        is_limit,
    };
    let limit = course.limit.as_ref();
    let least = limit.and_then(|limit| limit.least);
    let most = limit.and_then(|limit| limit.most);
    let levels = [
        least.map(|value| level(value, "at least", true)),
        most.map(|value| level(value, "at most", true)),
        course
            .on_record
            .map(|value| level(value, "on record", false)),
    ];
    levels.into_iter().flatten().collect()
}

/// From where to where the means went.
fn told(course: &Course, unit: LengthUnit) -> String {
    let mean = |reading: &Reading| {
        let metres = reading.mean_metres()?;
        let length = crate::rigging::Length::from_metres(metres).ok()?;
        Some(unit.number(length))
    };
    let ends = (course.readings.first(), course.readings.last());
    let (Some(first), Some(last)) = ends else {
        return String::new();
    };
    let (Some(before), Some(after)) = (mean(first), mean(last)) else {
        return String::new();
    };
    let words = |value: f64| format!("{} {}", words::digits(value, 4), unit.symbol());
    let several = course
        .readings
        .iter()
        .any(|reading| reading.values.len() > 1);
    let mean = if several { "In the mean: " } else { "" };
    if course.readings.len() == 1 {
        return format!(
            "Measured once. {mean}{} on {}.",
            words(after),
            write_day(first.on)
        );
    }
    let change = match words::digits((after - before).abs(), 3) {
        none if none == "0" => "no change".to_owned(),
        change if after < before => format!("{change} {} less", unit.symbol()),
        change => format!("{change} {} more", unit.symbol()),
    };
    format!(
        "{mean}{} on {} and {} on {}, {change}.",
        words(before),
        write_day(first.on),
        words(after),
        write_day(last.on)
    )
}

fn row(course: &Course, reading: &Reading, ropes: &BTreeMap<ItemId, String>, units: Units) -> Row {
    let unit = unit_of(course, units);
    let mean = reading.mean_metres();
    let mean = mean.and_then(|metres| crate::rigging::Length::from_metres(metres).ok());
    let mean =
        mean.map(|mean| format!("{} {}", words::digits(unit.number(mean), 4), unit.symbol()));
    let whole = ropes.get(&reading.item);
    let whole = whole
        .map(|mark| format!(", as part of {mark}"))
        .unwrap_or_default();
    Row {
        on: write_day(reading.on),
        href: format!(
            "/items/{}/examinations/{}",
            reading.item, reading.examination
        ),
        kind: format!("{}{whole}", kind_word(reading.kind)),
        values: reading
            .values
            .iter()
            .map(|value| Valued {
                shown: shown(course, *value, units),
                beyond: reading.is_beyond(*value),
            })
            .collect(),
        mean: mean.unwrap_or_default(),
        held: match &reading.limit {
            Some(limit) => format!("{limit}, {}", limit.source),
            None => "no limit on record that day".to_owned(),
        },
    }
}
