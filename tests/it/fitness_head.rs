//! How high the rig hangs: by the plan or by the tripod on record, whichever asks for more rope.

use ropeloft::domain::fitness::Plan;
use ropeloft::domain::proposal::propose;
use ropeloft::domain::{Job, RefusalCode};

use crate::{
    fitness_case::{Case, Thing, job, rope, tripod, verdict},
    proposal::{stock, strong_kit},
};

/// The tripod, with this height under its head.
fn of_height(height: &str) -> Thing {
    tripod().rated(&["body|60 kN|breaking"]).with(&[("height", height)])
}

/// A rope of this length, beside a tripod, down a shaft of 15 m with 2.1 m to the head by the plan.
fn beside(length: &str, tripod: Thing) -> Case {
    Case::of(rope().with(&[("length", length)])).beside(vec![tripod])
}

#[test]
fn the_rope_reaches_from_the_higher_of_the_two() {
    // 4 x (15 + 2.8 - 0.6) + 3 + 1 = 72.8 m; by the plan's 2.1 m it is 70 m.
    beside("72.8 m", of_height("2.8 m")).is_fit();
    for short in ["72.7 m", "71 m", "70 m"] {
        let refused = beside(short, of_height("2.8 m")).refused(&[RefusalCode::RopeTooShort]);
        assert!(
            refused[0]
                .evidence
                .contains("2.8 m above the edge, by the record of tripod T-1"),
            "{}",
            refused[0].evidence
        );
        assert!(refused[0].evidence.ends_with("= 72.8 m"), "{}", refused[0].evidence);
    }
    // A lower one changes nothing, and so does one whose height is not known, or one that carries nothing.
    let spare = Thing { position: None, ..of_height("2.8 m") };
    for tripod in [of_height("1.9 m"), of_height("2.1 m"), tripod(), spare] {
        beside("70 m", tripod.clone()).is_fit();
        beside("69.9 m", tripod).refused(&[RefusalCode::RopeTooShort]);
    }
}

#[test]
fn the_verdict_counts_the_same_and_says_that_the_two_differ() {
    let told = |height: &str| {
        let mut kit = strong_kit();
        kit[3] = of_height(height);
        let answer = verdict(&job(|_| {}), &kit).assessment.unwrap();
        let warning = answer.warnings.into_iter().find(|one| one.contains("the greater is counted"));
        (answer.rope.ropes[0].length.metres(), warning)
    };
    let (metres, warning) = told("2.8 m");
    assert!((metres - 72.8).abs() < 1e-9);
    assert_eq!(
        warning.unwrap(),
        "The plan has 2.1 m from the edge up to where the rig hangs, and the record of tripod T-1 has 2.8 m under its \
         head: for the rope the greater is counted, 2.8 m. Measure it, and mend the plan or the record."
    );
    let (metres, warning) = told("1.9 m");
    assert!((metres - 70.0).abs() < 1e-9);
    assert!(warning.unwrap().contains("the greater is counted, 2.1 m"));
    assert_eq!(told("2.1 m"), (metres, None));
}

/// The marks of the rope and the tripod that are proposed.
fn proposed(job: &Job, things: &[Thing]) -> (bool, Vec<String>) {
    let proposal = propose(&Plan::of(job).unwrap(), &stock(things, &[]));
    let mark = |position: &str| {
        let pick = proposal.picks.iter().find(|pick| pick.position == position)?;
        let thing = things.iter().find(|thing| thing.item.id == pick.item)?;
        Some(thing.item.mark.clone())
    };
    let marks = ["rope", "anchor"].into_iter().filter_map(mark);
    (proposal.is_whole(), marks.collect())
}

#[test]
fn a_proposal_takes_a_rope_that_reaches_under_the_tripod_that_it_takes() {
    let named = |mut thing: Thing, mark: &str| {
        thing.item.mark = mark.into();
        thing
    };
    let mut things = strong_kit();
    things[0] = named(rope().with(&[("length", "71 m")]), "R-71");
    things[3] = named(of_height("2.8 m"), "T-28");
    let plan = job(|_| {});
    // Nothing reaches: 71 m do for the plan's height, and the tripod stands higher.
    let (is_whole, marks) = proposed(&plan, &things);
    assert!(!is_whole && !marks.contains(&"R-71".to_owned()), "{marks:?}");
    things.push(named(rope().with(&[("length", "73 m")]), "R-73"));
    assert_eq!(proposed(&plan, &things), (true, vec!["R-73".into(), "T-28".into()]));
    // A lower tripod is taken where the ropes reach under that one alone.
    things.pop();
    things.push(named(of_height("2 m"), "T-20"));
    assert_eq!(proposed(&plan, &things), (true, vec!["R-71".into(), "T-20".into()]));
}
