//! How many complete sets could go out: the plans of the team, and one plan over the days.

mod list;
mod show;

pub use list::{PlanRow, ReadinessList};
pub use show::{PinForm, SetsSheet};

use super::words;
use crate::domain::{
    ItemId,
    date::write_day,
    proposal::{Ended, Step, Why},
    ready::{Counted, Ready},
};

/// Why an item counts no more, in words.
fn why(why: Why) -> &'static str {
    match why {
        Why::Examination => "examination due",
        Why::Life => "end of life",
        Why::AnotherJob => "on a planned job",
    }
}

/// An item that ended a set.
#[derive(Clone, Debug)]
struct EndedRow {
    mark: String,
    href: String,
    kind: &'static str,
    why: &'static str,
}

/// At most so many of what ended; the file has all.
const SHOWN: usize = 12;

fn ended(ended: &[Ended], counted: &Counted) -> (Vec<EndedRow>, usize) {
    let shown = ended.iter().take(SHOWN).map(|one| {
        let (mark, kind) = named(one.item, counted);
        EndedRow {
            mark,
            href: format!("/items/{}", one.item),
            kind,
            why: why(one.why),
        }
    });
    (shown.collect(), ended.len().saturating_sub(SHOWN))
}

/// The mark of an item and the word of its kind.
fn named(item: ItemId, counted: &Counted) -> (String, &'static str) {
    counted
        .items
        .get(&item)
        .map_or_else(Default::default, |(item, model)| {
            (item.mark.clone(), model.kind.word())
        })
}

fn sets(count: usize) -> String {
    words::count(count, "complete set", "complete sets")
}

/// How many could go out from a day on, in words: where it is not proved that no more could, so many at least, and so
/// many at most.
fn counted_sets(step: &Step) -> String {
    match step.sets {
        0 if step.at_most > 0 => format!("none found, at most {}", sets(step.at_most)),
        least if step.at_most > least => {
            format!("at least {}, at most {}", sets(least), step.at_most)
        }
        exactly => sets(exactly),
    }
}

/// What ends a set first; and where that is for a time only, what ends one for good.
fn breaks(counted: &Counted) -> Option<String> {
    let first = counted.sets.first_break()?;
    let words = break_words(first, counted);
    match counted.sets.lasting_break() {
        Some(lasting) if lasting.from != first.from => Some(format!(
            "{words} For good as things stand: {}",
            break_words(lasting, counted)
        )),
        _ => Some(words),
    }
}

/// "From 2026-05-05 there are 2, since rope R-12 counts no more (examination due)."
fn break_words(step: &Step, counted: &Counted) -> String {
    let from = write_day(step.from);
    let left = match step.sets {
        0 => "there is none".to_owned(),
        1 => "there is 1".to_owned(),
        n => format!("there are {n}"),
    };
    // As many as today are fewer only than on the days before, of which nobody was told yet.
    let steps = &counted.sets.steps;
    let is_fewer = steps.first().is_some_and(|today| step.sets < today.sets);
    let before = steps.iter().rev().find(|before| before.from < step.from);
    let left = match before {
        Some(before) if !is_fewer => format!(
            "{left} again, after {} from {}",
            before.sets,
            write_day(before.from)
        ),
        _ => left,
    };
    let since = match step.ended.as_slice() {
        [] => String::new(),
        [one] => {
            let (mark, kind) = named(one.item, counted);
            format!(", since {kind} {mark} counts no more ({})", why(one.why))
        }
        [first, rest @ ..] => {
            let (mark, kind) = named(first.item, counted);
            format!(
                ", since {kind} {mark} ({}) and {} count no more",
                why(first.why),
                words::count(rest.len(), "other", "others")
            )
        }
    };
    format!("From {from} {left}{since}.")
}

/// What of a plan decides how long its ropes are and what they carry: "15 m deep, 1 person, EN".
fn plan_words(ready: &Ready) -> String {
    let job = &ready.job;
    let case = job.case.map(|case| format!(" ({})", case.word()));
    format!(
        "{} deep, {}{}, {}",
        job.depth,
        job.load,
        case.unwrap_or_default(),
        ready.rulebook
    )
}

#[cfg(test)]
mod tests {
    use time::Duration;

    use super::*;
    use crate::{domain::proposal::Readiness, view::gear::TODAY};

    #[test]
    fn a_fall_to_as_many_as_today_says_what_was_between() {
        let told = |sets: &[usize]| {
            let steps = sets.iter().zip(0_i64..).map(|(sets, day)| Step {
                from: TODAY + Duration::days(day),
                sets: *sets,
                at_most: *sets,
                ended: Vec::new(),
            });
            let counted = Counted {
                items: std::collections::HashMap::new(),
                sets: Readiness {
                    steps: steps.collect(),
                    positions: Vec::new(),
                    today: Vec::new(),
                    short: Vec::new(),
                    looked_at: 0,
                    fit: 0,
                },
                out: 0,
                cut_off: Vec::new(),
            };
            breaks(&counted).unwrap()
        };
        let day = |days| write_day(TODAY + Duration::days(days));
        let again = format!(
            "From {} there are 4 again, after 5 from {}.",
            day(2),
            day(1)
        );
        assert!(told(&[4, 5, 4]).starts_with(&again), "{}", told(&[4, 5, 4]));
        let none = format!(
            "From {} there is none again, after 1 from {}.",
            day(2),
            day(1)
        );
        assert!(told(&[0, 1, 0]).starts_with(&none), "{}", told(&[0, 1, 0]));
        assert_eq!(told(&[4, 3]), format!("From {} there are 3.", day(1)));
    }
}
