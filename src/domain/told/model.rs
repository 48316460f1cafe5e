//! What is written down of a model, in words.

use super::Told;
use crate::domain::Change;

/// A model that was added or changed, and which of its figures somebody confirmed.
pub(super) fn told(change: &Change) -> Told {
    match change {
        Change::ModelAdded(model) => {
            Told::new(format!("Model {} added", model.title())).why(model.confirmed())
        }
        Change::ModelRevised(model) => Told::new(format!(
            "Record of the model {} changed (version {})",
            model.title(),
            model.revision
        ))
        .why(model.confirmed()),
        Change::ModelKindChanged(one) => Told::new(one.told()).why(one.reason.as_str()),
        other => Told::new(other.kind()),
    }
}
