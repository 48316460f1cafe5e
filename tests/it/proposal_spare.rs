//! How much is left over: which of several strong ones is taken, and how many others are said to have less.

use ropeloft::domain::proposal::{Pick, Proposal};

use crate::fitness_case::{Thing, job};
use crate::proposal::{marks, proposed};
use crate::proposal_near::{belay_pulley, on_tripod, without};

fn pick<'a>(proposal: &'a Proposal, position: &str) -> &'a Pick {
    let mut picks = proposal.picks.iter();
    picks.find(|pick| pick.position == position).unwrap()
}

/// The kit of the tripod with a belay, with these pulleys for the belay: each with its mark and what its axle holds.
fn with_pulleys(pulleys: &[(&str, &str)]) -> Vec<Thing> {
    let mut things = without(&["belay-pulley"]);
    let pulleys = pulleys.iter();
    things.extend(pulleys.map(|(mark, axle)| belay_pulley(mark, axle)));
    things
}

#[test]
fn of_a_belay_that_is_not_judged_the_stronger_is_taken_all_the_same() {
    let far = job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "4 m".into();
        draft.load = "1 person".into();
    });
    let things = with_pulleys(&[("A-1", "24 kN"), ("B-1", "36 kN"), ("C-1", "30 kN")]);
    let things: Vec<Thing> = things
        .into_iter()
        .map(|thing| match thing.position.as_deref() {
            Some("tripod") => thing.with(&[("height", "2.3 m")]),
            _ => thing,
        })
        .collect();
    let proposal = proposed(&far, &things);
    assert!(proposal.missing.is_empty(), "{:?}", proposal.missing);
    let mut open = proposal.verdict.open.iter();
    assert!(
        open.any(|open| open == "the belay is not judged"),
        "{:?}",
        proposal.verdict.open
    );
    let taken = marks(&proposal, &things);
    assert!(taken.contains(&"belay-pulley=B-1".to_owned()), "{taken:?}");
    // Nothing is said of what it holds there, since that is not judged.
    let why = pick(&proposal, "belay-pulley").why.join(" ");
    assert!(!why.contains("more strength"), "{why}");
}

#[test]
fn all_that_have_less_are_counted_however_much_they_have() {
    // 23.335 kN are asked for: 47 kN is 101 % more, 45 kN 92 %, 42 kN 79 %, 30 kN 28 %.
    let pulleys = [
        ("A-1", "47 kN"),
        ("B-1", "45 kN"),
        ("C-1", "42 kN"),
        ("D-1", "30 kN"),
    ];
    let things = with_pulleys(&pulleys);
    let proposal = proposed(&on_tripod("1 person"), &things);
    assert!(proposal.is_whole(), "{}", proposal.verdict.sentence);
    assert!(marks(&proposal, &things).contains(&"belay-pulley=A-1".to_owned()));
    let why = pick(&proposal, "belay-pulley").why.join(" ");
    assert!(
        why.contains("101 % more strength than is asked; 3 others that may go here have less."),
        "{why}"
    );
}
