//! Bars that count.

use super::{Chart, Paper, Scale, Sign, at};
use crate::view::drawing::{Align, Drawing, Fit, Mark, shape, wide};

/// Bars side by side, each perhaps in parts that stand on each other.
#[derive(Clone, Debug)]
pub struct Bars {
    /// A name for the chart, unique on the page.
    pub id: &'static str,
    /// What it is, in a few words.
    pub title: String,
    /// What is counted, as it stands at the scale: "items".
    pub counted: &'static str,
    /// What the parts are, from below; one or none needs no key.
    pub parts: Vec<String>,
    /// The bars, from the left.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// What stands below it: "2024", "2026-03", "not known".
    pub name: String,
    /// How many, a number for each part from below.
    pub counts: Vec<u32>,
}

impl Bar {
    /// All its parts together.
    pub fn total(&self) -> u32 {
        self.counts
            .iter()
            .fold(0, |sum, part| sum.saturating_add(*part))
    }
}

impl Bars {
    /// The chart with a sentence below it.
    pub fn chart(&self, caption: impl Into<String>) -> Chart {
        let parts = self.parts.iter().enumerate();
        let key = parts.map(|(part, words)| (Sign::Part(part), words.clone()));
        Chart {
            wide: self.draw(Fit::Wide),
            narrow: self.draw(Fit::Narrow),
            key: key.filter(|_| self.parts.len() > 1).collect(),
            caption: caption.into(),
        }
    }

    /// What is seen, in words.
    fn desc(&self) -> String {
        let highest = self.bars.iter().max_by_key(|bar| bar.total());
        let (Some(first), Some(last), Some(highest)) =
            (self.bars.first(), self.bars.last(), highest)
        else {
            return "No bar.".to_owned();
        };
        format!(
            "Bars from \"{}\" to \"{}\", {} of them. The highest is \"{}\" with {} {}. The table below has every number.",
            first.name,
            last.name,
            self.bars.len(),
            highest.name,
            highest.total(),
            self.counted
        )
    }

    fn draw(&self, fit: Fit) -> Drawing {
        let highest = self.bars.iter().map(Bar::total).max().unwrap_or(0);
        let up = Scale::of_counts(highest);
        let mut paper = Paper::new(fit, &up, self.counted);
        let bars = u32::try_from(self.bars.len()).unwrap_or(u32::MAX);
        let pitch = paper.plot.wide() / f64::from(bars.max(1));
        let half = (pitch * 0.36).min(28.0);
        let middle = |bar: u32| paper.plot.from.x + pitch * (f64::from(bar) + 0.5);
        let middles: Vec<f64> = (0..bars).map(middle).collect();
        for (bar, x) in self.bars.iter().zip(&middles) {
            let marks = marks(&paper, &up, bar, (*x - half, *x + half));
            paper.marks.extend(marks);
        }
        self.numbers(&mut paper, &up, &middles, pitch);
        self.names(&mut paper, &middles, pitch);
        paper.drawn(fit, self.id, &self.title, &self.desc())
    }

    /// The count above each bar, where there is room.
    fn numbers(&self, paper: &mut Paper, up: &Scale, middles: &[f64], pitch: f64) {
        for (bar, x) in self.bars.iter().zip(middles) {
            let total = bar.total();
            let words = total.to_string();
            if total > 0 && wide(&words, paper.text) <= pitch {
                let y = paper.height(up, f64::from(total)) - paper.text * 0.65;
                paper.word(at(*x, y), &words, Align::Middle);
            }
        }
    }

    /// As many names below the bars as there is room for, at even distances; the last is always named, since it may be
    /// what is not known.
    fn names(&self, paper: &mut Paper, middles: &[f64], pitch: f64) {
        let text = paper.text;
        let room = |bar: &Bar| wide(&bar.name, text) + 10.0;
        let (Some((last, rest)), Some(end)) = (self.bars.split_last(), middles.last()) else {
            return;
        };
        let widest = rest.iter().map(room).fold(0.0, f64::max);
        let every = (1_u16..=u16::MAX).find(|every| f64::from(*every) * pitch >= widest);
        let every = usize::from(every.unwrap_or(u16::MAX));
        let free_until = (end - room(last) / 2.0).min(paper.wide - room(last));
        for (bar, x) in rest.iter().zip(middles).step_by(every) {
            if x + room(bar) / 2.0 <= free_until {
                paper.below(*x, &bar.name);
            }
        }
        paper.below(*end, &last.name);
    }
}

/// The parts of one bar, from below.
fn marks(paper: &Paper, up: &Scale, bar: &Bar, (left, right): (f64, f64)) -> Vec<Mark> {
    let mut below = 0_u32;
    let mut marks = Vec::new();
    for (part, count) in bar.counts.iter().enumerate() {
        let above = below.saturating_add(*count);
        let (low, high) = (
            paper.height(up, f64::from(below)),
            paper.height(up, f64::from(above)),
        );
        if *count > 0 {
            let corners = [
                at(left, low),
                at(left, high),
                at(right, high),
                at(right, low),
            ];
            marks.push(shape(Sign::Part(part).class(), &corners));
        }
        below = above;
    }
    marks
}
