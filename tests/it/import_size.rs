//! A column of sizes, and what remarks say of ropes: read by the kind of gear, and shown where it was read.

use ropeloft::deed::{
    Desk,
    import::{ImportFile, take},
};
use ropeloft::domain::Value;
use ropeloft::import::{Answers, Stated};

use crate::import_inventory::{rehearsed, said};

const LIST: &str = "\
Asset,Item,Brand,Product,In use since,Min. breaking load,Conforms to,Size,Kept at,Notes
W-1,Rope,Hall,Lay 11,2024-12-19,32 kN,EN 1891-A,11 mm x 100 m,Unit 1,\"low stretch, elongation 3.2 %\"
W-2,Rope,Hall,Lay 11,2024-12-19,32 kN,EN 1891-A,11 mm x 60 m,Unit 1,\"low stretch, elongation 3.2 %\"
W-3,Double pulley with becket,Corrie,Duo,2024-12-19,36 kN,EN 12278,rope up to 13 mm,Unit 1,
W-4,Rope clamp,Lint,Grip,2024-12-19,,EN 567,8-13 mm,Unit 1,
W-5,Descender,Lint,Low,2024-12-19,,EN 12841 C,10.5 - 11.5,Unit 1,
W-6,Tape sling 120 cm,Hall,Loop,2024-12-19,22 kN,EN 566,1.2 m,Unit 1,
W-7,Tripod,Bram,Tri,2024-12-19,22 kN,EN 795 B,2.3 m,Unit 1,
";

#[test]
fn a_size_is_read_and_told_and_can_be_left_out() {
    let rehearsal = rehearsed("x.csv", LIST.as_bytes(), &said());
    let told: Vec<&str> = rehearsal
        .remarks
        .iter()
        .map(|one| one.sentence.as_str())
        .collect();
    for sentence in [
        "Read from \"11 mm x 100 m\" under \"Size\": nominal diameter 11 mm, length now 100 m.",
        "Read from \"low stretch, elongation 3.2 %\" under \"Notes\": rope kind low-stretch, elongation in % 3.2.",
        "Read from \"rope up to 13 mm\" under \"Size\": thickest rope 13 mm.",
        "Read from \"8-13 mm\" under \"Size\": thinnest rope 8 mm, thickest rope 13 mm.",
        "Read from \"10.5 - 11.5\" under \"Size\": thinnest rope 10.5 mm, thickest rope 11.5 mm.",
        "Read from \"1.2 m\" under \"Size\": length now 1.2 m.",
        "Read from \"2.3 m\" under \"Size\": height under the head 2.3 m.",
    ] {
        assert!(told.contains(&sentence), "{sentence}: {told:#?}");
    }
    assert!(
        told.iter()
            .all(|one| !one.starts_with("Nobody writes down \"Size\"")),
        "{told:#?}"
    );
    let answers = Answers {
        stated: Some(Stated::LeaveOut),
        ..said()
    };
    let rehearsal = rehearsed("x.csv", LIST.as_bytes(), &answers);
    let read = |one: &ropeloft::import::Remark| one.sentence.starts_with("Read from");
    assert!(
        !rehearsal.remarks.iter().any(read),
        "{:?}",
        rehearsal.remarks
    );
}

on_both_databases! {
    async fn what_a_size_says_stands_on_the_records(world) {
        world.hold_competent().await;
        let file = ImportFile {
            answers: said(),
            ..ImportFile::new("list.csv", LIST.as_bytes().to_vec())
        };
        let desk = Desk { database: world.database.clone(), clock: world.clock.clone(), files: world.files() };
        assert_eq!(take(&desk, &world.officer, &file).await.unwrap().items, 7);
        let mut tx = world.database.read(world.team).await.unwrap();
        let rope = tx.item_marked("W-2").await.unwrap().unwrap();
        assert_eq!(rope.attributes.length("length").unwrap().to_string(), "60 m");
        let model = tx.model(rope.model).await.unwrap().unwrap();
        assert_eq!(model.attributes.length("diameter").unwrap().to_string(), "11 mm");
        assert_eq!(model.attributes.0["elongation"], Value::Number(3.2));
        let pulley = tx.item_marked("W-3").await.unwrap().unwrap();
        let model = tx.model(pulley.model).await.unwrap().unwrap();
        let range = model.approvals[0].rope_range.unwrap();
        assert_eq!((range.least, range.lacks()), (None, Some("thinnest")));
        assert_eq!(range.most.unwrap().to_string(), "13 mm");
    }
}
