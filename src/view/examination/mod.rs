//! Examinations: the form, and one that was recorded.

mod criterion;
mod life;
mod new;
mod show;

pub use criterion::CriterionRow;
pub(super) use criterion::watched_words;
pub(super) use life::over as life_over;
pub use new::{NewExamination, Subject};
pub(super) use new::{markings, rows};
pub use show::{ShowExamination, verdict_tone};
