//! The sets for one plan over the days: the answer, a picture, and every number of it.

use std::collections::BTreeMap;

use askama::Template;
use time::Date;

use super::{
    super::{
        Shell,
        chart::{Bar, Bars, Chart},
        file_choice::FileChoice,
        part::{Answer, Cautions, SectionNav, Tone},
        trend, words,
    },
    EndedRow, breaks, ended, named, plan_words, sets,
};
use crate::{
    domain::{
        PinId,
        date::{add_months, write_day},
        proposal::{Readiness, Step},
        ready::{MONTHS_AHEAD, ReadinessDraft, Ready},
    },
    rigging::Rig,
};

/// A press that pins the plan, or takes it down.
#[derive(Clone, Debug)]
pub struct PinForm {
    action: String,
    fields: Vec<(&'static str, String)>,
    words: &'static str,
}

impl PinForm {
    /// Pins a plan that was written.
    pub fn pin(draft: &ReadinessDraft) -> Self {
        Self {
            action: format!("/readiness/pins?id={}", PinId::new()),
            fields: draft
                .pairs()
                .map(|(name, text)| (name, text.to_owned()))
                .into(),
            words: "Pin this plan",
        }
    }

    /// Takes a pinned plan down.
    pub fn unpin(id: PinId) -> Self {
        Self {
            action: unpin(id),
            fields: Vec::new(),
            words: "Pin it no longer",
        }
    }
}

/// Where a pinned plan is taken down.
pub(super) fn unpin(id: PinId) -> String {
    format!("/readiness/pins/{id}/remove")
}

/// The page.
#[derive(Template)]
#[template(path = "readiness/show.html")]
pub struct SetsSheet {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    answer: Answer,
    plan: String,
    job: Option<(String, String)>,
    notes: Vec<String>,
    short: Vec<String>,
    chart: Chart,
    months: Vec<Month>,
    steps: Vec<StepRow>,
    positions: Vec<String>,
    today: Vec<Vec<(String, String)>>,
    file: FileChoice,
    /// For who may: pinning the plan, or taking it down.
    pub pin: Option<PinForm>,
    cautions: Cautions,
}

/// The fewest and the most sets of a month.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Month {
    name: String,
    fewest: usize,
    most: usize,
}

/// A day on which the number changes.
#[derive(Clone, Debug)]
struct StepRow {
    from: String,
    sets: usize,
    at_most: Option<usize>,
    ended: Vec<EndedRow>,
    more: usize,
}

impl SetsSheet {
    /// The page; `file` is the same to take along.
    pub fn new(shell: Shell, ready: &Ready, file: FileChoice) -> Self {
        let counted = &ready.readiness;
        let months = months(&counted.sets, ready.span);
        let of = ready.of.as_ref();
        let rows = counted.sets.steps.iter().map(|step| {
            let (ended, more) = ended(&step.ended, counted);
            StepRow {
                from: write_day(step.from),
                sets: step.sets,
                at_most: (step.at_most > step.sets).then_some(step.at_most),
                ended,
                more,
            }
        });
        let title = |key: &String| position(&ready.rig, key);
        let link = |item: &_| (named(*item, counted).0, format!("/items/{item}"));
        let today = counted.sets.today.iter();
        Self {
            shell,
            nav: trend::nav("/readiness"),
            answer: answer(ready),
            plan: plan_words(ready),
            job: of.map(|job| (job.title.clone(), format!("/jobs/{}", job.id))),
            notes: notes(ready),
            short: counted.sets.short.iter().map(title).collect(),
            chart: chart(&months),
            months,
            steps: rows.collect(),
            positions: counted.sets.positions.iter().map(title).collect(),
            today: today.map(|set| set.iter().map(link).collect()).collect(),
            file,
            pin: None,
            cautions: Cautions::of_mechanics(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear::TODAY};
        let month = Month {
            name: "2026-03".to_owned(),
            fewest: 1,
            most: 2,
        };
        let step = StepRow {
            from: write_day(TODAY),
            sets: 1,
            at_most: Some(2),
            ended: vec![EndedRow {
                mark: PROBE.to_owned(),
                href: "/items/1".to_owned(),
                kind: "rope",
                why: "examination due",
            }],
            more: 2,
        };
        let months = vec![month];
        vec![Self {
            shell: Shell::sample("Sets"),
            nav: trend::nav("/readiness"),
            answer: Answer::new(Tone::Fit, PROBE).why(PROBE),
            plan: PROBE.to_owned(),
            job: Some((PROBE.to_owned(), "/jobs/1".to_owned())),
            notes: vec![PROBE.to_owned()],
            short: vec![PROBE.to_owned()],
            chart: chart(&months),
            months,
            steps: vec![step],
            positions: vec![PROBE.to_owned()],
            today: vec![vec![(PROBE.to_owned(), "/items/1".to_owned())]],
            file: FileChoice::sample(),
            pin: Some(PinForm {
                action: "/readiness/pins".to_owned(),
                fields: vec![("rig", PROBE.to_owned())],
                words: "Pin this plan",
            }),
            cautions: Cautions::of_mechanics(),
        }]
    }
}

/// What people call a position.
fn position(rig: &Rig, key: &str) -> String {
    rig.position(key)
        .map_or_else(|| key.to_owned(), |position| position.title().to_owned())
}

fn answer(ready: &Ready) -> Answer {
    let counted = &ready.readiness;
    let Some(today) = counted.sets.steps.first() else {
        return Answer::new(Tone::Note, "Nothing was counted");
    };
    let (tone, words) = today_words(today);
    let why = match breaks(counted) {
        Some(words) => words,
        None if today.sets == 0 => {
            "Nor on a day of the next two years, as things stand.".to_owned()
        }
        None => format!(
            "As many could on every day until {}.",
            write_day(ready.span.1)
        ),
    };
    let besides = [Some(why), counted.out_words(), unworn(ready)];
    let besides: Vec<String> = besides.into_iter().flatten().collect();
    Answer::new(tone, words).why(besides.join(" "))
}

/// How many sets could go out today: where it is not proved that no more could, the least and the most.
fn today_words(today: &Step) -> (Tone, String) {
    match today.sets {
        0 if today.at_most > 0 => (
            Tone::Stop,
            format!(
                "No complete set was found that could go out today; that there are none is not proved, at most {}",
                today.at_most
            ),
        ),
        n if today.at_most > n => (
            Tone::Fit,
            format!(
                "At least {} could go out today, at most {}",
                sets(n),
                today.at_most
            ),
        ),
        0 => (Tone::Stop, "No complete set could go out today".to_owned()),
        n => (Tone::Fit, format!("{} could go out today", sets(n))),
    }
}

/// That what people hang in is no part of a set, where the plan has people on the rope.
fn unworn(ready: &Ready) -> Option<String> {
    let people = ready.job.people().filter(|people| *people > 0)?;
    Some(format!(
        "No harness is part of a set, and whether there is one for each of {} is not counted.",
        words::count(usize::from(people), "person", "persons")
    ))
}

fn notes(ready: &Ready) -> Vec<String> {
    let counted = &ready.readiness;
    let mut notes = vec![
        format!(
            "{} of the kinds that the rig takes were looked at; {} may go today.",
            words::count(counted.sets.looked_at, "item", "items"),
            counted.sets.fit
        ),
        "Counted as if nothing is bought, examined, mended or retired from today on, with every optional position left empty, what people hang in among them. What is on the kit list of a planned job is away on its days, whatever job it is; what is out with a crew from its issue until its job is over, and until it is counted back.".to_owned(),
        "Every set is complete, each item fit for its position beside the others, and the set strong enough by the same judgement as a job's kit. No item is in two sets.".to_owned(),
    ];
    if counted.sets.short.is_empty() {
        notes.push("No single item more would make one more set today: several positions are short at once.".to_owned());
    }
    if counted
        .sets
        .steps
        .iter()
        .any(|step| step.at_most > step.sets)
    {
        notes.push("Where it says \"at most\", the number is one that can go out for certain, and the most is not settled: the rules of the single items would allow more sets, but those that were tried beyond are not strong enough; that no other would be is not proved.".to_owned());
    }
    notes.extend(ready.plan_lacks.iter().cloned());
    notes.extend(counted.cut_off.iter().map(|kind| {
        format!(
            "There are more items of the kind {} than were looked at.",
            kind.word()
        )
    }));
    notes
}

/// The fewest and the most sets of each month, this one from today on and the last one until the last day.
fn months(sets: &Readiness, (today, until): (Date, Date)) -> Vec<Month> {
    let name = |day: Date| format!("{:04}-{:02}", day.year(), u8::from(day.month()));
    let mut months: BTreeMap<String, Month> = BTreeMap::new();
    let mut count = |day: Date, sets: usize| {
        let month = months.entry(name(day)).or_insert_with(|| Month {
            name: name(day),
            fewest: sets,
            most: sets,
        });
        month.fewest = month.fewest.min(sets);
        month.most = month.most.max(sets);
    };
    let first = today.replace_day(1).unwrap_or(today);
    for month in 0..=MONTHS_AHEAD {
        let begin = add_months(first, month).max(today);
        if begin <= until {
            count(begin, sets.on(begin));
        }
    }
    for step in sets.steps.iter().filter(|step| step.from <= until) {
        count(step.from, step.sets);
    }
    months.into_values().collect()
}

fn chart(months: &[Month]) -> Chart {
    let number = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    let bars = months.iter().map(|month| Bar {
        name: month.name.clone(),
        counts: vec![number(month.fewest), number(month.most - month.fewest)],
    });
    let bars = Bars {
        id: "sets",
        title: "Complete sets by month".to_owned(),
        counted: "sets",
        parts: vec![
            "on every day of the month".to_owned(),
            "on some days of it only".to_owned(),
        ],
        bars: bars.collect(),
    };
    bars.chart("How many complete sets could go out at once, if nothing is bought or examined.")
}

#[cfg(test)]
mod tests {
    use super::{super::counted_sets, *};
    use crate::view::gear::TODAY;

    #[test]
    fn what_is_not_proved_is_told_with_the_least_and_the_most() {
        let step = |sets, at_most| Step {
            from: TODAY,
            sets,
            at_most,
            ended: Vec::new(),
        };
        for (sets, at_most, words, listed) in [
            (
                2,
                2,
                "2 complete sets could go out today",
                "2 complete sets",
            ),
            (
                1,
                3,
                "At least 1 complete set could go out today, at most 3",
                "at least 1 complete set, at most 3",
            ),
            (
                0,
                0,
                "No complete set could go out today",
                "no complete sets",
            ),
            (
                0,
                2,
                "No complete set was found that could go out today; that there are none is not proved, at most 2",
                "none found, at most 2 complete sets",
            ),
        ] {
            assert_eq!(today_words(&step(sets, at_most)).1, words);
            assert_eq!(counted_sets(&step(sets, at_most)), listed);
        }
    }
}
