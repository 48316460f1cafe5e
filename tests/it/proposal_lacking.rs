//! How much is lacking: which item is named as nearest, which kit where nothing holds, and what is said of what fails in it.

use ropeloft::domain::fitness::{KitItem, Plan};
use ropeloft::domain::proposal::{Pick, Proposal, propose};
use ropeloft::domain::{RefusalCode, StoreId};

use crate::fitness_case::{Thing, connector, job, rope};
use crate::proposal::{marks, proposed, stock};
use crate::proposal_near::{back_up, belay_pulley, marked, nearest, on_tripod, without};

#[test]
fn of_those_with_the_same_reason_the_one_that_lacks_least_is_nearest() {
    let mut things = vec![
        back_up("A-1", "100 kg"),
        back_up("B-1", "140 kg"),
        back_up("C-1", "200 kg"),
        back_up("D-1", "230 kg"),
    ];
    things.extend(without(&["belay-device", "belay-rope"]));
    for (mark, length) in [
        ("S-1", "20 m"),
        ("S-2", "24 m"),
        ("S-3", "26 m"),
        ("S-4", "10 m"),
    ] {
        let rope = rope();
        things.push(marked(rope.with(&[("length", length)]), mark));
    }
    let job = job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.load = "2 persons".into();
        draft.between_anchors = "2.15 m".into();
        draft.depth = "30 m".into();
    });
    let proposal = proposed(&job, &things);
    let order = |position: &str| {
        let named = nearest(&proposal, &things, position).into_iter();
        named.map(|(mark, _)| mark).collect::<Vec<_>>()
    };
    // Two persons are 240 kg here: 230 kg lacks the least.
    assert_eq!(order("belay-device"), ["D-1", "C-1", "B-1"]);
    // The rope of the main line must be longest of all: those that there are lack more and more of it.
    assert_eq!(order("rope"), ["R-1", "S-3", "S-2"]);
}

#[test]
fn what_it_may_carry_is_one_cause_however_many_papers_say_so() {
    let mut things = without(&["belay-device"]);
    // Approved for 100 kg, and when it was made nobody knows.
    let mut weaker = back_up("A-1", "100 kg");
    weaker.item.made = None;
    // Two papers of one device say how much it carries, and both end below 240 kg.
    let two = back_up("B-1", "200 kg").rated(&["body|60 kN|breaking", "body|2.3 kN|rated-load"]);
    things.extend([weaker, two]);
    let proposal = proposed(&on_tripod("2 persons"), &things);
    let named = nearest(&proposal, &things, "belay-device");
    let codes = |at: usize| -> Vec<RefusalCode> {
        let (_, refusals) = &named[at];
        refusals.iter().map(|refusal| refusal.code).collect()
    };
    let marks: Vec<&str> = named.iter().map(|(mark, _)| mark.as_str()).collect();
    assert_eq!(marks, ["B-1", "A-1"]);
    assert_eq!(codes(0), [RefusalCode::RatedLoad, RefusalCode::RatedLoad]);
    assert_eq!(codes(1).len(), 3, "{:?}", codes(1));
}

fn pick<'a>(proposal: &'a Proposal, position: &str) -> &'a Pick {
    let mut picks = proposal.picks.iter();
    picks.find(|pick| pick.position == position).unwrap()
}

#[test]
fn where_nothing_holds_the_strongest_is_named_and_what_fails_beside_it() {
    let plan_of = on_tripod("2 persons");
    let plan = Plan::of(&plan_of).unwrap();
    // 46.67 kN are asked of the pulley of the belay and of its connector: nothing of either holds.
    let on_list = without(&["belay-pulley", "belay-pulley-connector"]);
    let kit: Vec<KitItem<'_>> = on_list.iter().map(Thing::kit_item).collect();
    let carabiner = |mark: &str, axis: &str| {
        let rated = format!("major-axis|{axis}|breaking");
        marked(
            connector(mark, "belay-pulley-connector").rated(&[&rated]),
            mark,
        )
    };
    // It has a part that nobody asks for and lies elsewhere, and lacks less all the same.
    let mut double = belay_pulley("X-2", "36 kN").with(&[("sheaves", "2"), ("becket", "yes")]);
    double.item.store = StoreId::new();
    let mut things = vec![
        belay_pulley("X-1", "22 kN"),
        carabiner("Y-1", "38 kN"),
        carabiner("Y-2", "41 kN"),
    ];
    for thing in &mut things {
        thing.item.store = on_list[0].item.store;
    }
    things.push(double);
    let proposal = propose(&plan, &stock(&things, &kit));
    assert!(!proposal.is_whole());
    assert_eq!(
        marks(&proposal, &things),
        ["belay-pulley=X-2", "belay-pulley-connector=Y-2"]
    );
    // 36 / 4.667 and 41 / 4.667; the sentence names the one that lacks most and then the other.
    let said = &proposal.verdict.sentence;
    assert!(said.contains("(pulley X-2) has a factor of 7.7"), "{said}");
    assert!(said.contains(" Not strong enough either: "), "{said}");
    assert!(said.contains("(connector Y-2)"), "{said}");
    assert_eq!(
        pick(&proposal, "belay-pulley").fails.as_deref(),
        Some("It has a factor of 7.7 at rest on the belay; 10 is asked for.")
    );
    let why = pick(&proposal, "belay-pulley").why.join(" ");
    assert!(why.starts_with("One of 2 "), "{why}");
    assert!(why.contains("none of them is strong enough."), "{why}");
    assert!(!why.contains("less."), "{why}");
}

#[test]
fn what_would_fail_is_no_choice_with_less_to_spare() {
    let one = on_tripod("1 person");
    let mut things = without(&["belay-pulley"]);
    // 23.34 kN are asked for.
    things.push(belay_pulley("X-1", "22 kN"));
    things.push(belay_pulley("X-2", "30 kN"));
    things.push(belay_pulley("X-3", "36 kN"));
    let proposal = proposed(&one, &things);
    assert!(proposal.is_whole(), "{}", proposal.verdict.sentence);
    assert!(marks(&proposal, &things).contains(&"belay-pulley=X-3".to_owned()));
    let taken = pick(&proposal, "belay-pulley");
    assert_eq!(taken.fails, None);
    let why = taken.why.join(" ");
    assert!(why.contains("1 of them is not strong enough."), "{why}");
    assert!(
        why.contains("; another that may go here has less."),
        "{why}"
    );
}

#[test]
fn each_part_of_a_failing_rest_says_what_it_reaches() {
    let mut things = without(&["tripod", "belay-pulley"]);
    things.push(belay_pulley("X-1", "23.2 kN"));
    let proposal = proposed(&on_tripod("1 person"), &things);
    assert!(proposal.rest.as_ref().unwrap().fails);
    assert_eq!(
        pick(&proposal, "belay-pulley").fails.as_deref(),
        // 23.2 / 23.335.
        Some("It has a factor of 9.9 at rest on the belay; 10 is asked for.")
    );
    assert_eq!(pick(&proposal, "head-pulley").fails, None);
}

#[test]
fn a_belay_that_is_not_judged_says_why() {
    let far = job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "4 m".into();
        draft.load = "1 person".into();
    });
    let kit = without(&["belay-device"]).into_iter();
    let things: Vec<Thing> = kit
        .map(|thing| match thing.position.as_deref() {
            Some("tripod") => thing.with(&[("height", "2.3 m")]),
            _ => thing,
        })
        .collect();
    let rest = proposed(&far, &things).rest.unwrap();
    let mut unjudged = rest.unjudged.iter();
    let left = unjudged.find(|line| line.starts_with("Left open: the belay is not judged. "));
    let left = left.unwrap_or_else(|| panic!("{:?}", rest.unjudged));
    assert!(left.contains("The rig counts with"), "{left}");
}
