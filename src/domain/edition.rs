//! Which rig or rulebook is meant, and of a team's own which version.

use std::fmt;

/// One that comes with the program, by its key: `three-to-one`. Or a version of a team's own:
/// `our-lift@2`; without a version its newest is meant. A key has no `@` in it, so a job that names a
/// version keeps it, whatever comes with the program later.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edition<'a> {
    /// The key.
    pub key: &'a str,
    /// The version of a team's own, from 1.
    pub version: Option<u32>,
}

impl<'a> Edition<'a> {
    /// Reads what a job or a person wrote. What is no version is part of the key, which then nothing has.
    pub fn read(text: &'a str) -> Self {
        let text = text.trim();
        let parts = text.split_once('@');
        let numbered = parts.and_then(|(key, version)| Some((key, version.parse().ok()?)));
        match numbered {
            Some((key, version)) => Self {
                key,
                version: Some(version),
            },
            None => Self {
                key: text,
                version: None,
            },
        }
    }
}

impl fmt::Display for Edition<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key)?;
        match self.version {
            Some(version) => write!(f, "@{version}"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_version_stands_behind_the_key() {
        let read = |text| {
            let edition = Edition::read(text);
            (edition.key.to_owned(), edition.version, edition.to_string())
        };
        let of = |key: &str, version, text: &str| (key.to_owned(), version, text.to_owned());
        assert_eq!(
            read(" three-to-one "),
            of("three-to-one", None, "three-to-one")
        );
        assert_eq!(read("our-lift@12"), of("our-lift", Some(12), "our-lift@12"));
        for odd in ["our-lift@", "our-lift@x", "a@1@2", "@", ""] {
            assert_eq!(read(odd), of(odd, None, odd));
        }
    }
}
