//! A rig in a form: what was typed becomes the sheet, its rows move, and every fault finds its field.

use proptest::prelude::*;
use ropeloft::{
    domain::{Acted, BodyDraft, ElementDraft, FieldErrors, RigDraft},
    rigging::{Rig, shipped, shipped_rig},
};

use crate::{rigging_sheet::ON_A_LINE, rigging_sheet_any::any_sheet};

#[test]
fn every_rig_is_the_same_through_the_form() {
    let on_a_line = Rig::parse(ON_A_LINE).unwrap();
    for rig in shipped().iter().chain([&on_a_line]) {
        let draft = RigDraft::from(&rig.sheet());
        assert_eq!(draft.check().unwrap(), *rig, "{}", rig.key());
        let mut named = draft.clone();
        named.name_all();
        assert_eq!(named, draft, "what has a key keeps it");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever a sheet says that a form can write, comes back; and no draft falls over.
    #[test]
    fn a_sheet_is_the_same_through_the_form(sheet in any_sheet()) {
        let draft = RigDraft::from(&sheet);
        let once = draft.sheet();
        prop_assert!(draft.check().is_ok() == once.clone().is_ok_and(|sheet| Rig::from_sheet(sheet).is_ok()));
        if let Ok(once) = once {
            let twice = RigDraft::from(&once).sheet().unwrap();
            prop_assert_eq!(twice, once);
        }
    }

    /// Any button on any draft is answered.
    #[test]
    fn any_act_is_answered(sheet in any_sheet(), asked in "(add|remove|up|down|x)? ?[a-z]{0,8}(\\[[0-9]{0,3}\\])?(\\[path\\]|\\[leg\\])?(\\[[0-9]\\])?") {
        let mut draft = RigDraft::from(&sheet);
        let before = draft.clone();
        if draft.act(&asked).is_none() {
            prop_assert_eq!(draft, before);
        }
    }
}

fn fields(wrong: &FieldErrors) -> Vec<&str> {
    wrong.0.iter().map(|error| error.field.as_str()).collect()
}

#[test]
fn every_number_and_word_that_cannot_be_read_is_told_at_its_field() {
    let mut draft = RigDraft::from(&Rig::parse(ON_A_LINE).unwrap().sheet());
    draft.body[0].kind = "wall".to_owned();
    draft.body[1].line_degrees = "steep".to_owned();
    draft.position[2].loaded = String::new();
    draft.rope[0].path[1].between_degrees = "30 grad".to_owned();
    draft.rope[0].path[2].sheave = "first".to_owned();
    draft.rope[0].path.push(ElementDraft::default());
    draft.line[0].span_metres = "30 yards".to_owned();
    draft.tripod[0].leg_degrees = "-4".to_owned();
    let wrong = draft.check().unwrap_err();
    assert_eq!(
        fields(&wrong),
        [
            "body[0][kind]",
            "body[1][line_degrees]",
            "position[2][loaded]",
            "rope[0][path][1][between_degrees]",
            "rope[0][path][2][sheave]",
            "rope[0][path][4][meets]",
            "line[0][span_metres]",
            "tripod[0][leg_degrees]",
        ]
    );
}

#[test]
fn numbers_are_read_as_people_write_them() {
    let mut draft = RigDraft::from(&Rig::parse(ON_A_LINE).unwrap().sheet());
    draft.rope[0].path[1].between_degrees = "12,5°".to_owned();
    draft.line[0].span_metres = "30 m".to_owned();
    draft.line[0].sag_metres = "330 yd".to_owned();
    assert_eq!(fields(&draft.check().unwrap_err()), ["line[0][sag_metres]"]);
    draft.line[0].sag_metres = "3,3".to_owned();
    let rig = draft.check().unwrap();
    assert_eq!(
        RigDraft::from(&rig.sheet()).rope[0].path[1].between_degrees,
        "12.5"
    );
}

#[test]
fn a_fault_of_the_sheet_is_told_at_the_field_of_the_form() {
    let wrong = |change: &dyn Fn(&mut RigDraft)| {
        let mut draft = RigDraft::from(&Rig::parse(ON_A_LINE).unwrap().sheet());
        change(&mut draft);
        let wrong = draft.check().unwrap_err();
        fields(&wrong).join(" ")
    };
    assert_eq!(wrong(&|draft| draft.title.clear()), "title");
    assert_eq!(wrong(&|draft| draft.limits = "x".repeat(700)), "limits");
    assert_eq!(
        wrong(&|draft| draft.rope[0].path[3].tied.clear()),
        "rope[0][path][3][tied]"
    );
    let wall = |draft: &mut RigDraft| draft.rope[0].path[3].tied = "body:wall".to_owned();
    assert_eq!(wrong(&wall), "rope[0][path][3][tied]");
    assert_eq!(
        wrong(&|draft| draft.chain[0].carries.clear()),
        "chain[0][carries]"
    );
    assert_eq!(
        wrong(&|draft| draft.rope[0].path[2].position.clear()),
        "rope[0][path][2][position]"
    );
    assert_eq!(
        wrong(&|draft| draft.chain[0].positions.clear()),
        "chain[0][positions]"
    );
    assert_eq!(
        wrong(&|draft| draft.body[1].kind = "anchor".to_owned()),
        "body"
    );
    assert_eq!(
        wrong(&|draft| draft.rope[0].path.truncate(3)),
        "rope[0][path][2]"
    );
}

#[test]
fn rows_are_added_removed_and_moved() {
    let mut draft = RigDraft::from(&shipped_rig("three-to-one").unwrap().sheet());
    let keys = |draft: &RigDraft| -> Vec<String> {
        draft.body.iter().map(|body| body.key.clone()).collect()
    };
    let at = |row: &str| Some(Acted(row.to_owned()));
    assert_eq!(draft.act("up body[2]"), at("body[1]"));
    assert_eq!(keys(&draft), ["anchor", "load", "traveller"]);
    assert_eq!(draft.act("down body[1]"), at("body[2]"));
    assert_eq!(draft.act("add body"), at("body[3]"));
    assert_eq!(draft.body[3], BodyDraft::default());
    assert_eq!(draft.act("remove body[0]"), at("body[0]"));
    assert_eq!(keys(&draft), ["traveller", "load", ""]);
    for nothing in [
        "up body[0]",
        "down body[2]",
        "remove body[3]",
        "add walls",
        "remove body",
        "",
        "up rope[0][path][0]",
        "add rope[1][path]",
        "add body[0][leg]",
    ] {
        assert_eq!(draft.act(nothing), None, "{nothing}");
    }
    // A new thing goes before the made end.
    assert_eq!(draft.rope[0].path.len(), 5);
    assert_eq!(draft.act("add rope[0][path]"), at("rope[0][path][4]"));
    assert_eq!(draft.rope[0].path[4], ElementDraft::default());
    assert_eq!(draft.rope[0].path[5].meets, "end");
    assert_eq!(draft.act("remove rope[0][path][4]"), at("rope[0][path][4]"));
    assert_eq!(draft.act("remove rope[0][path][4]"), at("rope[0][path]"));
    assert_eq!(draft.act("add bridle"), at("bridle[0]"));
    assert_eq!(draft.bridle[0].leg.len(), 2);
    assert_eq!(draft.act("add bridle[0][leg]"), at("bridle[0][leg][2]"));
    let most = (0..200)
        .filter(|_| draft.act("add chain").is_some())
        .count();
    assert_eq!(draft.chain.len(), 60, "{most} were added");
}

#[test]
fn what_has_no_key_gets_one_from_its_title() {
    let mut draft = RigDraft::blank();
    draft.title = "Our 3:1 for the PUMP well!".to_owned();
    for title in ["The anchor", "The  Ánchor", "***"] {
        draft.body.push(BodyDraft {
            title: title.to_owned(),
            ..BodyDraft::default()
        });
    }
    draft.name_all();
    assert_eq!(draft.key, "our-3-1-for-the-pump-well");
    let keys: Vec<&str> = draft.body.iter().map(|body| body.key.as_str()).collect();
    assert_eq!(keys, ["anchor", "load", "the-anchor", "the-nchor", ""]);
}

#[test]
fn a_blank_rig_lacks_only_what_a_person_must_say() {
    let mut draft = RigDraft::blank();
    let wrong = draft.check().unwrap_err();
    assert_eq!(fields(&wrong), ["key", "title", "when"]);
    draft.title = "One rope".to_owned();
    draft.when = "In a test.".to_owned();
    draft.name_all();
    let rig = draft.check().unwrap();
    assert_eq!(rig.strands_at_load(), 1);
}
