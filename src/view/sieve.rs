//! The form above a list: what is looked for, and the filters that leave something out.

use askama::Template;

use super::{form::Field, part::html_parts};

/// Narrows a list. The search stands open; the filters fold away on a phone, unless one of them is set, and stand open
/// on a desk.
#[derive(Clone, Debug, Template)]
#[template(path = "part/sieve.html")]
pub struct Sieve {
    action: String,
    search: Option<Field>,
    filters: Vec<Field>,
    kept: Vec<(&'static str, String)>,
}

html_parts!(Sieve);

impl Sieve {
    /// A form that asks for the list at `action`.
    pub fn new(action: impl Into<String>) -> Self {
        Self {
            action: action.into(),
            search: None,
            filters: Vec::new(),
            kept: Vec::new(),
        }
    }

    /// A field for words that are looked for.
    #[must_use]
    pub fn search(mut self, field: Field) -> Self {
        self.search = Some(field);
        self
    }

    /// One more filter; empty leaves everything in.
    #[must_use]
    pub fn filter(mut self, field: Field) -> Self {
        self.filters.push(field);
        self
    }

    /// Something of the address that stays when the form is sent; what is empty is left out.
    #[must_use]
    pub fn keep(mut self, name: &'static str, value: &str) -> Self {
        if !value.is_empty() {
            self.kept.push((name, value.to_owned()));
        }
        self
    }

    /// Whether a filter leaves something out, or holds what cannot be read.
    fn is_open(&self) -> bool {
        self.filters.iter().any(Field::is_filled)
    }
}

#[cfg(test)]
mod tests {
    use super::super::form::Form;
    use super::*;

    #[test]
    fn the_filters_are_open_where_one_is_set() {
        let form = Form::default();
        let sieve = |kind| {
            Sieve::new("/items")
                .search(form.typed("search", "q", "Search", "blue"))
                .filter(form.typed("date", "from", "From", ""))
                .filter(form.line("kind", "Kind", kind))
                .keep("sort", "due")
                .keep("down", "")
                .to_string()
        };
        let (closed, open) = (sieve(""), sieve("rope"));
        assert!(closed.contains("<details class=\"filters\">"), "{closed}");
        assert!(open.contains("<details class=\"filters\" open>"), "{open}");
        assert!(closed.contains("<input type=\"hidden\" name=\"sort\" value=\"due\">"));
        assert!(!closed.contains("name=\"down\""), "{closed}");
    }
}
