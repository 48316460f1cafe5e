//! A team's own rulebook as a sheet that was written elsewhere.

use askama::Template;

use crate::{
    domain::{FieldErrors, RulebookId},
    view::{Shell, form::Form, part::Tone},
};

use super::RulebookTarget;

/// The form that takes a sheet.
#[derive(Template)]
#[template(path = "rulebook/sheet.html")]
pub struct SheetForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    faults: Vec<String>,
    action: String,
    back: String,
    revision: Option<u32>,
    sheet: String,
    stale: bool,
}

impl SheetForm {
    /// The form with the sheet as it was sent, and what is wrong with it.
    pub fn new(shell: Shell, target: &RulebookTarget, sheet: &str, wrong: &FieldErrors) -> Self {
        let (action, back, revision) = match target {
            RulebookTarget::New(id) => (
                format!("/rulebooks/sheet?id={id}"),
                "/rulebooks".to_owned(),
                None,
            ),
            RulebookTarget::There(key, revision) => (
                format!("/rulebooks/{key}/sheet"),
                format!("/rulebooks/{key}"),
                Some(*revision),
            ),
        };
        let faults: Vec<String> = wrong.on("sheet").map(str::to_owned).collect();
        let first = faults.first().map(|_| {
            let sentence = match faults.len() {
                1 => "One fault stands above.".to_owned(),
                n => format!("{n} faults stand above, each with its line."),
            };
            FieldErrors::one("sheet", "sheet", sentence)
        });
        Self {
            shell,
            form: Form::new(&first.unwrap_or_else(|| wrong.clone())),
            faults,
            action,
            back,
            revision,
            sheet: sheet.to_owned(),
            stale: false,
        }
    }

    /// The same, after somebody else saved a newer version.
    #[must_use]
    pub fn after_another(mut self) -> Self {
        self.stale = true;
        self
    }

    /// How many lines the sheet shows.
    fn rows(&self) -> u8 {
        24
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let mut wrong = FieldErrors::one("sheet", "sheet", PROBE);
        wrong.add("sheet", "sheet", PROBE);
        let targets = [
            RulebookTarget::New(RulebookId(uuid::Uuid::nil())),
            RulebookTarget::There("own".to_owned(), 2),
        ];
        targets
            .map(|target| {
                let shell = Shell::sample("A rulebook's sheet");
                Self::new(shell, &target, PROBE, &wrong).after_another()
            })
            .into()
    }
}
