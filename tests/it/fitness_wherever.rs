//! What any job refuses an item for, wherever it is to go: the same reasons as at a position, told before.

use ropeloft::domain::{
    Item, Mend, Model, Refusal, RefusalCode, Zone,
    fitness::{Head, Own, Plan, rope_sum, wherever},
    kit_strength::gaps_of,
    rulebook::rulebook,
};

use ropeloft::rigging::shipped_rig;
use time::Date;

use crate::fitness_case::{Case, TODAY, Thing, foot, full_kit, head, helmet, job, rope};

/// What speaks against an item of its own under the European rulebook.
pub fn own_reasons(item: &Item, model: &Model, today: Date) -> Vec<Refusal> {
    wherever(&Own {
        item,
        model,
        rulebook: rulebook("european").unwrap(),
        home: None,
        notices: &[],
        closings: &[],
        still_open: &[],
        today,
        job_end: None,
        zone: &Zone::UTC,
    })
}

fn refused(thing: &Thing) -> Vec<Refusal> {
    own_reasons(&thing.item, &thing.model, TODAY)
}

fn codes(thing: &Thing) -> Vec<RefusalCode> {
    refused(thing).iter().map(|refusal| refusal.code).collect()
}

/// The thing without anything that somebody would have to write down.
fn bare(mut thing: Thing) -> Thing {
    thing.model.approvals.clear();
    thing.model.ratings.clear();
    thing.model.attributes.0.clear();
    thing.model.life_support = false;
    thing.item.attributes.0.clear();
    thing.item.serial = None;
    thing.item.lot = None;
    thing.item.made = None;
    thing.item.markings_readable = None;
    thing.item.last_passed_on = None;
    thing
}

#[test]
fn what_is_fit_for_a_job_is_refused_by_none() {
    for thing in full_kit().iter().chain([&helmet()]) {
        assert_eq!(refused(thing), [], "{}", thing.item.mark);
    }
}

#[test]
fn what_every_job_refuses_is_told_without_a_job() {
    use RefusalCode as Code;
    let own = [
        Code::LifeUnknown,
        Code::NeverExamined,
        Code::SerialUnknown,
        Code::MadeUnknown,
        Code::MarkingsUnknown,
        Code::NotLifeSupport,
    ];
    let pulley = [
        &own[..],
        &[Code::LacksPart, Code::NotApproved, Code::StrengthUnknown],
    ]
    .concat();
    assert_eq!(codes(&bare(foot())), pulley);
    let kernmantle = [
        &own[..],
        &[
            Code::NotApproved,
            Code::RopeDiameter,
            Code::RopeKind,
            Code::RopeTooShort,
            Code::StrengthUnknown,
        ],
    ]
    .concat();
    assert_eq!(codes(&bare(rope())), kernmantle);
}

#[test]
fn every_such_reason_is_one_that_a_job_gives() {
    for thing in full_kit() {
        let thing = bare(thing);
        let at_its_position = Case::of(thing.clone()).codes();
        for code in codes(&thing) {
            // What grips it is not on the list yet, so a job cannot say that its kind matters.
            let by_another = code == RefusalCode::RopeKind;
            assert!(
                by_another || at_its_position.contains(&code),
                "{}: {code:?} of {at_its_position:?}",
                thing.item.mark
            );
        }
    }
}

#[test]
fn each_reason_names_the_record_that_would_mend_it() {
    let thing = bare(foot());
    let (item, model) = (thing.item.id, thing.model.id);
    for refusal in refused(&thing) {
        let mend = match refusal.code {
            RefusalCode::NeverExamined | RefusalCode::MarkingsUnknown => Mend::Examination(item),
            RefusalCode::SerialUnknown | RefusalCode::MadeUnknown | RefusalCode::LifeUnknown => {
                Mend::ItemRecord(item)
            }
            _ => Mend::ModelRecord(model),
        };
        assert_eq!(refusal.mend, Some(mend), "{:?}", refusal.code);
    }
}

#[test]
fn what_the_verdict_would_lack_is_told_of_each_item_alone_and_all_at_once() {
    let job = job(|_| {});
    let plan = Plan::of(&job).unwrap();
    let lacks = |thing: &Thing| -> Vec<&str> {
        let gaps = gaps_of(&plan, &thing.kit_item(), &[]);
        assert!(gaps.iter().all(
            |gap| gap.mend_of_model(thing.model.id) == Some(Mend::ModelRecord(thing.model.id))
        ));
        gaps.iter().map(|gap| gap.code).collect()
    };
    for thing in full_kit() {
        assert_eq!(lacks(&thing), [""; 0], "{}", thing.item.mark);
    }
    let mut head = head();
    head.model.attributes.0.remove("efficiency");
    head.model.attributes.0.remove("one-way-sheave");
    head = head.rated(&["axle|22 kN|breaking"]);
    assert_eq!(lacks(&head), ["no-efficiency", "no-turning", "no-rating"]);
    let refusals = Case::of(head.clone()).refusals();
    let gaps = gaps_of(&plan, &head.kit_item(), &refusals);
    assert_eq!(gaps.len(), 2, "the becket is refused already: {gaps:?}");
    let mut spare = head;
    spare.position = None;
    assert_eq!(lacks(&spare), [""; 0]);
}

#[test]
fn the_length_of_a_rope_is_shown_as_a_sum() {
    // 4 x (15 + 2.1 - 0.6) + 3 + 1 = 70.
    let four = job(|_| {});
    let rig = shipped_rig(&four.rig).unwrap();
    let sum = rope_sum(&four, rig, &Head::planned(&four), "rope");
    assert_eq!(
        sum.as_deref(),
        Some(
            "4 strands x (15 m depth + 2.1 m above the edge - 0.6 m pulleys and connectors) + 3 m tail + 1 m knots = 70.0 m"
        )
    );
    let in_feet = job(|draft| draft.depth = "50 ft".into());
    // 50 ft are 15.24 m: 4 x 16.74 + 4 = 70.96.
    let sum = rope_sum(&in_feet, rig, &Head::planned(&in_feet), "rope").unwrap();
    assert!(
        sum.starts_with("4 strands x (50 ft depth") && sum.ends_with("= 71.0 m"),
        "{sum}"
    );
    assert_eq!(
        rope_sum(&four, rig, &Head::planned(&four), "no such rope"),
        None
    );
}

#[test]
fn the_sum_is_known_for_every_rope_of_every_rig() {
    for rig in ropeloft::rigging::shipped() {
        let job = job(|draft| {
            draft.rig = rig.key().into();
            draft.throw = "3 m".into();
            draft.between_anchors = "2 m".into();
        });
        let plan = Plan::of(&job).unwrap();
        for rope in &plan.rope.as_ref().unwrap().ropes {
            let sum = rope_sum(&job, rig, &Head::planned(&job), &rope.rope)
                .unwrap_or_else(|| panic!("{}: {}", rig.key(), rope.rope));
            let end = format!("= {:.1} m", rope.length.metres());
            assert!(sum.ends_with(&end), "{}: {sum}", rig.key());
        }
    }
}
