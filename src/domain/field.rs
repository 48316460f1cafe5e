//! What is wrong with a form or a body: every field at once, each with a stable code and a sentence.

use std::fmt;

use serde::{Deserialize, Serialize};

/// One field that does not hold.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FieldError {
    /// The field's name as the form and the API write it; parts of lists as `ratings[0][value]`.
    pub field: String,
    /// A stable word for programs: `required`, `number`, `range`, `taken`, `choice`, `date`, `long`, `unit`.
    pub code: String,
    /// A sentence that says what is wrong and what to do.
    pub message: String,
    /// What a program sends beside the field, where the sentence asks whether it is really so and it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub beside: Option<String>,
}

/// All fields that do not hold.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, thiserror::Error)]
pub struct FieldErrors(pub Vec<FieldError>);

/// The name of a field below `prefix`: `values[0]` below `answers[gate]` is `answers[gate][values][0]`.
pub fn nested(prefix: &str, field: &str) -> String {
    let (head, rest) = field.split_at(field.find('[').unwrap_or(field.len()));
    format!("{prefix}[{head}]{rest}")
}

/// The name of a field without the prefix that it is below; none where it is below another.
pub fn unnested(prefix: &str, name: &str) -> Option<String> {
    let (head, rest) = name
        .strip_prefix(prefix)?
        .strip_prefix('[')?
        .split_once(']')?;
    Some(format!("{head}{rest}"))
}

/// Whether a box is ticked, by what was sent for it: `yes`, `on`, `true` or `1` say that it is, and `no`, `off`, `false`,
/// `0` or nothing that it is not. `None` for what could be meant either way.
pub fn ticked(text: &str) -> Option<bool> {
    match text.trim().to_lowercase().as_str() {
        "yes" | "on" | "true" | "1" => Some(true),
        "" | "no" | "off" | "false" | "0" => Some(false),
        _ => None,
    }
}

impl FieldErrors {
    /// One error alone.
    pub fn one(field: impl Into<String>, code: &str, message: impl Into<String>) -> Self {
        let mut errors = Self::default();
        errors.add(field, code, message);
        errors
    }

    /// Adds an error.
    pub fn add(&mut self, field: impl Into<String>, code: &str, message: impl Into<String>) {
        self.0.push(FieldError {
            field: field.into(),
            code: code.to_owned(),
            message: message.into(),
            beside: None,
        });
    }

    /// Asks whether a field is really meant so; a program that means it sends `beside` with it.
    pub fn ask(
        &mut self,
        field: impl Into<String>,
        question: impl Into<String>,
        beside: impl Into<String>,
    ) {
        self.0.push(FieldError {
            field: field.into(),
            code: "range".to_owned(),
            message: question.into(),
            beside: Some(beside.into()),
        });
    }

    /// Keeps the value of `result`, or notes its error under `field` and gives `None`.
    pub fn keep<T, E: fmt::Display>(
        &mut self,
        field: &str,
        code: &str,
        result: Result<T, E>,
    ) -> Option<T> {
        result
            .map_err(|error| self.add(field, code, error.to_string()))
            .ok()
    }

    /// Takes over the errors of a part, their fields written below `prefix`: `values[0]` below `answers[gate]` is
    /// `answers[gate][values][0]`.
    pub fn nest(&mut self, prefix: &str, part: Self) {
        for error in part.0 {
            self.0.push(FieldError {
                field: nested(prefix, &error.field),
                ..error
            });
        }
    }

    /// The errors of every field but this one.
    #[must_use]
    pub fn apart_from(&self, field: &str) -> Self {
        let others = self.0.iter().filter(|error| error.field != field);
        Self(others.cloned().collect())
    }

    /// The sentences under one field.
    pub fn on<'a>(&'a self, field: &'a str) -> impl Iterator<Item = &'a str> {
        self.0
            .iter()
            .filter(move |error| error.field == field)
            .map(|error| error.message.as_str())
    }

    /// Whether every field holds.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// `value` if every field holds, else all the errors.
    pub fn or<T>(self, value: impl FnOnce() -> T) -> Result<T, Self> {
        if self.is_empty() {
            Ok(value())
        } else {
            Err(self)
        }
    }
}

impl fmt::Display for FieldErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, error) in self.0.iter().enumerate() {
            if at > 0 {
                f.write_str("; ")?;
            }
            write!(f, "{}: {}", error.field, error.message)?;
        }
        Ok(())
    }
}

/// The longest a name or label may be.
pub const LONGEST_LINE: usize = 200;
/// The longest a note may be.
pub const LONGEST_NOTE: usize = 4000;
/// The longest an address may be.
pub const LONGEST_ADDRESS: usize = 500;

/// Checks texts that people type; collects what is wrong.
impl FieldErrors {
    /// A line that must be there: trimmed, no control characters, at most [`LONGEST_LINE`] characters.
    pub fn line(&mut self, field: &str, text: &str) -> String {
        let text = self.optional_line(field, text);
        if text.is_none() && self.on(field).next().is_none() {
            self.add(
                field,
                "required",
                "Write something here; it must not be empty.",
            );
        }
        text.unwrap_or_default()
    }

    /// A line that may be empty.
    pub fn optional_line(&mut self, field: &str, text: &str) -> Option<String> {
        let text = text.trim();
        self.length(field, text, LONGEST_LINE);
        if text.chars().any(char::is_control) {
            self.add(
                field,
                "text",
                "Write this on one line, without control characters.",
            );
        }
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// Whether a box is ticked; what could be meant either way is refused.
    pub fn tick(&mut self, field: &str, text: &str) -> bool {
        ticked(text).unwrap_or_else(|| {
            let given: String = text.trim().to_lowercase().chars().take(60).collect();
            let message = format!("Say yes or no, or leave it empty, not \"{given}\".");
            self.add(field, "choice", message);
            false
        })
    }

    /// A note of several lines that may be empty.
    pub fn note(&mut self, field: &str, text: &str) -> String {
        let text = text.trim();
        self.length(field, text, LONGEST_NOTE);
        if text
            .chars()
            .any(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
        {
            self.add(field, "text", "Take out the control characters.");
        }
        text.to_owned()
    }

    /// A postal address of several lines, with or without a name above it, that may be empty. Blank lines are left out,
    /// so that one address is one text however it was typed.
    pub fn address(&mut self, field: &str, text: &str) -> String {
        let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
        let lines: Vec<&str> = lines.collect();
        let text = lines.join("\n");
        self.length(field, &text, LONGEST_ADDRESS);
        if lines.iter().any(|line| line.contains(char::is_control)) {
            self.add(field, "text", "Take out the control characters.");
        }
        text
    }

    /// What was seen or happened: a note that must be there.
    pub fn account(&mut self, field: &str, text: &str) -> String {
        let text = self.note(field, text);
        if text.is_empty() {
            self.add(
                field,
                "required",
                "Write the reason; it is kept in the history.",
            );
        }
        text
    }

    /// A reason that must be there.
    pub fn reason(&mut self, field: &str, text: &str) -> String {
        let text = self.account(field, text);
        if !text.is_empty() && !text.contains(char::is_alphanumeric) {
            let sentence =
                format!("Write the reason in words, not \"{text}\"; it is kept in the history.");
            self.add(field, "required", sentence);
        }
        text
    }

    fn length(&mut self, field: &str, text: &str, longest: usize) {
        let length = text.chars().count();
        if length > longest {
            self.add(
                field,
                "long",
                format!("Keep this to {longest} characters; {length} were given."),
            );
        }
    }
}
