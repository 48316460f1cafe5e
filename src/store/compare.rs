//! Holds the tables of a team that were made again against those that are there, row by row.

use std::cmp::Ordering;

use super::{
    Difference, MOST_DIFFERENCES, Rebuilt, StoreError, Tx,
    statement::Value,
    table::{TABLES, Table},
    table_rows::{Row, Rows},
};

/// Compares every row of every table that is made from the ledger, until [`MOST_DIFFERENCES`] are found.
pub(super) async fn compare_all(
    again: Tx,
    there: Tx,
    rebuilt: &mut Rebuilt,
) -> Result<(), StoreError> {
    let (mut again, mut there) = (Rows::of(again), Rows::of(there));
    for table in TABLES {
        compare(table, &mut again, &mut there, rebuilt).await?;
        if rebuilt.differences.len() >= MOST_DIFFERENCES {
            break;
        }
    }
    Ok(())
}

/// Walks both tables in the order of their keys.
async fn compare(
    table: &Table,
    again: &mut Rows,
    there: &mut Rows,
    rebuilt: &mut Rebuilt,
) -> Result<(), StoreError> {
    let name = table.name;
    let (mut given, mut held) = (again.next().await?, there.next().await?);
    while rebuilt.differences.len() < MOST_DIFFERENCES {
        let order = match (&given, &held) {
            (None, None) => break,
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (Some(given), Some(held)) => table.key_of(given).cmp(table.key_of(held)),
        };
        rebuilt.rows += 1;
        if let (Ordering::Less, Some(row)) = (order, &given) {
            let key = written(table, row);
            let missing = Difference::Missing { table: name, key };
            rebuilt.differences.push(missing);
        }
        if let (Ordering::Greater, Some(row)) = (order, &held) {
            let key = written(table, row);
            rebuilt
                .differences
                .push(Difference::Extra { table: name, key });
        }
        if let (Ordering::Equal, Some(given), Some(held)) = (order, &given, &held) {
            let differing = differing(table, given, held);
            rebuilt.differences.extend(differing.map(|column| {
                let key = written(table, given);
                Difference::Differs {
                    table: name,
                    key,
                    column,
                }
            }));
        }
        if order.is_le() {
            given = again.next().await?;
        }
        if order.is_ge() {
            held = there.next().await?;
        }
    }
    Ok(())
}

/// The columns in which two rows differ.
fn differing<'a>(
    table: &'a Table,
    given: &'a Row,
    held: &'a Row,
) -> impl Iterator<Item = &'static str> + 'a {
    let pairs = table.columns.iter().zip(given.iter().zip(held));
    pairs
        .filter(|((column, _), (given, held))| {
            given != held
                && !(*column == "record" && says_the_same(table, given.as_ref(), held.as_ref()))
        })
        .map(|((column, _), _)| *column)
}

/// Whether two records say the same, though they may have been written by different versions of the program.
fn says_the_same(table: &Table, given: Option<&Value>, held: Option<&Value>) -> bool {
    let (Some(normal), Some(Value::Text(given)), Some(Value::Text(held))) =
        (table.normal, given, held)
    else {
        return false;
    };
    let held = normal(held);
    held.is_some() && held == normal(given)
}

fn written(table: &Table, row: &Row) -> String {
    let parts: Vec<String> = table
        .key_of(row)
        .iter()
        .flatten()
        .map(|value| match value {
            Value::Id(id) => id.to_string(),
            Value::Text(text) => text.clone(),
            Value::Number(number) => number.to_string(),
            other => format!("{other:?}"),
        })
        .collect();
    parts.join(" ")
}
