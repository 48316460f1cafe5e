//! What is particular about the place of a job: its hazards, the edge, the anchors.

use serde::{Deserialize, Serialize};

/// What a crew must know of the place before it goes there; what is not written is empty.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default)]
pub struct Site {
    /// What may harm people there, and what is done about it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub hazards: String,
    /// What the rope runs over, and how it is kept off it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub edge: String,
    /// What the rig hangs from: which anchors, where, who judged them.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub anchors: String,
}

impl Site {
    /// Whether nothing is written.
    pub fn is_blank(&self) -> bool {
        *self == Self::default()
    }

    /// What is written, each text with its name.
    pub fn said(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let all = [
            ("Hazards", self.hazards.as_str()),
            ("Edge", self.edge.as_str()),
            ("Anchors", self.anchors.as_str()),
        ];
        all.into_iter().filter(|(_, text)| !text.is_empty())
    }

    /// All of it in one line, for a history.
    pub(super) fn in_one_line(&self) -> String {
        let said = self.said().map(|(name, text)| {
            let words: Vec<&str> = text.split_whitespace().collect();
            format!("{name}: {}", words.join(" "))
        });
        said.collect::<Vec<_>>().join("; ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_said_in_order_and_what_is_not_is_left_out() {
        let site = Site {
            hazards: "Gas\nwater".to_owned(),
            anchors: "Two bolts".to_owned(),
            ..Site::default()
        };
        assert_eq!(site.in_one_line(), "Hazards: Gas water; Anchors: Two bolts");
        assert!(Site::default().is_blank() && !site.is_blank());
    }

    #[test]
    fn a_record_from_before_these_fields_has_a_blank_site() {
        assert_eq!(
            serde_json::from_str::<Site>("{}").ok(),
            Some(Site::default())
        );
        assert_eq!(
            serde_json::to_string(&Site::default()).ok().as_deref(),
            Some("{}")
        );
    }
}
