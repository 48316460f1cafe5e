//! What a thing is made of: where nobody wrote it down and the kind does not tell, it is judged at the cautious end.

use ropeloft::domain::rulebook::rulebook;
use ropeloft::domain::{Kind, Made, Material, ModelDraft, ModelId, RefusalCode, life};

use time::macros::date;

use crate::fitness_case::{Case, Thing};

/// The same thing with this material; the maker says nothing of its life.
fn made_of(mut thing: Thing, material: &str) -> Thing {
    let draft = ModelDraft {
        material: material.into(),
        life_years_from_made: String::new(),
        ..thing.model.draft()
    };
    thing.model = draft.check(thing.model.id, 1).unwrap();
    thing
}

fn anchor(strength: &str) -> Thing {
    let strength = format!("body|{strength}|breaking");
    Thing::new(Kind::AnchorDevice, "A-1", &["EN 795|B"], &[&strength]).at("anchor")
}

#[test]
fn an_anchor_of_which_the_material_is_not_known_is_held_to_the_minimum_of_textile() {
    // EN 795:2012, read: 12 kN of metal, 18 kN where the load path is not.
    Case::of(made_of(anchor("18 kN"), "")).is_fit();
    let refused = Case::of(made_of(anchor("17.9 kN"), "")).refused(&[RefusalCode::StrengthBelowMinimum]);
    assert!(
        refused[0]
            .sentence
            .contains("18 kN (material not on record; taken as textile)"),
        "{}",
        refused[0].sentence
    );
    Case::of(made_of(anchor("12 kN"), "metal")).is_fit();
    Case::of(made_of(anchor("11.9 kN"), "metal")).refused(&[RefusalCode::StrengthBelowMinimum]);
    // Where it is on record, nothing is said of what was taken.
    let known = Case::of(made_of(anchor("17.9 kN"), "textile")).refused(&[RefusalCode::StrengthBelowMinimum]);
    assert!(!known[0].sentence.contains("not on record"), "{}", known[0].sentence);
}

#[test]
fn its_life_is_that_of_textile() {
    for kind in [Kind::AnchorDevice, Kind::BackUpDevice, Kind::Litter, Kind::Sling, Kind::Lanyard] {
        let thing = |material: &str, made: &str| {
            let mut thing = made_of(Thing::new(kind, "X-1", &[], &[]), material);
            thing.item.made = Some(Made::read(made).unwrap());
            thing
        };
        let ends = |thing: &Thing| life(&thing.item, &thing.model, rulebook("european").unwrap()).ends_on();
        assert_eq!(ends(&thing("", "2016-03-12")), Some(date!(2026 - 03 - 12)), "{kind:?}");
        assert_eq!(ends(&thing("textile", "2016-03-12")), Some(date!(2026 - 03 - 12)), "{kind:?}");
        assert_eq!(ends(&thing("metal", "2016-03-12")), None, "{kind:?}");
        // A life that ends on the last day of the job ends before it.
        let past = |made: &str| Case::of(thing("", made)).codes().contains(&RefusalCode::PastLife);
        assert!(past("2016-03-12") && !past("2016-03-13"), "{kind:?}");
        let refusals = Case::of(thing("", "2016-03-12")).refusals();
        let said = refusals.iter().find(|one| one.code == RefusalCode::PastLife).unwrap();
        assert!(
            said.rule.to_string().contains("material not on record; taken as textile"),
            "{}",
            said.rule
        );
    }
}

#[test]
fn only_what_is_metal_by_its_kind_is_taken_as_metal() {
    for kind in Kind::ALL {
        let draft = ModelDraft {
            kind: kind.key().into(),
            maker: "Fjordwerk".into(),
            name: "One".into(),
            life_support: "yes".into(),
            ..ModelDraft::default()
        };
        let model = draft.check(ModelId::new(), 1).unwrap();
        let is_metal = matches!(
            kind,
            Kind::Pulley
                | Kind::RopeClamp
                | Kind::Connector
                | Kind::Descender
                | Kind::Tripod
                | Kind::Swivel
                | Kind::RiggingPlate
                | Kind::OtherEquipment
        );
        assert_eq!(model.material == Material::Metal, is_metal, "{kind:?}");
        assert_eq!(model.material_open, kind.is_of_several_materials(), "{kind:?}");
        if model.material_open {
            assert_eq!(model.made_of(), "material not on record; taken as textile");
        }
        // What was not said is not said after a change either, and what was stays.
        assert_eq!(model.draft().check(model.id, 1).unwrap(), model);
        let said = ModelDraft { material: "plastic".into(), ..draft };
        let said = said.check(ModelId::new(), 1).unwrap();
        assert_eq!((said.made_of().as_str(), said.material_open), ("plastic", false));
        assert_eq!(said.draft().material, "plastic");
    }
}
