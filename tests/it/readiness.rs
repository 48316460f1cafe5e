//! How many sets could go out on every day to come, held against making every set there is.

use std::collections::BTreeSet;

use proptest::prelude::*;
use ropeloft::domain::fitness::{Circumstances, KitItem, Plan, fitness};
use ropeloft::domain::kit_strength::{Extent, kit_verdict};
use ropeloft::domain::proposal::{Readiness, Span, Why, readiness};
use ropeloft::domain::{Job, JobDraft, Zone};
use time::{Date, macros::date};

use crate::{
    fitness_case::{TODAY, Thing, connector, foot, head, job, rope, tripod},
    proposal::{slots_of, stock, strong_kit},
};

const UNTIL: Date = date!(2028 - 03 - 01);

/// A job of one day.
fn on(day: Date, rig: &str) -> Job {
    job(|draft: &mut JobDraft| {
        draft.starts_at = format!("{day}T12:00");
        draft.ends_at = format!("{day}T13:00");
        draft.rig = rig.into();
    })
}

/// The sets of these things, from today for two years.
fn forecast(things: &[Thing], busy: &[Vec<Span>], rig: &str) -> Readiness {
    let job = on(TODAY, rig);
    let plan = Plan::of(&job).unwrap();
    readiness(&plan, &stock(things, &[]), busy, UNTIL).unwrap()
}

fn four_to_one(things: &[Thing], busy: &[Vec<Span>]) -> Readiness {
    forecast(things, busy, "four-to-one-pull-down")
}

fn steps(readiness: &Readiness) -> Vec<(Date, usize)> {
    let steps = readiness.steps.iter();
    steps.map(|step| (step.from, step.sets)).collect()
}

/// Two whole sets; all are due on 1 September.
fn two_sets() -> Vec<Thing> {
    let mut things = strong_kit();
    things.extend(strong_kit());
    things
}

#[test]
fn two_of_everything_are_two_sets_until_the_first_falls_due() {
    let mut things = two_sets();
    things[8].item.next_due_on = Some(date!(2026 - 05 - 04));
    let forecast = four_to_one(&things, &[]);
    // Due on 4 May is in date on 4 May; the others are due on 1 September.
    let expected = [
        (TODAY, 2),
        (date!(2026 - 05 - 05), 1),
        (date!(2026 - 09 - 02), 0),
    ];
    assert_eq!(steps(&forecast), expected);
    let first = forecast.first_break().unwrap();
    let [ended] = first.ended.as_slice() else {
        panic!("{first:?}");
    };
    assert_eq!(
        (ended.item, ended.why),
        (things[8].item.id, Why::Examination)
    );
    assert_eq!(
        (forecast.on(date!(2026 - 05 - 04)), forecast.on(UNTIL)),
        (2, 0)
    );
}

#[test]
fn a_life_that_ends_first_is_told_as_such() {
    let mut things = strong_kit();
    // Ten years from the first of May 2016 end on 1 May 2026, and on that day it goes no more.
    things[3].item.made = Some(ropeloft::domain::Made::read("2016-05").unwrap());
    let forecast = four_to_one(&things, &[]);
    let first = forecast.first_break().unwrap();
    assert_eq!(first.from, date!(2026 - 05 - 01));
    assert_eq!(first.ended[0].why, Why::Life);
    assert_eq!(first.ended[0].item, things[3].item.id);
}

#[test]
fn what_is_short_is_named() {
    let mut things = two_sets();
    things.remove(8);
    let less = four_to_one(&things, &[]);
    assert_eq!(less.steps[0].sets, 1);
    // One more head pulley would not do: it captures, and at the foot the rope runs back.
    assert_eq!(less.short, ["foot"]);
    let without: Vec<Thing> = things
        .into_iter()
        .filter(|thing| thing.position.as_deref() != Some("rope"))
        .collect();
    let none = four_to_one(&without, &[]);
    assert_eq!(
        (none.steps[0].sets, none.short),
        (0, vec!["rope".to_owned()])
    );
}

#[test]
fn items_on_jobs_are_back_afterwards() {
    let things = strong_kit();
    let mut busy = vec![Vec::new(); things.len()];
    busy[1] = vec![(date!(2026 - 03 - 05), date!(2026 - 03 - 06))];
    let forecast = four_to_one(&things, &busy);
    let expected = [
        (TODAY, 1),
        (date!(2026 - 03 - 05), 0),
        (date!(2026 - 03 - 07), 1),
        (date!(2026 - 09 - 02), 0),
    ];
    assert_eq!(steps(&forecast), expected);
    assert_eq!(forecast.steps[1].ended[0].why, Why::AnotherJob);
    assert_eq!(forecast.first_break(), Some(&forecast.steps[1]));
    assert_eq!(forecast.lasting_break(), Some(&forecast.steps[3]));
}

#[test]
fn a_rope_that_fits_no_pulley_makes_no_set() {
    let mut things = two_sets();
    things[6] = rope().with(&[("diameter", "14 mm")]);
    let forecast = four_to_one(&things, &[]);
    assert_eq!(forecast.steps[0].sets, 1);
    assert_eq!(forecast.short, ["rope"]);
}

#[test]
fn what_is_not_strong_enough_makes_no_set() {
    let mut things = two_sets();
    // Fit for its place by every rule of the register, and too weak for the factor that is asked.
    for at in [1, 7] {
        things[at] = head().rated(&["axle|16 kN|breaking", "becket|12 kN|breaking"]);
    }
    let job = job(|draft| draft.load = "200 kg".into());
    let plan = Plan::of(&job).unwrap();
    let count = |things: &[Thing]| readiness(&plan, &stock(things, &[]), &[], UNTIL).unwrap();
    assert_eq!(count(&things).steps[0].sets, 0);
    things[7] = strong_kit().remove(1);
    let one = count(&things);
    assert_eq!(one.steps[0].sets, 1);
    assert!(one.today[0].contains(&things[7].item.id));
}

#[test]
fn every_day_is_covered_once_and_in_order() {
    let forecast = four_to_one(&two_sets(), &[]);
    let days: Vec<Date> = forecast.steps.iter().map(|step| step.from).collect();
    let once: BTreeSet<Date> = days.iter().copied().collect();
    assert_eq!(days, once.into_iter().collect::<Vec<_>>());
    assert_eq!(days[0], TODAY);
    // The sets of today share nothing.
    let dealt: Vec<_> = forecast.today.concat();
    let once: BTreeSet<_> = dealt.iter().collect();
    assert_eq!((dealt.len(), once.len()), (12, 12));
}

/// Whether things make a set that may go and is strong enough, by the rules that a job is held against.
fn is_set(plan: &Plan<'_>, kit: &[KitItem<'_>], today: Date) -> bool {
    let fit = |(at, item): (usize, &KitItem<'_>)| {
        let mut others = kit.to_vec();
        others.remove(at);
        let circumstances = Circumstances {
            kit: &others,
            notices: &[],
            closings: &[],
            still_open: &[],
            elsewhere: &[],
            today,
            zone: &Zone::UTC,
        };
        fitness(*item, plan, &circumstances).is_empty()
    };
    kit.iter().enumerate().all(fit) && kit_verdict(plan, kit, Extent::Answer).passes
}

/// Every set of a day, as the places of its things in the list, a bit each.
fn every_set(things: &[Thing], day: Date, rig: &str) -> Vec<u32> {
    let job = on(day, rig);
    let plan = Plan::of(&job).unwrap();
    let slots = slots_of(&plan);
    let mut found = BTreeSet::new();
    let mut kits: Vec<Vec<usize>> = vec![Vec::new()];
    for slot in &slots {
        let accepts = plan.rig.position(slot).unwrap().accepts();
        let mut next = Vec::new();
        for kit in &kits {
            for (at, thing) in things.iter().enumerate() {
                let kind = thing.model.kind.word().to_owned();
                if !kit.contains(&at) && accepts.contains(&kind) {
                    next.push([kit.as_slice(), &[at]].concat());
                }
            }
        }
        kits = next;
    }
    for kit in kits {
        let mask = kit.iter().fold(0, |mask, at| mask | 1 << at);
        let items: Vec<KitItem<'_>> = kit
            .iter()
            .zip(&slots)
            .map(|(at, slot)| KitItem {
                position: Some(slot),
                ..things[*at].kit_item()
            })
            .collect();
        if !found.contains(&mask) && is_set(&plan, &items, day) {
            found.insert(mask);
        }
    }
    found.into_iter().collect()
}

/// The most of some sets that share nothing.
fn apart(sets: &[u32], used: u32) -> usize {
    let mut most = 0;
    for (at, set) in sets.iter().enumerate() {
        if set & used == 0 {
            most = most.max(1 + apart(&sets[at + 1..], used | set));
        }
    }
    most
}

/// Things of a 2:1, some of which do not go together or are too weak, due on different days.
fn things() -> impl Strategy<Value = Vec<Thing>> {
    let thing = (0..9_usize, 0..4_usize).prop_map(|(which, due)| {
        let mut thing = match which {
            0 => rope(),
            1 => rope().with(&[("diameter", "9 mm")]),
            2 => rope().with(&[("length", "20 m")]),
            3 => foot().rated(&["axle|60 kN|breaking"]),
            4 => foot()
                .rated(&["axle|60 kN|breaking"])
                .approved(&["EN 12278||10 mm|13 mm"]),
            5 => foot()
                .rated(&["axle|60 kN|breaking"])
                .approved(&["EN 12278||8 mm|10 mm"]),
            6 => tripod().rated(&["body|60 kN|breaking"]),
            7 => connector("C-1", "load-connector").rated(&["major-axis|8 kN|breaking"]),
            _ => connector("C-1", "load-connector").rated(&["major-axis|60 kN|breaking"]),
        };
        let days = [
            date!(2026 - 02 - 20),
            date!(2026 - 03 - 10),
            date!(2026 - 04 - 10),
            date!(2026 - 09 - 01),
        ];
        thing.item.next_due_on = Some(days[due]);
        thing
    });
    prop::collection::vec(thing, 5..13)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    /// On each day no more sets can be made than are told at most, and as many as are told can.
    #[test]
    fn no_way_to_make_sets_is_better(mut things in things(), held in 0..4_usize) {
        // So that there is something to count in most cases.
        things.extend([rope(), tripod().rated(&["body|60 kN|breaking"])]);
        things.truncate(14);
        let mut busy = vec![Vec::new(); things.len()];
        busy[held] = vec![(date!(2026 - 03 - 05), date!(2026 - 03 - 20))];
        let forecast = forecast(&things, &busy, "two-to-one");
        for (index, step) in forecast.steps.iter().enumerate() {
            // The first day of the step and its last.
            let next = forecast.steps.get(index + 1).map_or(UNTIL, |next| next.from.previous_day().unwrap());
            for day in [step.from, next] {
                let free: Vec<Thing> = things.iter().zip(&busy).filter(|(_, held)| {
                    !held.iter().any(|(from, to)| *from <= day && day <= *to)
                }).map(|(thing, _)| thing.clone()).collect();
                let most = apart(&every_set(&free, day, "two-to-one"), 0);
                prop_assert!(step.sets <= most && most <= step.at_most, "{day}: {most}, {step:?}");
                prop_assert_eq!(most, step.sets, "{}: {:?}", day, step);
            }
        }
    }
}
