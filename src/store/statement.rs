//! Statements whose clauses depend on what is asked: put together from constant texts, values always bound.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

/// A statement in the making.
#[derive(Default)]
pub(super) struct Statement {
    pub(super) pieces: Vec<Piece>,
}

/// A constant text or a bound value.
pub(super) enum Piece {
    Sql(&'static str),
    Value(Value),
}

/// What can be bound.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Value {
    Id(Uuid),
    Text(String),
    Number(i64),
    Moment(OffsetDateTime),
    Day(Date),
    Flag(bool),
    Bytes(Vec<u8>),
}

impl Statement {
    pub(super) fn new(sql: &'static str) -> Self {
        let mut statement = Self::default();
        statement.sql(sql);
        statement
    }

    /// Adds a constant text; it begins with a blank or follows one.
    pub(super) fn sql(&mut self, sql: &'static str) -> &mut Self {
        self.pieces.push(Piece::Sql(sql));
        self
    }

    /// Adds a bound value.
    pub(super) fn bind(&mut self, value: impl Into<Value>) -> &mut Self {
        self.pieces.push(Piece::Value(value.into()));
        self
    }

    /// Adds a list of bound values in brackets.
    pub(super) fn list<V: Into<Value>>(
        &mut self,
        values: impl IntoIterator<Item = V>,
    ) -> &mut Self {
        let mut between = "(";
        for value in values {
            self.sql(between).bind(value);
            between = ", ";
        }
        self.sql(")")
    }

    /// Adds rows of bound values, each in brackets: what an `INSERT` puts in.
    pub(super) fn rows(&mut self, rows: impl IntoIterator<Item = Vec<Value>>) -> &mut Self {
        let mut between = "";
        for row in rows {
            self.sql(between).list(row);
            between = ", ";
        }
        self
    }
}

impl From<Uuid> for Value {
    fn from(id: Uuid) -> Self {
        Self::Id(id)
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<OffsetDateTime> for Value {
    fn from(moment: OffsetDateTime) -> Self {
        Self::Moment(moment)
    }
}

impl From<Date> for Value {
    fn from(day: Date) -> Self {
        Self::Day(day)
    }
}

impl From<i64> for Value {
    fn from(number: i64) -> Self {
        Self::Number(number)
    }
}

impl From<&[u8]> for Value {
    fn from(bytes: &[u8]) -> Self {
        Self::Bytes(bytes.to_vec())
    }
}

impl From<bool> for Value {
    fn from(flag: bool) -> Self {
        Self::Flag(flag)
    }
}

impl From<u32> for Value {
    fn from(number: u32) -> Self {
        Self::Number(number.into())
    }
}

/// A [`Statement`] as sqlx takes it.
macro_rules! assemble {
    ($statement:expr) => {{
        use $crate::store::statement::{Piece, Value};
        let mut query = sqlx::QueryBuilder::new("");
        for piece in $statement.pieces {
            match piece {
                Piece::Sql(sql) => query.push(sql),
                Piece::Value(Value::Id(id)) => query.push_bind(id),
                Piece::Value(Value::Text(text)) => query.push_bind(text),
                Piece::Value(Value::Number(number)) => query.push_bind(number),
                Piece::Value(Value::Moment(moment)) => query.push_bind(moment),
                Piece::Value(Value::Day(day)) => query.push_bind(day),
                Piece::Value(Value::Flag(flag)) => query.push_bind(flag),
                Piece::Value(Value::Bytes(bytes)) => query.push_bind(bytes),
            };
        }
        query
    }};
}
pub(super) use assemble;

/// Every row that a [`Statement`] finds.
macro_rules! find_by {
    ($conn:expr, $statement:expr) => {
        $crate::store::on_db!(&mut $conn, |c| {
            let mut query = $crate::store::statement::assemble!($statement);
            query.build_query_as().fetch_all(c).await
        })
        .map_err($crate::store::StoreError::from)
    };
}
pub(super) use find_by;

/// Runs a [`Statement`] that changes rows.
macro_rules! change_by {
    ($conn:expr, $statement:expr) => {
        $crate::store::on_db!(&mut $conn, |c| {
            let mut query = $crate::store::statement::assemble!($statement);
            query
                .build()
                .execute(c)
                .await
                .map(|done| done.rows_affected())
        })
        .map_err($crate::store::StoreError::from)
    };
}
pub(super) use change_by;
