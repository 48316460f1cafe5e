//! Cutting a rope into pieces.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Field, Form},
    quantity,
};
use crate::domain::{CutDraft, CutId, CutSum, FieldErrors, Item, PieceDraft, Rest, Units, ticked};

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
    /// The lengths that were typed, added up; empty where nothing is to be said yet.
    sum: String,
    /// How long the rope is in metres, for the script that adds up while somebody types; empty is not known.
    metres: String,
    /// What was left over, in metres, where it is asked what became of it.
    left: Option<String>,
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
        let form = Form::new(&told_in(wrong, shell.units));
        let href = format!("/items/{}", rope.id);
        let length = rope.attributes.length("length");
        let metres = length.map(|length| length.quantity().metres().to_string());
        let length = length.map(|length| quantity::length(length, shell.units).words);
        let pieces = draft.pieces.iter().enumerate();
        let sum = draft.sum(rope);
        let asked = !draft.rest.trim().is_empty() || form.is_wrong_in("rest");
        let left = sum
            .map(|sum| sum.left())
            .filter(|left| asked && *left > 0.0);
        Self {
            action: format!("{href}/cuts?id={id}"),
            mark: rope.mark.clone(),
            length: length.unwrap_or_else(|| "not known".to_owned()),
            pieces: pieces.map(|(at, piece)| row(&form, at, piece)).collect(),
            marked: ticked(&draft.marked) == Some(true),
            wrong_pieces: form.wrong_at("pieces"),
            sum: sum.map_or_else(String::new, |sum| said(sum, shell.units)),
            metres: metres.unwrap_or_default(),
            left: left.map(|left| format!("{left:.3} m")),
            draft: draft.clone(),
            shell,
            form,
            href,
        }
    }

    /// What may have become of what is left over.
    fn rests(&self) -> Choices {
        let words = |rest: Rest| match rest {
            Rest::ThrownAway => "Thrown away too",
            Rest::NotKnown => "Nobody knows",
        };
        Rest::ALL
            .map(|rest| (rest.key().to_owned(), words(rest).to_owned()))
            .into()
    }

    /// The units in which the script adds up.
    fn units(&self) -> &'static str {
        match self.shell.units {
            Units::Metric => "metric",
            Units::Us => "us",
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
            ..CutDraft::default()
        };
        let left = CutDraft {
            pieces: vec![PieceDraft {
                mark: typed(),
                length: "1 m".to_owned(),
            }],
            rest: "not-known".to_owned(),
            ..CutDraft::default()
        };
        let mut wrong = FieldErrors::one("pieces[0][length]", "unit", PROBE);
        wrong.add("pieces", "range", PROBE);
        let page = |draft, wrong: &FieldErrors| {
            let shell = Shell::sample("Cut");
            Self::new(shell, CutId(gear::item().id.0), &gear::item(), draft, wrong)
        };
        vec![
            page(&draft, &wrong),
            page(&left, &FieldErrors::one("rest", "stale", PROBE)),
            page(&with_room(CutDraft::default()), &FieldErrors::default()),
        ]
    }
}

/// What is wrong, with its lengths in these units too.
fn told_in(wrong: &FieldErrors, units: Units) -> FieldErrors {
    let mut told = wrong.clone();
    for error in &mut told.0 {
        error.message = units.beside(&error.message);
    }
    told
}

/// The sum as a sentence.
fn said(sum: CutSum, units: Units) -> String {
    format!("{}.", units.beside(&sum.words()))
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
