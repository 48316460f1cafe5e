//! Charts: what is drawn stands where its number says.

use ropeloft::view::{
    chart::{Bar, Bars, Course, Level, Measured},
    drawing::{Area, Drawing, Mark, Point, Step},
};
use time::macros::date;

fn bars(bars: &[(&str, &[u32])]) -> Bars {
    let bars = bars.iter().map(|(name, counts)| Bar {
        name: (*name).to_owned(),
        counts: counts.to_vec(),
    });
    Bars {
        id: "bars",
        title: "Items by year".to_owned(),
        counted: "items",
        parts: vec!["in use".to_owned(), "past their life".to_owned()],
        bars: bars.collect(),
    }
}

/// The boxes of all marks of a class.
fn areas(drawing: &Drawing, wanted: &str) -> Vec<Area> {
    let marks = drawing.marks.iter();
    let marks = marks.filter(|mark| match mark {
        Mark::Path { class, .. } | Mark::Circle { class, .. } => *class == wanted,
    });
    marks.filter_map(Mark::area).collect()
}

fn words(drawing: &Drawing) -> Vec<String> {
    let lines = drawing.labels.iter().flat_map(|label| &label.lines);
    lines.map(|(words, _)| words.clone()).collect()
}

#[test]
fn bars_are_as_high_as_their_counts() {
    let chart = bars(&[("2021", &[4, 0]), ("2022", &[8, 2]), ("2023", &[0, 0])]).chart("");
    for drawing in [&chart.wide, &chart.narrow] {
        let (full, half) = (areas(drawing, "c-full"), areas(drawing, "c-half"));
        assert_eq!(
            (full.len(), half.len()),
            (2, 1),
            "what is nothing has no bar"
        );
        assert!((full[1].high() / full[0].high() - 2.0).abs() < 1e-9);
        assert!((full[0].high() / half[0].high() - 2.0).abs() < 1e-9);
        assert!(
            (half[0].to.y - full[1].from.y).abs() < 1e-9,
            "one part stands on the other"
        );
        assert!(
            (full[0].to.y - full[1].to.y).abs() < 1e-9,
            "all stand on one line"
        );
        let seen = words(drawing);
        for word in ["items", "2021", "2022", "4", "10", "0"] {
            assert!(
                seen.iter().any(|seen| seen == word),
                "{word} is not in {seen:?}"
            );
        }
    }
    let key: Vec<&str> = chart.key.iter().map(|(_, words)| words.as_str()).collect();
    assert_eq!(key, ["in use", "past their life"]);
    assert!(
        chart
            .wide
            .desc
            .contains("The highest is \"2022\" with 10 items"),
        "{}",
        chart.wide.desc
    );
}

#[test]
fn the_last_bar_is_always_named() {
    let names: Vec<String> = (0..40).map(|years| years.to_string()).collect();
    for count in 1..=40 {
        let mut all: Vec<(&str, &[u32])> = names[..count]
            .iter()
            .map(|name| (name.as_str(), &[3][..]))
            .collect();
        all.push(("not known", &[1]));
        let chart = bars(&all).chart("");
        for drawing in [&chart.wide, &chart.narrow] {
            assert!(
                words(drawing).iter().any(|word| word == "not known"),
                "behind {count} bars"
            );
        }
    }
}

#[test]
fn nothing_stands_outside_the_paper_however_much_there_is() {
    for count in [0_u32, 1, 2, 7, 36, 200] {
        let names: Vec<String> = (0..count)
            .map(|at| format!("{}-{:02}", 2026 + at / 12, at % 12 + 1))
            .collect();
        let counts: Vec<[u32; 1]> = (0..count).map(|at| [at * 977 % 50_001]).collect();
        let all: Vec<(&str, &[u32])> = names
            .iter()
            .map(String::as_str)
            .zip(counts.iter().map(|one| &one[..]))
            .collect();
        let chart = bars(&all).chart("");
        for drawing in [&chart.wide, &chart.narrow] {
            let outside = drawing
                .labels
                .iter()
                .find(|label| !drawing.area.holds(label.area));
            assert_eq!(outside, None, "of {count} bars");
            let bounds = drawing.bounds();
            assert!(drawing.area.holds(bounds), "of {count} bars: {bounds:?}");
            let names: Vec<Area> = {
                let below = drawing
                    .labels
                    .iter()
                    .filter(|label| names.contains(&label.lines[0].0));
                below.map(|label| label.area).collect()
            };
            for (at, one) in names.iter().enumerate() {
                assert!(
                    names[..at].iter().all(|other| !one.meets(*other)),
                    "names of {count} bars run together"
                );
            }
        }
    }
}

fn course() -> Course {
    let measured = |on, values: &[(f64, bool)]| Measured {
        on,
        values: values.to_vec(),
    };
    Course {
        id: "course".to_owned(),
        title: "Diameter over time".to_owned(),
        measured: "Diameter, mm".to_owned(),
        points: vec![
            measured(date!(2018 - 06 - 01), &[(11.0, false)]),
            measured(date!(2020 - 06 - 01), &[(10.9, false), (10.5, false)]),
            measured(
                date!(2026 - 06 - 01),
                &[(10.2, false), (9.6, true), (9.9, false)],
            ),
        ],
        levels: vec![Level {
            value: 9.8,
            words: "at least 9.8 mm".to_owned(),
            is_limit: true,
        }],
    }
}

/// A path's corners.
fn corners(drawing: &Drawing, wanted: &str) -> Vec<Point> {
    let marks = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Path { class, steps } if *class == wanted => Some(steps),
        _ => None,
    });
    let steps = marks.flatten().filter_map(|step| match step {
        Step::From(point) | Step::To(point) => Some(*point),
        _ => None,
    });
    steps.collect()
}

#[test]
fn values_stand_at_their_day_and_height() {
    let chart = course().chart("");
    for drawing in [&chart.wide, &chart.narrow] {
        let values: Vec<Point> = areas(drawing, "c-value")
            .iter()
            .map(|area| area.center())
            .collect();
        let beyond = areas(drawing, "c-beyond");
        assert_eq!(
            (values.len(), beyond.len()),
            (5, 2),
            "a cross has two strokes"
        );
        // Of the 8 years, 2 lie before the second day: 731 of 2922 days.
        let across = (values[1].x - values[0].x) / (values[4].x - values[0].x);
        assert!((across - 731.0 / 2922.0).abs() < 1e-9, "{across}");
        // From 11.0 down to 10.5 is 5 of the 8 tenths down to 10.2.
        let down = (values[2].y - values[0].y) / (values[3].y - values[0].y);
        assert!((down - 5.0 / 8.0).abs() < 1e-9, "{down}");
        let limit = corners(drawing, "c-limit");
        let depth = (limit[0].y - values[0].y) / (values[3].y - values[0].y);
        assert!(
            (depth - 12.0 / 8.0).abs() < 1e-9,
            "the limit, 9.8, stands at {depth}"
        );
        let means = corners(drawing, "c-mean");
        assert_eq!(means.len(), 3, "the line ends where measuring ended");
        let mean = (means[1].y - values[0].y) / (values[3].y - values[0].y);
        assert!(
            (mean - 3.0 / 8.0).abs() < 1e-9,
            "the mean of 10.9 and 10.5 is 10.7, not at {mean}"
        );
        assert!(drawing.area.holds(drawing.bounds()));
        assert!(words(drawing).contains(&"at least 9.8 mm".to_owned()));
    }
    assert!(
        chart
            .wide
            .desc
            .contains("Measured on 3 days, from 2018-06-01 to 2026-06-01"),
        "{}",
        chart.wide.desc
    );
    assert!(
        chart.wide.desc.contains("not at nought"),
        "{}",
        chart.wide.desc
    );
}

#[test]
fn one_day_alone_is_a_chart_and_no_line() {
    let mut course = course();
    let day = course.points[0].on;
    for point in &mut course.points {
        point.on = day;
    }
    let said = course.chart("").wide.desc;
    let told = format!("Measured {} times on {day}.", course.points.len());
    assert!(said.contains(&told), "{said}");
    course.points.truncate(1);
    let chart = course.chart("");
    assert_eq!(corners(&chart.wide, "c-mean"), []);
    assert_eq!(areas(&chart.wide, "c-value").len(), 1);
    course.points.clear();
    let nothing = course.chart("");
    assert_eq!(areas(&nothing.wide, "c-value").len(), 0);
    assert_eq!(nothing.wide.desc, "Nothing was measured.");
}
