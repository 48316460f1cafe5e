//! The editor of a rig: its sheet as a form or as text, and what it comes to.

use askama::Template;

use super::{Look, part::lists, row::Rows};
use crate::{
    domain::{FieldErrors, RigDraft, RigId},
    view::{
        Shell,
        form::{Field, Form},
        part::Tone,
    },
};

/// Which rig is edited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditorTarget {
    /// A new one, under an id that was made when the editor was opened.
    New(RigId),
    /// One that is there: its key, and the version that was opened.
    There(String, u32),
}

/// How the sheet is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tab {
    /// As fields.
    Form(Box<RigDraft>),
    /// As text.
    Text(String),
}

/// The editor.
#[derive(Template)]
#[template(path = "rig/editor.html")]
pub struct RigEditor {
    /// The frame.
    pub shell: Shell,
    action: String,
    back: String,
    revision: Option<u32>,
    form: Form,
    /// Whether saving was tried: then all that is wrong stands on top.
    pub refused: bool,
    whole: Vec<Field>,
    lists: Vec<Rows>,
    text: Option<Field>,
    note: Field,
    /// What it comes to, or what is wrong.
    pub look: Look,
    /// A sentence on top where somebody else has saved first.
    pub stale: Option<String>,
}

impl RigEditor {
    /// The editor with what was typed, and the answer to a look at it.
    pub fn new(
        shell: Shell,
        target: &EditorTarget,
        tab: &Tab,
        note: &str,
        (wrong, look): (&FieldErrors, Look),
    ) -> Self {
        let form = Form::new(wrong);
        let (action, back, revision) = match target {
            EditorTarget::New(id) => (format!("/rigs?id={id}"), "/rigs".to_owned(), None),
            EditorTarget::There(key, revision) => {
                let page = format!("/rigs/{key}");
                (format!("{page}/edit"), page, Some(*revision))
            }
        };
        let (whole, lists, text) = match tab {
            Tab::Form(draft) => (whole(&form, draft), lists(&form, &action, draft), None),
            Tab::Text(text) => (Vec::new(), Vec::new(), Some(text_field(&form, text))),
        };
        Self {
            shell,
            back,
            revision,
            refused: false,
            whole,
            lists,
            text,
            note: form
                .note("note", "What is new, and why", note)
                .hint("Kept in the history beside this version.")
                .rows(2),
            look,
            stale: None,
            action,
            form,
        }
    }

    /// Opens the part of the form in which something was just done: `rope[0][path][2]`.
    pub fn open_at(&mut self, touched: &str) {
        for list in &mut self.lists {
            list.open_at(touched);
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::{rigging::shipped, view::PROBE};
        let shell = || Shell::sample(PROBE);
        let there = EditorTarget::There("our-lift".to_owned(), 2);
        let new = EditorTarget::New(RigId::new());
        let mut probe = RigDraft::from(&shipped()[0].sheet());
        PROBE.clone_into(&mut probe.title);
        PROBE.clone_into(&mut probe.body[0].title);
        PROBE.clone_into(&mut probe.position[0].title);
        PROBE.clone_into(&mut probe.rope[0].path[1].position);
        let mut wrong = FieldErrors::one("rope[0][path][1][position]", "unknown", PROBE);
        wrong.add("rope[0][path][1]", "shape", PROBE);
        wrong.add("body", "loads", PROBE);
        let mut pages: Vec<Self> = shipped()
            .iter()
            .map(|rig| {
                let tab = Tab::Form(Box::new(RigDraft::from(&rig.sheet())));
                let nothing = FieldErrors::default();
                Self::new(shell(), &there, &tab, "", (&nothing, Look::at(rig)))
            })
            .collect();
        for tab in [Tab::Form(Box::new(probe)), Tab::Text(PROBE.to_owned())] {
            let look = Look::wrong(&wrong);
            let mut page = Self::new(shell(), &new, &tab, PROBE, (&wrong, look));
            page.refused = true;
            page.stale = Some(PROBE.to_owned());
            pages.push(page);
        }
        pages
    }
}

/// What is said of the rig as a whole.
fn whole(form: &Form, draft: &RigDraft) -> Vec<Field> {
    vec![
        form.line("title", "What it is called", &draft.title).must(),
        form.line("key", "Key", &draft.key)
            .hint("Lower-case letters, digits and hyphens; jobs and files name it, so it stays."),
        form.note("when", "When it is used, in a sentence", &draft.when)
            .rows(2)
            .must(),
        form.note(
            "limits",
            "What it does not do, one sentence a line",
            &draft.limits,
        )
        .rows(4),
        form.tick(
            "only_lowers",
            "Nothing is ever hauled with it",
            !draft.only_lowers.is_empty(),
        ),
    ]
}

fn text_field(form: &Form, text: &str) -> Field {
    form.note("text", "The sheet as text, TOML or JSON", text)
        .rows(28)
        .must()
        .autocomplete("off")
}
