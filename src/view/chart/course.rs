//! Values over time: each as it was measured, the line through their means, and the limits they are held against.

use time::Date;

use super::{Chart, Paper, Scale, Sign, at, scale::Days};
use crate::view::drawing::{Align, Drawing, Fit, circle, line, wide};

/// What was measured of one thing over time, in one unit.
#[derive(Clone, Debug)]
pub struct Course {
    /// A name for the chart, unique on the page.
    pub id: String,
    /// What it is, in a few words.
    pub title: String,
    /// What is measured and in which unit, as it stands at the scale: "Diameter, mm".
    pub measured: String,
    /// What was measured, the oldest first.
    pub points: Vec<Measured>,
    /// Numbers that the values are compared with.
    pub levels: Vec<Level>,
}

/// What was measured on one day.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The day.
    pub on: Date,
    /// Each value, and whether it was beyond the limit that it was held against.
    pub values: Vec<(f64, bool)>,
}

impl Measured {
    /// The mean of the values; none where there is none.
    pub fn mean(&self) -> Option<f64> {
        let count = f64::from(u32::try_from(self.values.len()).ok()?);
        let sum: f64 = self.values.iter().map(|(value, _)| value).sum();
        (count > 0.0).then_some(sum / count)
    }
}

/// A number on record, drawn across the whole time.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// The number.
    pub value: f64,
    /// What it is, in a few words: "at least 9.8 mm".
    pub words: String,
    /// Whether it is a limit, and not only something to compare with.
    pub is_limit: bool,
}

impl Course {
    /// The chart with a sentence below it.
    pub fn chart(&self, caption: impl Into<String>) -> Chart {
        let values = || self.points.iter().flat_map(|point| &point.values);
        let is_limited = self.levels.iter().any(|level| level.is_limit);
        let is_compared = self.levels.iter().any(|level| !level.is_limit);
        let means = self.points.iter().any(|point| point.values.len() > 1);
        let signs = [
            (true, Sign::Value, "a value as measured"),
            (
                values().any(|(_, beyond)| *beyond),
                Sign::Beyond,
                "a value beyond the limit that it was held against",
            ),
            (
                self.points.len() > 1,
                Sign::Mean,
                if means {
                    "joins the means of what was measured on each day"
                } else {
                    "joins what was measured"
                },
            ),
            (is_limited, Sign::Limit, "limit on the model's record today"),
            (is_compared, Sign::Level, "on record, to compare with"),
        ];
        let key = signs.into_iter().filter(|(shown, ..)| *shown);
        Chart {
            wide: self.draw(Fit::Wide),
            narrow: self.draw(Fit::Narrow),
            key: key
                .map(|(_, sign, words)| (sign, words.to_owned()))
                .collect(),
            caption: caption.into(),
        }
    }

    /// What is seen, in words.
    fn desc(&self, up: &Scale) -> String {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return "Nothing was measured.".to_owned();
        };
        let begins = if up.low() > 0.0 {
            format!(
                "The scale begins at {}, not at nought. ",
                up.words(up.low())
            )
        } else {
            String::new()
        };
        let mut days: Vec<_> = self.points.iter().map(|point| point.on).collect();
        days.sort_unstable();
        days.dedup();
        let when = match (self.points.len(), days.len()) {
            (1, _) => format!("Measured once, on {}", first.on),
            (times, 1) => format!("Measured {times} times on {}", first.on),
            (times, days) if times == days => {
                format!("Measured on {days} days, from {} to {}", first.on, last.on)
            }
            (times, days) => format!(
                "Measured {times} times on {days} days, from {} to {}",
                first.on, last.on
            ),
        };
        format!("{when}. {begins}The table below has every number.")
    }

    fn draw(&self, fit: Fit) -> Drawing {
        let values = self.points.iter().flat_map(|point| &point.values);
        let levels = self.levels.iter().map(|level| level.value);
        let up = Scale::of_values(values.map(|(value, _)| *value).chain(levels));
        let mut paper = Paper::new(fit, &up, &self.measured);
        if let Some(days) = Days::of(self.points.iter().map(|point| point.on)) {
            dated(&mut paper, &days);
            self.levels(&mut paper, &up);
            self.values(&mut paper, &up, &days);
        }
        paper.drawn(fit, &self.id, &self.title, &self.desc(&up))
    }

    /// The numbers to compare with, each with its words on the side where nothing was measured yet.
    fn levels(&self, paper: &mut Paper, up: &Scale) {
        for level in &self.levels {
            let y = paper.height(up, level.value);
            let sign = if level.is_limit {
                Sign::Limit
            } else {
                Sign::Level
            };
            let ends = [at(paper.plot.from.x, y), at(paper.plot.to.x, y)];
            paper.marks.push(line(sign.class(), &ends));
            let x = paper.plot.to.x;
            paper.word(at(x, y - paper.text * 0.75), &level.words, Align::Right);
        }
    }

    fn values(&self, paper: &mut Paper, up: &Scale, days: &Days) {
        let x = |day: Date| paper.plot.from.x + days.share(day) * paper.plot.wide();
        let place = |day: Date, value: f64| at(x(day), paper.height(up, value));
        let means = self.points.iter();
        let means = means.filter_map(|point| Some(place(point.on, point.mean()?)));
        let means: Vec<_> = means.collect();
        let mut marks = Vec::new();
        if means.len() > 1 {
            marks.push(line(Sign::Mean.class(), &means));
        }
        for point in &self.points {
            for (value, beyond) in &point.values {
                let center = place(point.on, *value);
                if *beyond {
                    let arms = [at(4.5, 4.5), at(4.5, -4.5)];
                    let cross =
                        arms.map(|arm| line(Sign::Beyond.class(), &[center - arm, center + arm]));
                    marks.extend(cross);
                } else {
                    marks.push(circle(Sign::Value.class(), center, 3.6));
                }
            }
        }
        paper.marks.extend(marks);
    }
}

/// The days below the plot, with a short line at each.
fn dated(paper: &mut Paper, days: &Days) {
    let room = wide("2026-00", paper.text) + 10.0;
    let most = (1..=24_u8)
        .rev()
        .find(|most| f64::from(*most) * room <= paper.plot.wide());
    for (day, words) in days.ticks(usize::from(most.unwrap_or(1))) {
        let x = paper.plot.from.x + days.share(day) * paper.plot.wide();
        let ends = [at(x, paper.plot.to.y), at(x, paper.plot.to.y + 4.0)];
        paper.marks.push(line("c-grid", &ends));
        paper.below(x, &words);
    }
}
