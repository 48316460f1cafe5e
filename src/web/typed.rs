//! What was typed into a form whose fields have parts, such as `approvals[0][standard]`.
//!
//! The drafts of the domain are read by serde, so the names become the shape that serde reads: parts
//! that are all numbers are a list, the others a map, and every value is a text. A name that comes
//! several times is its texts between commas, as tick boxes send them.

use std::collections::BTreeMap;

use axum::extract::{FromRequest, Request};
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

use super::{App, Form, Problem};

/// How many parts a name may have.
const DEEPEST: usize = 5;

/// A form as it was sent: each name with its text.
#[derive(Clone, Debug, Default)]
pub(super) struct Typed(BTreeMap<String, String>);

impl FromRequest<App> for Typed {
    type Rejection = Problem;

    async fn from_request(request: Request, app: &App) -> Result<Self, Problem> {
        let Form(pairs) = Form::<Vec<(String, String)>>::from_request(request, app).await?;
        Ok(Self::new(pairs))
    }
}

impl Typed {
    fn new(pairs: Vec<(String, String)>) -> Self {
        let mut texts = BTreeMap::<String, String>::new();
        for (name, text) in pairs {
            let kept = texts.entry(name).or_default();
            if !kept.is_empty() && !text.is_empty() {
                kept.push_str(", ");
            }
            kept.push_str(&text);
        }
        Self(texts)
    }

    /// Takes out a field that is none of the draft's.
    pub fn take(&mut self, name: &str) -> Option<String> {
        self.0.remove(name)
    }

    /// Takes out the number of the revision that the form was opened with.
    pub fn take_revision(&mut self) -> Result<u32, Problem> {
        let text = self.take("revision").unwrap_or_default();
        text.trim().parse().map_err(|_| {
            Problem::Unreadable(
                "The form does not say which version of the record it was opened with. Open it \
                 again and repeat your change."
                    .to_owned(),
            )
        })
    }

    /// The draft that was typed in.
    ///
    /// # Errors
    /// [`Problem::Unreadable`] if a name is none of the draft's.
    pub fn draft<T: DeserializeOwned>(self) -> Result<T, Problem> {
        let mut whole = Node::default();
        for (name, text) in self.0 {
            let parts = parts(&name)
                .ok_or_else(|| unreadable(&format!("the name \"{}\" has no shape", cut(&name))))?;
            whole
                .put(&parts, text)
                .ok_or_else(|| unreadable(&format!("the name \"{}\" comes twice", cut(&name))))?;
        }
        let value = Value::Object(whole.object());
        serde_json::from_value(value).map_err(|error| unreadable(&error.to_string()))
    }
}

fn unreadable(why: &str) -> Problem {
    let why: String = why.chars().take(300).collect();
    Problem::Unreadable(format!("The form cannot be read: {why}."))
}

fn cut(name: &str) -> String {
    name.chars().take(60).collect()
}

/// The parts of a name: `approvals[0][standard]` is `approvals`, `0`, `standard`.
fn parts(name: &str) -> Option<Vec<&str>> {
    let (head, rest) = match name.split_once('[') {
        None => (name, None),
        Some((head, rest)) => (head, Some(rest.strip_suffix(']')?)),
    };
    let mut all = vec![head];
    all.extend(rest.into_iter().flat_map(|rest| rest.split("][")));
    let whole = all
        .iter()
        .all(|part| !part.is_empty() && !part.contains(['[', ']']));
    (whole && all.len() <= DEEPEST).then_some(all)
}

#[derive(Default)]
struct Node {
    text: Option<String>,
    parts: BTreeMap<String, Node>,
}

impl Node {
    /// Puts a text below the parts; nothing if one is both a text and a list of parts.
    fn put(&mut self, parts: &[&str], text: String) -> Option<()> {
        match parts {
            [] if self.parts.is_empty() => {
                self.text = Some(text);
                Some(())
            }
            [] => None,
            _ if self.text.is_some() => None,
            [first, rest @ ..] => self
                .parts
                .entry((*first).to_owned())
                .or_default()
                .put(rest, text),
        }
    }

    fn object(self) -> Map<String, Value> {
        let parts = self.parts.into_iter();
        parts.map(|(name, node)| (name, node.value())).collect()
    }

    fn value(self) -> Value {
        if let Some(text) = self.text {
            return Value::String(text);
        }
        let numbers: Option<Vec<u32>> = self.parts.keys().map(|key| key.parse().ok()).collect();
        match numbers {
            Some(numbers) => {
                let mut rows: Vec<_> = numbers.into_iter().zip(self.parts.into_values()).collect();
                rows.sort_by_key(|(number, _)| *number);
                Value::Array(rows.into_iter().map(|(_, node)| node.value()).collect())
            }
            None => Value::Object(self.object()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::{ApprovalDraft, ModelDraft};

    fn typed(pairs: &[(&str, &str)]) -> Typed {
        let pairs = pairs.iter();
        Typed::new(
            pairs
                .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
                .collect(),
        )
    }

    #[test]
    fn names_with_parts_become_lists_and_maps_in_their_order() {
        let read: ModelDraft = typed(&[
            ("maker", "North & Co"),
            ("approvals[10][standard]", "third"),
            ("approvals[2][standard]", "second"),
            ("approvals[0][standard]", "first"),
            ("attributes[fibre]", "polyamide"),
        ])
        .draft()
        .unwrap();
        let standards: Vec<&str> = read.approvals.iter().map(|a| a.standard.as_str()).collect();
        assert_eq!(standards, ["first", "second", "third"]);
        assert_eq!(read.attributes["fibre"], "polyamide");
        assert_eq!(read.maker, "North & Co");
    }

    #[test]
    fn a_name_that_comes_twice_is_both_texts() {
        let read: ApprovalDraft = typed(&[("rope_kinds", "static"), ("rope_kinds", "dynamic")])
            .draft()
            .unwrap();
        assert_eq!(read.rope_kinds, "static, dynamic");
    }

    #[test]
    fn what_no_form_of_ours_sends_is_refused() {
        for pairs in [
            [("maker", "a"), ("unknown", "b")],
            [("maker[", "a"), ("name", "b")],
            [("maker", "a"), ("maker[x]", "b")],
            [("a[b][c][d][e][f]", "a"), ("name", "b")],
            [("approvals", "a"), ("name", "b")],
            [("approvals[]", "a"), ("name", "b")],
            [("approvals[0]", "a"), ("name", "b")],
        ] {
            let read = typed(&pairs).draft::<ModelDraft>();
            assert!(matches!(read, Err(Problem::Unreadable(_))), "{pairs:?}");
        }
    }

    #[test]
    fn a_form_says_which_version_it_was_opened_with() {
        assert_eq!(typed(&[("revision", "3")]).take_revision().unwrap(), 3);
        for text in ["", "-1", "x", "99999999999"] {
            assert!(typed(&[("revision", text)]).take_revision().is_err());
        }
    }
}
