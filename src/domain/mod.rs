//! Records and rules: types that cannot be wrong and steps that can be refused. Pure.

mod clock;
mod field;
mod id;
mod person;

pub use clock::Clock;
pub use field::{FieldError, FieldErrors, LONGEST_LINE, LONGEST_NOTE};
pub use id::*;
pub use person::{
    Actor, Deed, LONGEST_PASSWORD, Person, PersonDraft, Role, SHORTEST_PASSWORD, Team,
    check_password,
};
