//! Both databases hold the same tables, columns, kinds and nullability.

use std::{collections::BTreeSet, str::FromStr};

use sqlx::{Connection, PgConnection, SqliteConnection, sqlite::SqliteConnectOptions};

use crate::world;

/// Table, column, kind, whether it may be empty.
type Column = (String, String, String, bool);

const SQLITE: &str = "
    SELECT t.name, c.name, c.type, c.\"notnull\" = 0
      FROM sqlite_schema t, pragma_table_info(t.name) c
     WHERE t.type = 'table'
       AND t.name NOT LIKE 'sqlite_%'
       AND t.name <> '_sqlx_migrations'";
const POSTGRES: &str = "
    SELECT table_name::text, column_name::text, data_type::text, is_nullable = 'YES'
      FROM information_schema.columns
     WHERE table_schema = 'public'
       AND table_name <> '_sqlx_migrations'";

/// What a column must be on either side, by its name and the kind that PostgreSQL gives it.
fn sqlite_kind(column: &str, postgres: &str) -> &'static str {
    match postgres {
        "uuid" if column == "id" || column.ends_with("_id") => "BLOB",
        "bytea" => "BLOB",
        "timestamp with time zone" if column.ends_with("_at") => "TEXT",
        "date" if column.ends_with("_on") => "TEXT",
        "text" if !column.ends_with("_at") && !column.ends_with("_on") => "TEXT",
        "bigint" | "boolean" => "INTEGER",
        other => panic!("{column} is {other}: the README of the migrations does not know that"),
    }
}

#[tokio::test]
async fn both_databases_hold_the_same_columns() {
    let (mut sqlite, mut postgres) = (BTreeSet::new(), BTreeSet::new());
    world::on_sqlite(async |world| {
        let options = SqliteConnectOptions::from_str(&world.address).unwrap();
        let mut conn = SqliteConnection::connect_with(&options).await.unwrap();
        let columns: Vec<Column> = sqlx::query_as(SQLITE).fetch_all(&mut conn).await.unwrap();
        sqlite.extend(columns);
    })
    .await;
    world::on_postgres(async |world| {
        let mut conn = PgConnection::connect(&world.address).await.unwrap();
        let columns: Vec<Column> = sqlx::query_as(POSTGRES).fetch_all(&mut conn).await.unwrap();
        postgres.extend(columns.into_iter().map(|(table, column, kind, empty)| {
            let kind = sqlite_kind(&column, &kind).to_owned();
            (table, column, kind, empty)
        }));
    })
    .await;
    assert!(sqlite.len() > 50, "the query finds the columns");
    if postgres.is_empty() {
        return; // There is no PostgreSQL here, which has been said.
    }
    let only_sqlite: Vec<_> = sqlite.difference(&postgres).collect();
    let only_postgres: Vec<_> = postgres.difference(&sqlite).collect();
    assert!(
        only_sqlite.is_empty() && only_postgres.is_empty(),
        "only in SQLite: {only_sqlite:?}\nonly in PostgreSQL: {only_postgres:?}"
    );
}
