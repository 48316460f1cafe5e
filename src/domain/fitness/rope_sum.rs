//! The sum behind the length that a rope must have, as everybody can add it up again.

use super::Head;
use super::plan::way;
use crate::domain::Job;
use crate::domain::entered::EnteredLength;
use crate::rigging::{Length, Rig, Way, rope_need};

/// Two lengths this near, in metres, are the same.
const HAIR: f64 = 1e-6;

/// The sum in words for a rig that hangs so high: "4 strands x (15 m depth + 2.1 m above the edge - 0.6 m pulleys and connectors) +
/// 3 m tail + 1 m knots = 70.0 m"; nothing where the length cannot be told.
///
/// The sum is shown only where it comes to the very length that the mechanics ask for.
pub fn rope_sum(job: &Job, rig: &Rig, head: &Head, rope: &str) -> Option<String> {
    let whole = length(rig, &way(job, head), rope)?;
    let terms = terms((job, head), rig, rope, whole);
    let sum: f64 = terms.iter().map(|term| term.times * term.metres).sum();
    if (sum - whole).abs() > HAIR {
        return None;
    }
    let words: Vec<String> = terms.iter().map(Term::words).collect();
    Some(format!("{} = {whole:.1} m", words.join(" + ")))
}

/// The length that a rope must have for a way, in metres.
fn length(rig: &Rig, way: &Way, rope: &str) -> Option<f64> {
    let need = rope_need(rig, way).ok()?;
    let found = need.ropes.iter().find(|length| length.rope == rope);
    found.map(|found| found.length.metres())
}

/// A length of the plan, and how often it is in the sum.
struct Term {
    times: f64,
    metres: f64,
    words: String,
}

/// The terms of the sum. How often each is in it is read off the mechanics, by what one metre more adds.
fn terms((job, head): (&Job, &Head), rig: &Rig, rope: &str, whole: f64) -> Vec<Term> {
    let setup = &job.setup;
    let at = way(job, head);
    let times = |change: &dyn Fn(&mut Way) -> Option<()>| {
        let mut more = at;
        change(&mut more)?;
        Some(length(rig, &more, rope)? - whole)
    };
    let term = |times: Option<f64>, given: Option<EnteredLength>, what: &str| {
        let given = given?;
        Some(Term {
            times: times?,
            metres: given.quantity().metres(),
            words: format!("{given} {what}"),
        })
    };
    let full = at.depth.metres() + at.head_gap.metres();
    let words = format!("{} depth + {}", job.depth, head.words());
    let blocks = times(&|way| longer(&mut way.block_length)).unwrap_or(0.0);
    let (metres, words) = if blocks.abs() > HAIR {
        let words = format!("({words} - {} pulleys and connectors)", setup.block_length);
        (full - at.block_length.metres(), words)
    } else {
        (full, format!("({words})"))
    };
    let span = Term {
        times: times(&|way| longer(&mut way.depth)).unwrap_or(0.0),
        metres,
        words,
    };
    let stroke = times(&|way| longer(way.throw.as_mut()?));
    let anchors = times(&|way| longer(way.between_anchors.as_mut()?));
    let tail = times(&|way| longer(&mut way.tail));
    let knots = times(&|way| longer(&mut way.knots));
    let all = [
        Some(span),
        term(stroke, setup.throw, "stroke"),
        term(anchors, setup.between_anchors, "between anchors"),
        term(tail, Some(setup.tail), "tail"),
        term(knots, Some(setup.knots), "knots"),
    ];
    let all = all.into_iter().flatten();
    all.filter(|term| term.times.abs() > HAIR).collect()
}

/// The length with a metre more; nothing beyond what a length may be.
fn longer(length: &mut Length) -> Option<()> {
    *length = Length::from_metres(length.metres() + 1.0).ok()?;
    Some(())
}

impl Term {
    /// "4 strands x (…)", "2.5 x 3 m stroke", "1 m knots".
    fn words(&self) -> String {
        let whole = self.times.round();
        let count = if (self.times - whole).abs() < HAIR {
            format!("{whole}")
        } else {
            format!("{:.3}", self.times)
        };
        let words = &self.words;
        match (count.as_str(), words.starts_with('(')) {
            ("1", true) => format!("1 strand x {words}"),
            (count, true) => format!("{count} strands x {words}"),
            ("1", false) => words.clone(),
            (count, false) => format!("{count} x {words}"),
        }
    }
}
