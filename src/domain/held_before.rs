//! That another planned job needs items of a kit before the job of that kit is over.

use serde::Serialize;
use time::OffsetDateTime;

use super::{JobId, Zone, counted};

/// Another planned job whose list holds items of a kit, at a time from now until the end of the kit's own job. Once the
/// kit is issued that job has them no more, unless they are counted back before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct HeldBefore {
    /// The other job.
    pub job: JobId,
    /// What that is called.
    pub title: String,
    /// When it begins.
    #[serde(with = "time::serde::rfc3339")]
    pub starts_at: OffsetDateTime,
    /// When it ends.
    #[serde(with = "time::serde::rfc3339")]
    pub ends_at: OffsetDateTime,
    /// The marks of the items, in the order of the rig.
    pub marks: Vec<String>,
}

impl HeldBefore {
    /// What whoever hands the kit out must know.
    pub fn caution(&self, zone: &Zone) -> String {
        format!(
            "\"{}\" of {} holds {} of this kit: {}. Once this kit is issued that job has nothing in their place, unless they are counted back before.",
            self.title,
            zone.words(self.starts_at),
            counted(self.marks.len(), "item", "items"),
            self.marks.join(", ")
        )
    }
}
