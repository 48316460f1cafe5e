//! One's private addresses of the calendar.

use askama::Template;

use super::{Shell, form::Form, part::SectionNav, setting::nav};
use crate::domain::FieldErrors;

/// One address.
#[derive(Clone, Debug)]
pub struct CalendarRow {
    /// Its id.
    pub id: String,
    /// When it was made.
    pub made: String,
    /// When it was revoked.
    pub revoked: Option<String>,
}

/// The addresses.
#[derive(Template)]
#[template(path = "calendar/list.html")]
pub struct Calendars {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    rows: Vec<CalendarRow>,
    /// The address that was just made; shown here and never again.
    address: Option<String>,
    full: Vec<String>,
}

impl Calendars {
    /// The page.
    pub fn new(
        shell: Shell,
        rows: Vec<CalendarRow>,
        wrong: &FieldErrors,
        address: Option<String>,
    ) -> Self {
        Self {
            shell,
            nav: nav("/settings/calendars"),
            full: Form::new(wrong).wrong_at("calendar"),
            rows,
            address,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let row = |revoked| CalendarRow {
            id: "x".to_owned(),
            made: PROBE.to_owned(),
            revoked,
        };
        let rows = vec![row(None), row(Some(PROBE.to_owned()))];
        let full = FieldErrors::one("calendar", "range", PROBE);
        let page = |rows, wrong: &FieldErrors, address| {
            Self::new(Shell::sample("Calendars"), rows, wrong, address)
        };
        vec![
            page(rows, &FieldErrors::default(), Some(PROBE.to_owned())),
            page(Vec::new(), &full, None),
        ]
    }
}
