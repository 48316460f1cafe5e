//! What the due board counts: items in service by due day and by the day on which their lives end.

use time::Date;
use uuid::Uuid;

use super::{
    StoreError, Tx,
    due::{NO_DAY, NOT_ASKED},
    statement::{Statement, find_by},
};
use crate::domain::{DayCount, ItemState, Split, date::read_day};

impl Tx {
    /// How many items in service fall due on each day, by store or kind; those of which no examination is asked are left
    /// out.
    pub async fn due_counted(&mut self, split: Split) -> Result<Vec<DayCount>, StoreError> {
        self.days_counted("due_order", split).await
    }

    /// On which days the lives of items in service end, by store or kind.
    pub async fn ends_counted(&mut self, split: Split) -> Result<Vec<DayCount>, StoreError> {
        self.days_counted("life_order", split).await
    }

    /// Counts by a column of days and by group; each pair of columns is read from an index alone.
    async fn days_counted(
        &mut self,
        day: &'static str,
        split: Split,
    ) -> Result<Vec<DayCount>, StoreError> {
        let group = match split {
            Split::Store => "store_id",
            Split::Kind => "kind",
        };
        let mut statement = Statement::new("SELECT ");
        statement.sql(day).sql(", ").sql(group);
        statement.sql(", COUNT(*) FROM item WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND state = ");
        statement.bind(ItemState::InService.key());
        // What need not be examined before it is used falls due on no day, and lacks none.
        statement.sql(" AND ").sql(day).sql(" <> ").bind(NOT_ASKED);
        statement.sql(" GROUP BY ").sql(day).sql(", ").sql(group);
        statement.sql(" ORDER BY ").sql(day).sql(", ").sql(group);
        match split {
            Split::Store => {
                let rows: Vec<(String, Uuid, i64)> = find_by!(self.conn, statement)?;
                let rows = rows.into_iter();
                rows.map(|(day, store, count)| counted(&day, store.to_string(), count))
                    .collect()
            }
            Split::Kind => {
                let rows: Vec<(String, String, i64)> = find_by!(self.conn, statement)?;
                let rows = rows.into_iter();
                rows.map(|(day, kind, count)| counted(&day, kind, count))
                    .collect()
            }
        }
    }
}

fn counted(day: &str, group: String, count: i64) -> Result<DayCount, StoreError> {
    let day: Option<Date> = match day {
        NO_DAY => None,
        day => {
            let read = read_day(day);
            Some(read.map_err(|e| StoreError::corrupt("item", "due_order")(e.into()))?)
        }
    };
    Ok(DayCount {
        day,
        group,
        count: count.unsigned_abs(),
    })
}
