//! A field as it is written into a page.

use std::fmt;

use askama::{Template, filters::HtmlSafe};

use super::{Field, Kind};
use crate::view::part::Tone;

/// The attributes that tie an input to its hint and errors.
struct Ties<'a>(&'a Field);

impl fmt::Display for Ties<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let field = self.0;
        f.write_str(&field.attributes)?;
        if field.must && field.kind != Kind::Tick {
            f.write_str(" aria-required=\"true\"")?;
        }
        let mut by = Vec::new();
        if !field.hint.is_empty() {
            by.push(format!("{}-hint", field.id));
        }
        for at in 1..=field.messages.len() {
            by.push(format!("{}-wrong-{at}", field.id));
        }
        if !by.is_empty() {
            write!(f, " aria-describedby=\"{}\"", by.join(" "))?;
        }
        if !field.messages.is_empty() {
            f.write_str(" aria-invalid=\"true\"")?;
        }
        if field.first {
            f.write_str(" autofocus")?;
        }
        Ok(())
    }
}

impl HtmlSafe for Ties<'_> {}

#[derive(Template)]
#[template(path = "part/field.html")]
struct FieldPart<'a> {
    kind: &'a Kind,
    id: &'a str,
    name: &'a str,
    label: &'a str,
    value: &'a str,
    hint: &'a str,
    unit: &'a str,
    messages: &'a [String],
    must: bool,
    may: &'static str,
    wide: bool,
    only: &'a str,
    keeps_value: bool,
    sends: &'a str,
    rows: u8,
    ties: Ties<'a>,
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        FieldPart {
            kind: &self.kind,
            id: &self.id,
            name: &self.name,
            label: &self.label,
            value: &self.value,
            hint: &self.hint,
            unit: &self.unit,
            messages: &self.messages,
            // A tick may always be left out, so it says nothing about it.
            must: self.must,
            may: self.may,
            wide: self.wide,
            only: &self.only,
            keeps_value: self.keeps_value,
            sends: &self.sends,
            rows: self.rows,
            ties: Ties(self),
        }
        .fmt(f)
    }
}
