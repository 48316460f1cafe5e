//! Models: the list, the kinds to begin with, the form, and one model.

mod fact;
mod form;
mod kind;
mod kind_change;
mod list;
mod rows;
mod show;

pub(in crate::view) use fact::{FactGroup, fact_groups};
pub use form::{ModelForm, ModelTarget};
pub use kind::KindPick;
pub use kind_change::{KindChange, KindTold};
pub use list::{ModelList, ModelRow};
pub use show::ShowModel;
