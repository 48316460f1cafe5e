//! The words by which an item is found.

use std::collections::BTreeSet;

use super::{StoreError, WriteTx, tx::change_any};
use crate::domain::{Item, ItemId, finding_words};

/// The words of its mark, serial and lot. Those of its model are looked for in the model.
fn words_of(item: &Item) -> BTreeSet<String> {
    let texts = [Some(&item.mark), item.serial.as_ref(), item.lot.as_ref()];
    texts
        .into_iter()
        .flatten()
        .flat_map(|text| finding_words(text))
        .collect()
}

/// The end of the range of words that begin so: no word holds the last character there is.
pub(super) fn end_of_range(word: &str) -> String {
    format!("{word}{}", char::MAX)
}

impl WriteTx {
    pub(super) async fn add_words(&mut self, items: &[Item]) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO item_word (team_id, item_id, word)
            VALUES ";
        let team = self.team.0;
        let words = items.iter().flat_map(|item| {
            let words = words_of(item).into_iter();
            words.map(|word| vec![team.into(), item.id.0.into(), word.into()])
        });
        self.insert(SQL, words.collect(), "").await
    }

    pub(super) async fn drop_words(&mut self, item: ItemId) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM item_word
             WHERE team_id = $1
               AND item_id = $2";
        let team = self.team;
        change_any!(self.conn, SQL, team.0, item.0).map(drop)
    }
}
