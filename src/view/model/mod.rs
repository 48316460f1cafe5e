//! Models: the list, the kinds to begin with, the form, and one model.

mod form;
mod kind;
mod list;
mod rows;
mod show;

pub use form::{ModelForm, ModelTarget};
pub use kind::KindPick;
pub use list::{ModelList, ModelRow};
pub use show::ShowModel;
