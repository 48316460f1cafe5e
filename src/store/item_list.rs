//! The list of items: searched, filtered, sorted, page by page.

use time::Date;
use uuid::Uuid;

use super::{
    Cursor, Direction, Page, StoreError, Tx,
    item_search::Course,
    item_word::end_of_range,
    page, record,
    statement::{Statement, find_by},
};
use crate::domain::{Item, ItemState, Kind, ModelId, StoreId, fold};

/// Which items are listed. What is not set leaves all in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each narrows the list by itself"
)]
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
    /// Only what is to be looked at since whoever counted it back wants that.
    pub look_asked: bool,
    /// Due before this day; retired ones fall due no more.
    pub due_before: Option<Date>,
    /// Due on this day or after it.
    pub due_from: Option<Date>,
    /// Without a due day, since they never passed an examination.
    pub never_passed: bool,
    /// Of which nobody noted whether their markings can be read, though jobs ask for it; without the retired ones.
    pub markings_unknown: bool,
    /// Whose life ends on this day or after it.
    pub life_from: Option<Date>,
    /// Whose life ends before this day.
    pub life_before: Option<Date>,
    /// Whose end of life is not set by years, or not known.
    pub life_open: bool,
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
    fn columns(self) -> &'static [&'static str] {
        match self {
            Self::Mark => &["i.mark_folded"],
            Self::Due => &["i.due_order"],
            Self::Kind => &["i.kind", "i.mark_folded"],
            Self::Made => &["i.made_order"],
        }
    }
}

impl Tx {
    /// A page of items after `after`. Where something is searched for and the marks go up, the item whose mark is what was
    /// typed stands first, then those whose mark begins so, then what else is found.
    ///
    /// # Errors
    /// [`StoreError::Cursor`] if the cursor belongs to another sort.
    pub async fn items(
        &mut self,
        filter: &ItemFilter,
        order: (ItemSort, Direction),
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Item>, StoreError> {
        let course = self.course(filter, order.0).await?;
        let rows = match Mark::of(filter, order) {
            None => {
                self.rows(filter, order, &course, (None, after), limit)
                    .await?
            }
            Some(mark) => {
                let is_behind = match after {
                    Some(after) => !mark.begins(after)?,
                    None => false,
                };
                let mut rows = Vec::new();
                if !is_behind {
                    let part = (Some(Part::Begins(&mark)), after);
                    rows = self.rows(filter, order, &course, part, limit).await?;
                }
                let found = u32::try_from(rows.len()).unwrap_or(u32::MAX);
                if let Some(left) = limit.checked_sub(found) {
                    let part = (Some(Part::Else(&mark)), after.filter(|_| is_behind));
                    rows.extend(self.rows(filter, order, &course, part, left).await?);
                }
                rows
            }
        };
        Page::cut(
            rows,
            limit,
            |row| order.0.cursor(row),
            |row| record::read("item", &row.record),
        )
    }

    /// The rows of a part of the list behind a cursor, one more than `limit`.
    async fn rows(
        &mut self,
        filter: &ItemFilter,
        (sort, direction): (ItemSort, Direction),
        course: &Course,
        (part, after): (Option<Part<'_>>, Option<&Cursor>),
        limit: u32,
    ) -> Result<Vec<ItemRow>, StoreError> {
        let mut statement = Statement::new(
            "SELECT i.id, i.kind, i.mark_folded, i.due_order, i.made_order, i.record FROM ",
        );
        course.push(&mut statement, filter);
        if let Some(part) = part {
            part.push(&mut statement, course);
        }
        if let Some(after) = after {
            push_after(&mut statement, (sort, direction), course, after)?;
        }
        statement.sql(" ORDER BY ");
        for column in sort.columns() {
            statement.sql(column).sql(course.order_suffix());
            statement.sql(direction.either(", ", " DESC, "));
        }
        statement.sql(direction.either("i.id", "i.id DESC"));
        page::limit(&mut statement, limit);
        find_by!(self.conn, statement)
    }
}

/// What was typed, as the beginning of a mark.
struct Mark(String);

/// A part of a list that is searched: what bears the mark, or begins with it, stands before all else.
#[derive(Clone, Copy)]
enum Part<'a> {
    Begins(&'a Mark),
    Else(&'a Mark),
}

impl Mark {
    /// What may be a mark, where the list goes up by marks. Of marks that begin alike the shortest, which is the mark itself,
    /// is the smallest.
    fn of(filter: &ItemFilter, order: (ItemSort, Direction)) -> Option<Self> {
        let typed = fold(&filter.search);
        let by_mark = order == (ItemSort::Mark, Direction::Up);
        // PostgreSQL takes no such text.
        let is_text = !typed.is_empty() && !typed.contains('\0');
        (by_mark && is_text).then_some(Self(typed))
    }

    /// Whether the list goes on among the marks that begin so.
    fn begins(&self, after: &Cursor) -> Result<bool, StoreError> {
        let [mark] = after.key::<1>().ok_or(StoreError::Cursor)?;
        Ok(mark.starts_with(&self.0))
    }
}

impl Part<'_> {
    fn push(self, statement: &mut Statement, course: &Course) {
        let (mark, is_else) = match self {
            Self::Begins(mark) => (&mark.0, false),
            Self::Else(mark) => (&mark.0, true),
        };
        statement.sql(if is_else {
            " AND NOT (i.mark_folded"
        } else {
            " AND (i.mark_folded"
        });
        let suffix = course.order_suffix();
        statement.sql(suffix).sql(" >= ").bind(mark.as_str());
        statement.sql(" AND i.mark_folded").sql(suffix);
        statement.sql(" < ").bind(end_of_range(mark)).sql(")");
    }
}

fn push_after(
    statement: &mut Statement,
    (sort, direction): (ItemSort, Direction),
    course: &Course,
    after: &Cursor,
) -> Result<(), StoreError> {
    let key: Vec<&String> = if sort == ItemSort::Kind {
        after.key::<2>().ok_or(StoreError::Cursor)?.iter().collect()
    } else {
        after.key::<1>().ok_or(StoreError::Cursor)?.iter().collect()
    };
    statement.sql(" AND (");
    for column in sort.columns() {
        statement.sql(column).sql(course.order_suffix()).sql(", ");
    }
    statement.sql("i.id)").sql(direction.beyond()).sql("(");
    for part in key {
        statement.bind(part.as_str()).sql(", ");
    }
    statement.bind(after.id()).sql(")");
    Ok(())
}
