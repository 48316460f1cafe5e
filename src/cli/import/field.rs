//! The fields as the options name them.

use super::Failure;
use crate::{
    cli::columns::Columns,
    import::{Field, Target},
};

/// Where it is told what each field is.
const WHERE_TOLD: &str = "\"ropeloft import --help\" ends with what each of them is.";

/// Every field that an option may name, with what it is.
pub(super) fn told() -> String {
    let mut table = Columns::default();
    for field in Field::all() {
        table.row([field.key(), field.label()]);
    }
    format!("Fields, as --map, --set, --word, --model, --agreed and --source name them:\n{table}")
}

/// The key of a field, however it is named.
pub(super) fn key(named: &str) -> Result<String, Failure> {
    if let Some(Target::Field(field)) = Target::from_words(named) {
        return Ok(field.key());
    }
    let keys = Field::keys();
    Err(format!("\"{named}\" is no field; there are: {keys}. {WHERE_TOLD}").into())
}

/// What becomes of a column, however it is named.
pub(super) fn target(named: &str) -> Result<Target, Failure> {
    Target::try_from(named.to_owned()).map_err(|error| format!("{error} {WHERE_TOLD}").into())
}
