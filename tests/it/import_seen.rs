//! Markings that the examiner of each row has seen, by the word of whoever brings the list in.

use ropeloft::{
    deed::import::take,
    import::{Seen, SeenOf},
};
use time::macros::date;

use crate::{import_foretold::file, import_inventory::said, item_given::OUTSIDE};

on_both_databases! {
    async fn the_examiner_of_each_row_may_have_seen_its_markings(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let mut answers = said();
        answers.seen.insert(SeenOf::MarkingsUnknown, Seen { each: true, ..Seen::default() });
        assert!(answers.check(date!(2026 - 03 - 01)).is_ok());
        take(&desk, &world.officer, &file(answers)).await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        // A row without an examination stays as it is.
        for (mark, readable) in [("R-1", Some(true)), ("R-2", None), ("R-3", Some(true)), ("K-1", Some(true))] {
            let item = tx.item_marked(mark).await.unwrap().unwrap();
            assert_eq!(item.markings_readable, readable, "{mark}");
        }
        let note = tx.item_marked("R-3").await.unwrap().unwrap().note;
        let line = format!("Markings seen and readable: {OUTSIDE}, 2023-12-01, as the examiner of this item; a statement of The equipment officer of the north, who brought the list in.");
        assert_eq!(note, line);
        drop(tx);
        // Nobody signs by leaving fields as they came.
        let mut answers = said();
        answers.seen.insert(SeenOf::MarkingsUnknown, Seen::default());
        let wrong = answers.check(date!(2026 - 03 - 01)).unwrap_err();
        for end in ["by", "on"] {
            assert!(wrong.on(&format!("seen[markings-unknown][{end}]")).next().is_some(), "{wrong:?}");
        }
    }
}
