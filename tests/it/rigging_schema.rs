//! The schema of a rig's sheet says what the reader says.

use jsonschema::Validator;
use proptest::prelude::*;
use ropeloft::rigging::{ITEM_KINDS, LoadingMode, RIG_SCHEMA, Rig, Sheet, knots, shipped};
use serde_json::{Value, json};

use crate::{rigging_sheet::ON_A_LINE, rigging_sheet_any::any_sheet};

fn schema() -> Value {
    serde_json::from_str(RIG_SCHEMA).unwrap()
}

fn validator() -> Validator {
    jsonschema::draft202012::new(&schema()).unwrap()
}

fn sheets() -> Vec<Value> {
    let on_a_line = Rig::parse(ON_A_LINE).unwrap();
    let rigs = shipped().iter().chain([&on_a_line]);
    rigs.map(|rig| serde_json::to_value(rig.sheet()).unwrap())
        .collect()
}

#[test]
fn the_schema_is_one_and_takes_every_rig_that_ships() {
    jsonschema::meta::validate(&schema()).unwrap();
    let validator = validator();
    for sheet in sheets() {
        let wrong: Vec<String> = validator
            .iter_errors(&sheet)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }
}

#[test]
fn its_lists_of_words_are_those_of_the_reader() {
    let schema = schema();
    let words = |pointer: &str| schema.pointer(pointer).unwrap().clone();
    let position = "/$defs/position/properties";
    assert_eq!(
        words(&format!("{position}/accepts/items/enum")),
        json!(ITEM_KINDS)
    );
    assert_eq!(
        words(&format!("{position}/loaded/enum")),
        json!(LoadingMode::ALL.map(LoadingMode::key))
    );
    let knots: Vec<&str> = knots().iter().map(|knot| knot.key.as_str()).collect();
    assert_eq!(
        words("/$defs/element/oneOf/4/properties/knot/enum"),
        json!(knots)
    );
}

/// Every way to an object of a sheet, and to every field of one.
fn ways(value: &Value, way: &str, objects: &mut Vec<String>, fields: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            objects.push(way.to_owned());
            for (name, value) in map {
                let way = format!("{way}/{name}");
                fields.push(way.clone());
                ways(value, &way, objects, fields);
            }
        }
        Value::Array(list) => {
            for (at, value) in list.iter().enumerate() {
                ways(value, &format!("{way}/{at}"), objects, fields);
            }
        }
        _ => {}
    }
}

/// Whether the reader takes it; what it says of how the parts go together is not the schema's.
fn is_read(sheet: &Value) -> bool {
    let sheet = serde_json::from_value::<Sheet>(sheet.clone());
    sheet.is_ok_and(|sheet| Rig::from_sheet(sheet).is_ok())
}

#[test]
fn a_name_that_nobody_knows_is_refused_by_both() {
    let validator = validator();
    for sheet in sheets() {
        let (mut objects, mut fields) = (Vec::new(), Vec::new());
        ways(&sheet, "", &mut objects, &mut fields);
        for way in objects {
            let mut other = sheet.clone();
            let object = other.pointer_mut(&way).unwrap().as_object_mut().unwrap();
            object.insert("other".to_owned(), json!("x"));
            assert!(!validator.is_valid(&other) && !is_read(&other), "{way}");
        }
    }
}

#[test]
fn what_is_left_out_or_of_another_kind_is_taken_by_the_schema_if_the_reader_takes_it() {
    let validator = validator();
    for sheet in sheets() {
        let (mut objects, mut fields) = (Vec::new(), Vec::new());
        ways(&sheet, "", &mut objects, &mut fields);
        for way in fields {
            let (parent, name) = way.rsplit_once('/').unwrap();
            let mut less = sheet.clone();
            less.pointer_mut(parent)
                .unwrap()
                .as_object_mut()
                .unwrap()
                .remove(name);
            let (valid, read) = (validator.is_valid(&less), is_read(&less));
            assert!(valid || !read, "without {way}");
            for wrong in [json!({}), json!(-1), json!(1e9)] {
                let mut other = sheet.clone();
                *other.pointer_mut(&way).unwrap() = wrong.clone();
                assert!(
                    !validator.is_valid(&other) && !is_read(&other),
                    "{way} as {wrong}"
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// What the reader takes, the schema takes; what the schema refuses, the reader refuses.
    #[test]
    fn what_the_schema_refuses_is_no_rig(sheet in any_sheet()) {
        let value = serde_json::to_value(&sheet).unwrap();
        if !validator().is_valid(&value) {
            prop_assert!(Rig::from_sheet(sheet).is_err(), "{}", value);
        }
    }
}
