//! Records and rules: types that cannot be wrong and steps that can be refused. Pure.

mod clock;
mod field;
mod id;
pub mod ledger;
mod person;
mod preference;

pub use clock::Clock;
pub use field::{FieldError, FieldErrors, LONGEST_LINE, LONGEST_NOTE};
pub use id::*;
pub use ledger::{Entry, Frontier, Hash, Sealed};
pub use person::{
    Actor, Deed, LONGEST_PASSWORD, Person, PersonDraft, Role, SHORTEST_PASSWORD, Team,
    check_password,
};
pub use preference::{Preference, Theme, Units};
