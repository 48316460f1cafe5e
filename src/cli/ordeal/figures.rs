//! What came of a part, in figures.

use std::fmt;

/// A heading and lines of a name and a figure.
pub(super) struct Figures {
    heading: String,
    lines: Vec<(&'static str, String)>,
}

impl Figures {
    pub(super) fn new(heading: impl Into<String>) -> Self {
        Self {
            heading: heading.into(),
            lines: Vec::new(),
        }
    }

    /// One more line.
    pub(super) fn line(&mut self, name: &'static str, figure: impl ToString) {
        self.lines.push((name, figure.to_string()));
    }
}

impl fmt::Display for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "\n{}", self.heading)?;
        for (name, figure) in &self.lines {
            writeln!(f, "  {name:<34} {figure}")?;
        }
        Ok(())
    }
}
