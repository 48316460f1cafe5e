//! The form of a safety notice: a new one, or one that is corrected.

use askama::Template;

use super::super::{Shell, form::Form};
use crate::domain::{FieldErrors, HOW_COMPARED, NoticeDraft, NoticeId, ticked};

/// What the register has, to be offered where a notice is written.
#[derive(Clone, Debug, Default)]
pub struct InRegister {
    /// The makers.
    pub makers: Vec<String>,
    /// The names of their models.
    pub models: Vec<String>,
}

/// The form of a notice: a new one, or one that is corrected.
#[derive(Template)]
#[template(path = "notice/new.html")]
pub struct NewNotice {
    /// The frame.
    pub shell: Shell,
    form: Form,
    action: String,
    draft: NoticeDraft,
    known: InRegister,
    /// The version that is corrected; none where the notice is new.
    revision: Option<u32>,
    /// Where one goes without doing it.
    leave: String,
    /// Whether it is asked if it is opened although the register has nothing of what it names.
    asks: bool,
    anyway: bool,
}

impl NewNotice {
    /// The form of a new notice with what was typed.
    pub fn new(
        shell: Shell,
        id: NoticeId,
        known: InRegister,
        draft: &NoticeDraft,
        wrong: &FieldErrors,
    ) -> Self {
        // What could be meant either way is refused, and the box is where that is mended.
        let anyway = ticked(&draft.anyway) != Some(false);
        Self {
            shell,
            form: Form::new(wrong),
            action: format!("/notices?id={id}"),
            known,
            revision: None,
            leave: "/notices".to_owned(),
            asks: anyway
                || wrong
                    .0
                    .iter()
                    .any(|error| ["unknown", "alike"].contains(&error.code.as_str())),
            anyway,
            draft: draft.clone(),
        }
    }

    /// The same to correct a notice of this version.
    #[must_use]
    pub fn correcting(self, id: NoticeId, revision: u32) -> Self {
        let page = format!("/notices/{id}");
        Self {
            action: format!("{page}/correct"),
            revision: Some(revision),
            leave: page,
            ..self
        }
    }

    /// What its button does.
    fn act(&self) -> &'static str {
        match self.revision {
            None => "Open it and quarantine what it covers",
            Some(_) => "Correct it and quarantine what it covers now",
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let typed = || PROBE.to_owned();
        let draft = NoticeDraft {
            title: typed(),
            issuer: typed(),
            issued_on: typed(),
            maker: typed(),
            model_name: typed(),
            more_models: typed(),
            serials: typed(),
            lots: typed(),
            made_from: typed(),
            made_until: typed(),
            action: typed(),
            anyway: typed(),
            reason: typed(),
        };
        let mut wrong = FieldErrors::one("lots", "long", PROBE);
        wrong.add("maker", "unknown", PROBE);
        let id = gear::notice().id;
        let page = |draft: &NoticeDraft, wrong: &FieldErrors| {
            let known = InRegister {
                makers: vec![typed()],
                models: vec![typed()],
            };
            Self::new(Shell::sample("Notice"), id, known, draft, wrong)
        };
        let fine = FieldErrors::default();
        vec![
            page(&draft, &wrong),
            page(&gear::notice().draft(), &fine),
            page(&draft, &wrong).correcting(id, 1),
        ]
    }
}
