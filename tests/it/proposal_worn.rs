//! What people hang in: proposed where people hang on the rope, and said where nothing stands for it.

use ropeloft::domain::fitness::Plan;
use ropeloft::domain::kit_strength::{KitVerdict, Outcome};
use ropeloft::domain::proposal::{Proposal, propose};
use ropeloft::domain::{Job, Kind};
use serde_json::json;

use crate::{
    fitness_case::{Thing, harness, job, verdict},
    job_given::planned,
    proposal::{stock, strong_kit},
};

fn proposed(job: &Job, things: &[Thing]) -> Proposal {
    propose(&Plan::of(job).unwrap(), &stock(things, &[]))
}

/// The mark of what is proposed for what a person hangs in.
fn worn(proposal: &Proposal, things: &[Thing]) -> Option<String> {
    let pick = proposal
        .picks
        .iter()
        .find(|pick| pick.position == "harness")?;
    let thing = things.iter().find(|thing| thing.item.id == pick.item);
    Some(thing.unwrap().item.mark.clone())
}

fn with(more: impl IntoIterator<Item = Thing>) -> Vec<Thing> {
    let mut things = strong_kit();
    things.extend(more);
    things
}

fn litter() -> Thing {
    let litter = Thing::new(Kind::Litter, "A-1", &[], &["body|90 kN|breaking"]);
    litter.at("harness")
}

const OPEN: &str =
    "Rig strong enough; the harness is not judged, since none is on the list: of the rest, ";

#[test]
fn a_harness_is_proposed_where_people_hang_on_the_rope() {
    let things = with([harness()]);
    let one = proposed(&job(|_| {}), &things);
    assert_eq!(worn(&one, &things).as_deref(), Some("W-1"));
    assert!(one.is_whole() && one.unworn.is_empty());
    assert!(one.verdict.open.is_empty(), "{:?}", one.verdict.open);
    assert!(
        one.verdict.sentence.starts_with("Strong enough: "),
        "{}",
        one.verdict.sentence
    );
    let pick = one
        .picks
        .iter()
        .find(|pick| pick.position == "harness")
        .unwrap();
    assert!(
        pick.why.join(" ").contains("judged with the rest"),
        "{pick:?}"
    );
    // A mass with a case says that people hang there, a mass alone does not.
    let case = proposed(
        &job(|draft| (draft.load, draft.case) = ("110 kg".into(), "one-person".into())),
        &things,
    );
    assert_eq!(worn(&case, &things).as_deref(), Some("W-1"));
    let motor = proposed(&job(|draft| draft.load = "110 kg".into()), &things);
    assert_eq!(worn(&motor, &things), None);
    assert!(motor.unworn.is_empty() && motor.verdict.open.is_empty());
}

#[test]
fn where_none_is_fit_that_is_said_by_name() {
    let things = strong_kit();
    let bare = proposed(&job(|_| {}), &things);
    assert!(bare.missing.is_empty() && bare.is_whole());
    let [unworn] = bare.unworn.as_slice() else {
        panic!("{:?}", bare.unworn);
    };
    assert_eq!(unworn.position, "harness");
    assert!(
        unworn
            .sentence
            .starts_with("No harness or litter may go here"),
        "{}",
        unworn.sentence
    );
    assert!(
        bare.verdict.sentence.starts_with(OPEN),
        "{}",
        bare.verdict.sentence
    );
    // One that is not fit is named with what speaks against it.
    let mut old = harness();
    old.item.next_due_on = Some(crate::fitness_case::TODAY);
    let due = proposed(&job(|_| {}), &with([old]));
    assert_eq!(due.unworn[0].nearest.len(), 1);
    assert!(!due.unworn[0].nearest[0].refusals.is_empty());
}

#[test]
fn one_that_does_not_hold_is_left_out_and_named() {
    // 15 kN are what EN 361 asks of a harness; two persons of 120 kg pull with 2.354 kN, which makes 6.4.
    let things = with([harness().rated(&["body|15 kN|breaking"])]);
    let two = proposed(&job(|draft| draft.load = "2 persons".into()), &things);
    assert!(two.is_whole(), "{}", two.verdict.sentence);
    assert_eq!(worn(&two, &things), None);
    let said = &two.unworn[0].sentence;
    assert!(
        said.contains("with it the kit would not be strong enough"),
        "{said}"
    );
    assert!(
        two.verdict.sentence.starts_with(OPEN),
        "{}",
        two.verdict.sentence
    );
    let one = proposed(&job(|_| {}), &things);
    assert_eq!(worn(&one, &things).as_deref(), Some("W-1"));
}

#[test]
fn a_litter_is_taken_only_where_no_harness_may_go() {
    // The litter stands first by its mark.
    let things = with([litter(), harness()]);
    assert_eq!(
        worn(&proposed(&job(|_| {}), &things), &things).as_deref(),
        Some("W-1")
    );
    let things = with([litter()]);
    let lying = proposed(&job(|_| {}), &things);
    assert_eq!(worn(&lying, &things).as_deref(), Some("A-1"));
    let pick = lying
        .picks
        .iter()
        .find(|pick| pick.position == "harness")
        .unwrap();
    assert!(
        pick.why
            .join(" ")
            .contains("no harness may go here: a litter is taken"),
        "{pick:?}"
    );
}

#[test]
fn no_litter_is_taken_for_two_who_hang_on_the_rope_at_once() {
    let things = with([litter()]);
    let of = |case: &str| {
        let job = job(|draft| {
            draft.case = case.into();
            draft.load = String::new();
        });
        worn(&proposed(&job, &things), &things)
    };
    assert_eq!(of("two-persons"), None);
    assert_eq!(of("rescue").as_deref(), Some("A-1"));
}

#[test]
fn an_own_harness_is_not_asked_for_and_said_to_be_own() {
    let own = job(|draft| draft.own_harness = "yes".into());
    let things = with([harness()]);
    let proposal = proposed(&own, &things);
    assert_eq!(worn(&proposal, &things), None);
    assert!(proposal.unworn.is_empty() && proposal.is_whole());
    let said: KitVerdict = verdict(&own, &strong_kit());
    assert_eq!(said.outcome, Outcome::StrongEnough);
    assert!(
        said.sentence.starts_with(
            "Rig strong enough; the harness is the wearer's own and is not judged: of the rest, "
        ),
        "{}",
        said.sentence
    );
    assert!(said.unworn.unwrap().is_own);
    // One that is on the list all the same is judged, nothing is open, and it is said so.
    let worn = verdict(&own, &with([harness()]));
    assert!(worn.open.is_empty());
    let said = worn.unworn.unwrap().sentence;
    assert!(
        said.starts_with("On the list is harness W-1, which is judged.")
            && said.contains("take off the list what nobody hangs in"),
        "{said}"
    );
    // Of two people one hangs in what is on the list: what the other wears is not judged.
    let two = job(|draft| {
        draft.own_harness = "yes".into();
        draft.load = "2 persons".into();
    });
    let worn = verdict(&two, &with([harness()]));
    let said = worn.unworn.as_ref().unwrap();
    assert!(
        said.sentence.contains("the others' are their own"),
        "{}",
        said.sentence
    );
    assert_eq!(
        worn.open,
        ["the harnesses of the others are their own and are not judged"]
    );
}

#[test]
fn the_plan_keeps_that_the_harness_is_own() {
    let own = job(|draft| draft.own_harness = "yes".into());
    let draft = own.draft(&ropeloft::domain::Zone::UTC);
    assert_eq!(draft.own_harness, "yes");
    assert_eq!(
        draft
            .check(own.id, 1, &ropeloft::domain::Zone::UTC)
            .unwrap(),
        own
    );
    // Entries of before have no word on it.
    let written = serde_json::to_value(job(|_| {})).unwrap();
    assert!(written["setup"].get("own_harness").is_none());
}

on_both_databases! {
    async fn a_job_for_a_person_is_proposed_a_harness_or_says_that_there_is_none(world) {
        let things = strong_kit();
        world.shelve(&things).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "1 person"})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("6 items would do, without what a person hangs in"), "{page}");
        assert!(page.contains("No harness or litter may go here"), "{page}");
        assert!(page.contains(&format!("/jobs/{job}/edit#f-own_harness")), "{page}");
        let told = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        assert_eq!(told["unworn"][0]["position"], "harness", "{told}");
        let own = planned(&crew, json!({"load": "1 person", "own_harness": "yes"})).await;
        let page = crew.get(&format!("/jobs/{own}/proposal")).await.text;
        assert!(page.contains("6 items would do"), "{page}");
        assert!(page.contains("the harness is the wearer&#39;s own and is not judged") || page.contains("the harness is the wearer's own and is not judged"), "{page}");
        let form = crew.get(&format!("/jobs/{own}/edit")).await.text;
        let tick = form.split_once("id=\"f-own_harness\"").unwrap().1;
        assert!(tick.split('>').next().unwrap().contains("checked"), "{tick}");
        let verdict = crew.get(&format!("/jobs/{own}/verdict")).await.text;
        assert!(verdict.contains("wears an own harness, which is not in this register"), "{verdict}");
    }

    async fn the_harness_that_is_there_is_proposed(world) {
        world.shelve(&with([harness()])).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "1 person"})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("7 items would do") && page.contains("W-1"), "{page}");
    }

    async fn rigs_that_are_not_filled_say_why_in_a_line(world) {
        // Everything for the 4:1 but a pulley that captures.
        let mut things = strong_kit();
        things[1] = things[1].clone().with(&[("capture", "no")]);
        world.shelve(&things).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        let told = page.split_once("Rigs that the register does not fill now, and why").unwrap().1;
        let told = told.split_once("</details>").unwrap().0;
        assert!(told.contains("rig=tripod-with-belay-clamp") || page.contains("Not looked at"), "{page}");
        assert!(told.contains("Rope clamp below the head: no rope clamp may go there"), "{told}");
        assert!(told.contains("with 2 sheaves"), "{told}");
    }
}
