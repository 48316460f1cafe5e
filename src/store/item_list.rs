//! The list of items: searched, filtered, sorted, page by page.

use time::Date;
use uuid::Uuid;

use super::{
    Cursor, Direction, Page, StoreError, Tx,
    item_word::end_of_range,
    model::{MOST_WORDS, holding},
    page, record,
    statement::{Statement, find_by},
    tx::ask,
};
use crate::domain::{Item, ItemState, Kind, ModelId, StoreId, date::write_day, words};

/// Which items are listed. What is not set leaves all in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ItemFilter {
    /// Words, each of which must begin a word of the item's mark, serial or lot, or stand in its model's name.
    pub search: String,
    /// Of this kind alone.
    pub kind: Option<Kind>,
    /// Of this model alone.
    pub model: Option<ModelId>,
    /// In this store alone.
    pub store: Option<StoreId>,
    /// In this state alone.
    pub state: Option<ItemState>,
    /// Without the retired ones.
    pub without_retired: bool,
    /// Due before this day; retired ones fall due no more.
    pub due_before: Option<Date>,
}

/// What the list is sorted by; the mark decides between equals, or else the id.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ItemSort {
    /// The team's own mark.
    #[default]
    Mark,
    /// The next due day; those that have none come last.
    Due,
    /// The kind, then the mark.
    Kind,
    /// The day made; those where it is not known come last.
    Made,
}

#[derive(sqlx::FromRow)]
struct ItemRow {
    id: Uuid,
    kind: String,
    mark_folded: String,
    due_order: String,
    made_order: String,
    record: String,
}

impl ItemSort {
    fn cursor(self, row: &ItemRow) -> Cursor {
        let key = match self {
            Self::Mark => vec![row.mark_folded.clone()],
            Self::Due => vec![row.due_order.clone()],
            Self::Kind => vec![row.kind.clone(), row.mark_folded.clone()],
            Self::Made => vec![row.made_order.clone()],
        };
        Cursor::new(key, row.id)
    }

    /// The columns that are sorted by, without the id.
    fn columns(self) -> &'static str {
        match self {
            Self::Mark => "i.mark_folded",
            Self::Due => "i.due_order",
            Self::Kind => "i.kind, i.mark_folded",
            Self::Made => "i.made_order",
        }
    }

    fn order(self, direction: Direction) -> &'static str {
        match self {
            Self::Mark => direction.either(
                " ORDER BY i.mark_folded, i.id",
                " ORDER BY i.mark_folded DESC, i.id DESC",
            ),
            Self::Due => direction.either(
                " ORDER BY i.due_order, i.id",
                " ORDER BY i.due_order DESC, i.id DESC",
            ),
            Self::Kind => direction.either(
                " ORDER BY i.kind, i.mark_folded, i.id",
                " ORDER BY i.kind DESC, i.mark_folded DESC, i.id DESC",
            ),
            Self::Made => direction.either(
                " ORDER BY i.made_order, i.id",
                " ORDER BY i.made_order DESC, i.id DESC",
            ),
        }
    }
}

/// So many items at most, and a word's items are looked up first; more, and the list is walked in its order and each
/// item asked for the word. Either way a page costs no more than a few thousand steps.
const RARE: u32 = 1000;

/// How a word is looked for.
struct Wanted {
    word: String,
    /// At most [`RARE`] items have a word that begins so.
    rare: bool,
    /// Some items have it.
    in_items: bool,
    /// Some model's name holds it.
    in_models: bool,
}

impl Tx {
    /// A page of items after `after`.
    ///
    /// # Errors
    /// [`StoreError::Cursor`] if the cursor belongs to another sort.
    pub async fn items(
        &mut self,
        filter: &ItemFilter,
        (sort, direction): (ItemSort, Direction),
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Item>, StoreError> {
        let mut statement = Statement::new(
            "SELECT i.id, i.kind, i.mark_folded, i.due_order, i.made_order, i.record
               FROM item i
              WHERE i.team_id = ",
        );
        statement.bind(self.team.0);
        let mut leads = filter.model.is_some() || filter.store.is_some();
        for word in words_wanted(&filter.search) {
            let wanted = self.look_up(word).await?;
            leads |= wanted.rare;
            self.push_word(&mut statement, wanted);
        }
        push_filter(&mut statement, filter, leads);
        if let Some(after) = after {
            push_after(&mut statement, sort, direction, after)?;
        }
        statement.sql(sort.order(direction));
        page::limit(&mut statement, limit);
        let rows: Vec<ItemRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| sort.cursor(row),
            |row| record::read("item", &row.record),
        )
    }

    async fn look_up(&mut self, word: String) -> Result<Wanted, StoreError> {
        const IN_MODELS: &str = "
            SELECT EXISTS(SELECT 1
                            FROM model
                           WHERE team_id = $1
                             AND search LIKE $2 ESCAPE '\\')";
        let count = self.count_words(&word, RARE + 1).await?;
        let in_models = ask!(self.conn, IN_MODELS, self.team.0, holding(&word))?;
        Ok(Wanted {
            rare: count <= RARE,
            in_items: count > 0,
            in_models,
            word,
        })
    }

    fn push_word(&self, statement: &mut Statement, wanted: Wanted) {
        let Wanted {
            word,
            rare,
            in_items,
            in_models,
        } = wanted;
        statement.sql(" AND (");
        if in_models {
            statement.sql("i.model_id IN (SELECT m.id FROM model m WHERE m.team_id = ");
            statement.bind(self.team.0);
            statement.sql(" AND m.search LIKE ").bind(holding(&word));
            statement.sql(" ESCAPE '\\')");
        }
        if in_items || !in_models {
            statement.sql(if in_models { " OR " } else { "" });
            statement.sql(if rare {
                "i.id IN (SELECT w.item_id FROM item_word w WHERE w.team_id = "
            } else {
                "EXISTS (SELECT 1 FROM item_word w WHERE w.item_id = i.id AND w.team_id = "
            });
            statement.bind(self.team.0);
            let end = end_of_range(&word);
            statement.sql(" AND w.word >= ").bind(word);
            statement.sql(" AND w.word < ").bind(end).sql(")");
        }
        statement.sql(")");
    }
}

/// The words of a search, the longest first: it is likely to be the rarest.
fn words_wanted(search: &str) -> Vec<String> {
    let mut wanted = words(search);
    wanted.truncate(MOST_WORDS);
    wanted.sort_by_key(|word| std::cmp::Reverse(word.len()));
    wanted.dedup();
    wanted
}

fn push_filter(statement: &mut Statement, filter: &ItemFilter, leads: bool) {
    if let Some(model) = filter.model {
        statement.sql(" AND i.model_id = ").bind(model.0);
    }
    if let Some(store) = filter.store {
        statement.sql(" AND i.store_id = ").bind(store.0);
    }
    if let Some(kind) = filter.kind {
        statement.sql(column(leads, "kind")).bind(kind.key());
    }
    if let Some(state) = filter.state {
        // Nearly everything is in service: an index would only lead astray.
        let astray = leads || filter.kind.is_some() || state == ItemState::InService;
        statement.sql(column(astray, "state")).bind(state.key());
    }
    if filter.without_retired {
        statement
            .sql(" AND i.state <> ")
            .bind(ItemState::Retired.key());
    }
    if let Some(day) = filter.due_before {
        statement.sql(" AND i.due_order < ").bind(write_day(day));
    }
}

/// A column to compare, kept from leading the search where something better does: the databases look for an index
/// of a bare column only.
fn column(astray: bool, column: &'static str) -> &'static str {
    match (column, astray) {
        ("kind", true) => " AND i.kind || '' = ",
        ("kind", false) => " AND i.kind = ",
        (_, true) => " AND i.state || '' = ",
        (_, false) => " AND i.state = ",
    }
}

fn push_after(
    statement: &mut Statement,
    sort: ItemSort,
    direction: Direction,
    after: &Cursor,
) -> Result<(), StoreError> {
    statement.sql(" AND (").sql(sort.columns()).sql(", i.id)");
    statement.sql(direction.beyond()).sql("(");
    if sort == ItemSort::Kind {
        let [kind, mark] = after.key().ok_or(StoreError::Cursor)?;
        statement.bind(kind.as_str()).sql(", ").bind(mark.as_str());
    } else {
        let [key] = after.key().ok_or(StoreError::Cursor)?;
        statement.bind(key.as_str());
    }
    statement.sql(", ").bind(after.id()).sql(")");
    Ok(())
}
