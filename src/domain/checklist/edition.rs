//! Which edition of a list is meant: `rope@1`, or `rope@1+3` with the third edition of the team's own criteria.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Serialize};

use crate::domain::Kind;

/// Which list: the kind, the edition that comes with the program, and that of the team's own criteria.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct ListEdition {
    /// The kind of gear.
    pub kind: Kind,
    /// The edition that comes with the program, from 1.
    pub shipped: u32,
    /// The edition of the team's own criteria, from 1; 0 where the team had none.
    pub own: u32,
}

impl fmt::Display for ListEdition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}@{}", self.kind.key(), self.shipped)?;
        match self.own {
            0 => Ok(()),
            own => write!(f, "+{own}"),
        }
    }
}

impl FromStr for ListEdition {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let wrong = || {
            let given: String = text.chars().take(60).collect();
            format!("Name a list as rope@1 or rope@1+2, not \"{given}\".")
        };
        let (kind, numbers) = text.split_once('@').ok_or_else(wrong)?;
        let kind = Kind::ALL.iter().find(|one| one.key() == kind);
        let (shipped, own) = match numbers.split_once('+') {
            Some((shipped, own)) => (shipped.parse(), own.parse()),
            None => (numbers.parse(), Ok(0)),
        };
        match (kind, shipped, own) {
            (Some(kind), Ok(shipped), Ok(own)) => Ok(Self {
                kind: *kind,
                shipped,
                own,
            }),
            _ => Err(wrong()),
        }
    }
}

impl TryFrom<String> for ListEdition {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

impl From<ListEdition> for String {
    fn from(edition: ListEdition) -> Self {
        edition.to_string()
    }
}

impl utoipa::PartialSchema for ListEdition {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        String::schema()
    }
}

impl utoipa::ToSchema for ListEdition {}

impl ListEdition {
    /// The edition in words: "the list for a rope, edition 1".
    pub fn words(&self) -> String {
        let list = format!("the list for {}, edition {}", self.kind.one(), self.shipped);
        match self.own {
            0 => list,
            own => format!("{list}, with edition {own} of the team's own criteria"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edition_is_read_as_it_is_written() {
        for text in ["rope@1", "rope-clamp@2+11"] {
            assert_eq!(text.parse::<ListEdition>().unwrap().to_string(), text);
        }
        for text in [
            "", "rope", "rope@", "rope@x", "rope@1+", "ladder@1", "rope@-1",
        ] {
            assert!(text.parse::<ListEdition>().is_err(), "{text}");
        }
    }
}
