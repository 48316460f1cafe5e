//! What the browser is told of a field beside what people read.

use super::Field;

impl Field {
    /// What the browser may fill in: `username`, `current-password`, `new-password`, `off`.
    #[must_use]
    pub fn autocomplete(self, purpose: &'static str) -> Self {
        let text = match purpose {
            "username" => " autocomplete=\"username\" autocapitalize=\"none\" spellcheck=\"false\"",
            "current-password" => " autocomplete=\"current-password\"",
            "new-password" => " autocomplete=\"new-password\"",
            _ => " autocomplete=\"off\" spellcheck=\"false\"",
        };
        self.attribute(text)
    }

    /// Offers what stands in the list of this id.
    #[must_use]
    pub fn listed(self, id: &'static str) -> Self {
        self.attribute(&format!(" list=\"{id}\""))
    }

    /// The kinds of file that are offered, such as `.csv,.xlsx`.
    #[must_use]
    pub fn files(self, endings: &'static str) -> Self {
        let clean = endings
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | ',' | '/' | '-'));
        if clean {
            self.attribute(&format!(" accept=\"{endings}\""))
        } else {
            self
        }
    }

    /// Adds an attribute, a blank before it: ` multiple`.
    pub(in crate::view) fn attribute(mut self, text: &str) -> Self {
        self.attributes.push_str(text);
        self
    }
}
