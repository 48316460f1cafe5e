//! The columns of a table, said once for every form of file.

/// A column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// The heading; in JSON Lines the name of the member.
    pub name: &'static str,
    /// The heading for people; none where it is the name.
    title: Option<&'static str>,
    /// Its part of the width on paper; none where paper has no room for it.
    pub paper: Option<f32>,
}

/// A column that paper has no room for.
pub(super) const fn column(name: &'static str) -> Column {
    Column {
        name,
        title: None,
        paper: None,
    }
}

impl Column {
    /// The same column, which stands on paper too with such a part of the width.
    #[must_use]
    pub(super) const fn on_paper(self, part: f32) -> Self {
        Self {
            paper: Some(part),
            ..self
        }
    }

    /// The same column with a heading of its own for people.
    #[must_use]
    pub(super) const fn titled(self, title: &'static str) -> Self {
        Self {
            title: Some(title),
            ..self
        }
    }

    /// The heading for people, such as `Next due on`.
    pub fn words(&self) -> String {
        if let Some(title) = self.title {
            return title.to_owned();
        }
        let words = self.name.replace('_', " ");
        let mut letters = words.chars();
        let first = letters.next().map(|c| c.to_ascii_uppercase());
        first.into_iter().chain(letters).collect()
    }
}
