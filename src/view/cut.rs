//! Cutting a rope into pieces.

use askama::Template;

use super::{
    Shell,
    form::{Field, Form},
    quantity,
};
use crate::domain::{CutDraft, CutId, FieldErrors, Item, PieceDraft};

/// The form.
#[derive(Template)]
#[template(path = "cut/new.html")]
pub struct NewCut {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    action: String,
    mark: String,
    length: String,
    draft: CutDraft,
    pieces: Vec<PieceRow>,
    marked: bool,
    wrong_pieces: Vec<String>,
}

/// The fields of one piece.
struct PieceRow {
    number: usize,
    mark: Field,
    length: Field,
}

/// How many pieces a form begins with.
const ROWS: usize = 3;

/// The draft with so many pieces that there is room to write.
pub fn with_room(mut draft: CutDraft) -> CutDraft {
    while draft.pieces.len() < ROWS {
        draft.pieces.push(PieceDraft::default());
    }
    draft
}

impl NewCut {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        id: CutId,
        rope: &Item,
        draft: &CutDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let form = Form::new(wrong);
        let href = format!("/items/{}", rope.id);
        let length = rope.attributes.length("length");
        let length = length.map(|length| quantity::length(length, shell.units).words);
        let pieces = draft.pieces.iter().enumerate();
        Self {
            action: format!("{href}/cuts?id={id}"),
            mark: rope.mark.clone(),
            length: length.unwrap_or_else(|| "not known".to_owned()),
            pieces: pieces.map(|(at, piece)| row(&form, at, piece)).collect(),
            marked: matches!(draft.marked.trim(), "yes" | "on" | "true"),
            wrong_pieces: form.wrong_at("pieces"),
            draft: draft.clone(),
            shell,
            form,
            href,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let typed = || PROBE.to_owned();
        let piece = PieceDraft {
            mark: typed(),
            length: typed(),
        };
        let draft = CutDraft {
            on: typed(),
            pieces: vec![piece],
            waste: typed(),
            marked: "yes".to_owned(),
            reason: typed(),
        };
        let mut wrong = FieldErrors::one("pieces[0][length]", "unit", PROBE);
        wrong.add("pieces", "range", PROBE);
        let page = |draft, wrong: &FieldErrors| {
            let shell = Shell::sample("Cut");
            Self::new(shell, CutId(gear::item().id.0), &gear::item(), draft, wrong)
        };
        vec![
            page(&draft, &wrong),
            page(&with_room(CutDraft::default()), &FieldErrors::default()),
        ]
    }
}

fn row(form: &Form, at: usize, piece: &PieceDraft) -> PieceRow {
    let mark = form.line(&format!("pieces[{at}][mark]"), "Its mark", &piece.mark);
    let length = form.number(
        &format!("pieces[{at}][length]"),
        "Its length",
        &piece.length,
    );
    // There is one piece at least; a further one is passed over whole or is written whole.
    let must = at == 0 || mark.is_filled() || length.is_filled();
    let kept = |field: Field| if must { field.must() } else { field };
    PieceRow {
        number: at + 1,
        mark: kept(mark),
        length: kept(length.hint("With its unit, such as 30 m.")),
    }
}
