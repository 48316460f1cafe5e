//! Columns called after a becket: whether there is one, or what it holds.

use ropeloft::{
    deed::{
        Desk,
        import::{ImportFile, look, take},
    },
    import::{Answers, Field, Question, ReadIn, Target, Unit},
    rigging::{LoadingMode, StrengthKind},
};
use serde_json::json;

use crate::import_inventory::{rehearsed, said};

const STRENGTH: Field = Field::Strength(StrengthKind::Breaking, Some(LoadingMode::Becket));

const LIST: &str = "Tag;Type;Maker;Model;Serial;Store;Made;MBS (kN);Sheaves;Efficiency;Becket\n\
    P-1;Pulley;F;Twin;1;B;2022;36;2;0,92;18\n\
    P-2;Pulley;F;Twin;2;B;2022;36;2;0,92;18\n\
    P-3;Pulley;F;Solo;3;B;2022;36;1;0,92;no\n";

/// The sentence, the likely fields and whether something is wrong.
fn asked(list: &str, answers: &Answers) -> Vec<(String, Vec<Field>)> {
    let rehearsal = rehearsed("x.csv", list.as_bytes(), answers);
    assert_eq!(rehearsal.errors, []);
    let questions = rehearsal.questions.iter();
    let asked = questions.map(|question| match question {
        Question::Heading { suggestions, .. } => (question.sentence(), suggestions.clone()),
        other => (other.sentence(), Vec::new()),
    });
    asked.collect()
}

fn answered() -> Answers {
    let mut answers = said();
    let becket = "Becket".to_owned();
    let strength = Target::Field(STRENGTH);
    answers.headings.insert(becket.clone(), strength);
    let unit = Unit::from_words("kN").unwrap();
    answers.units.insert(becket, unit);
    answers
}

#[test]
fn numbers_under_becket_are_asked_about_once_and_may_be_its_strength() {
    let asked = asked(LIST, &said());
    let [(sentence, suggestions)] = asked.as_slice() else {
        panic!("{asked:?}");
    };
    assert_eq!(suggestions.first(), Some(&STRENGTH));
    assert!(
        sentence.contains("What is the column \"Becket\" (K, 3 cells, such as \"18\")")
            && sentence.contains("Guessed to be \"Breaking strength by its becket\""),
        "{sentence}"
    );
}

#[test]
fn a_heading_or_a_cell_with_a_unit_says_it_and_yes_and_no_stay_what_they_are() {
    let headed = LIST.replace("Becket\n", "Becket (kN)\n");
    let mixed = LIST
        .replace(";18\n", ";yes\n")
        .replacen(";yes\n", ";18 kN\n", 1);
    for list in [headed, mixed] {
        let rehearsal = rehearsed("x.csv", list.as_bytes(), &said());
        assert_eq!((rehearsal.questions, rehearsal.errors), (vec![], vec![]));
        let models = rehearsal.plan.unwrap().models;
        let told = models.iter().map(|model| {
            let ratings = model.draft.ratings.iter();
            let becket = ratings.filter(|one| one.mode == "becket");
            let holds: Vec<&str> = becket.map(|one| one.value.as_str()).collect();
            (model.draft.attributes["becket"].as_str(), holds)
        });
        let mut told: Vec<_> = told.collect();
        told.sort();
        assert_eq!(told, [("no", vec![]), ("yes", vec!["18 kN"])], "{list}");
    }
    // Where most cells say yes or no, a number alone is an error that tells what it may be.
    let list = LIST.replacen(";18\n", ";yes\n", 1);
    let rehearsal = rehearsed("x.csv", list.as_bytes(), &said());
    let [error] = rehearsal.errors.as_slice() else {
        panic!("{:?}", rehearsal.errors);
    };
    assert_eq!(
        error.message,
        "Write yes or no, not \"18\". If it is what the becket holds, write the unit behind it, such as 18 kN, or say that the column is \"Breaking strength by its becket\"."
    );
}

on_both_databases! {
    async fn whose_becket_has_a_strength_is_not_asked_whether_it_has_one(world) {
        world.hold_competent().await;
        let desk = Desk {
            database: world.database.clone(),
            clock: world.clock.clone(),
            files: world.files(),
        };
        let asks = async |file: &ImportFile| {
            let told = look(&desk, &world.officer, file).await.unwrap().foretold.unwrap();
            let codes = told.at_positions.into_iter().map(|one| one.code);
            codes.filter(|code| code.starts_with("becket")).collect::<Vec<_>>()
        };
        let without = LIST.replace(";18\n", ";\n");
        let mut file = ImportFile {
            answers: answered(),
            ..ImportFile::new("gear.csv", without.into_bytes())
        };
        assert_eq!(asks(&file).await, ["becket-unknown"]);
        // Said of the model it answers the same.
        let fields = file.answers.models.entry("F Twin".to_owned()).or_default();
        fields.insert("breaking-strength-becket".to_owned(), "18 kN".to_owned());
        file.answers.source = Some(ReadIn::Paper);
        assert_eq!(asks(&file).await, Vec::<&str>::new());
        let file = ImportFile {
            answers: answered(),
            ..ImportFile::new("gear.csv", LIST.as_bytes().to_vec())
        };
        assert_eq!(asks(&file).await, Vec::<&str>::new());
        take(&desk, &world.officer, &file).await.unwrap();
        let models = world.visitor(&world.officer).await.get("/api/v1/models").await.json();
        let rows = models["rows"].as_array().unwrap().iter();
        let twin = rows.clone().find(|one| one["name"] == "Twin").unwrap();
        assert_eq!(twin["attributes"]["becket"], json!({"yes-no": true}), "{twin}");
        let solo = rows.clone().find(|one| one["name"] == "Solo").unwrap();
        assert_eq!(solo["attributes"]["becket"], json!({"yes-no": false}), "{solo}");
    }
}
