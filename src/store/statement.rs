//! Statements whose clauses depend on what is asked: put together from constant texts, values always bound.

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
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Value {
    Id(Uuid),
    Text(String),
    Number(i64),
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
    pub(super) fn bind(&mut self, value: Value) -> &mut Self {
        self.pieces.push(Piece::Value(value));
        self
    }

    /// Adds a list of bound values in brackets.
    pub(super) fn list(&mut self, values: impl IntoIterator<Item = Value>) -> &mut Self {
        let mut between = "(";
        for value in values {
            self.sql(between).bind(value);
            between = ", ";
        }
        self.sql(")")
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

impl From<u32> for Value {
    fn from(number: u32) -> Self {
        Self::Number(number.into())
    }
}

/// Every row that a [`Statement`] finds.
macro_rules! find_by {
    ($conn:expr, $statement:expr) => {
        $crate::store::on_db!(&mut $conn, |c| {
            let mut query = sqlx::QueryBuilder::new("");
            for piece in $statement.pieces {
                match piece {
                    $crate::store::statement::Piece::Sql(sql) => query.push(sql),
                    $crate::store::statement::Piece::Value(value) => match value {
                        $crate::store::statement::Value::Id(id) => query.push_bind(id),
                        $crate::store::statement::Value::Text(text) => query.push_bind(text),
                        $crate::store::statement::Value::Number(number) => query.push_bind(number),
                    },
                };
            }
            query.build_query_as().fetch_all(c).await
        })
        .map_err($crate::store::StoreError::from)
    };
}
pub(super) use find_by;
