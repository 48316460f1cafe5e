//! Items: the list, the form, one item, and a step between its states.

mod form;
mod list;
mod pick;
mod show;
mod show_answer;
mod show_cut;
mod show_past;
mod show_stands;
mod step;

pub use form::{ItemForm, ItemTyped, Target};
pub(super) use list::kinds;
pub use list::{Heading, ItemList, ItemRow, ListBar};
pub use pick::{ModelPick, PickRow};
pub use show::{Act, ItemFile, ShowItem};
pub use step::{StepForm, TypedStep};
