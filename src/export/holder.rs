//! Who had what a safety notice covers: one row a job, or one without a job where an item was on none.

use time::OffsetDateTime;

use super::{
    Cell, Column,
    cell::{moment, text, told, told_of},
    column::column,
};
use crate::domain::{Job, Model, Notice, NoticeItem};

/// How many cells a row has.
pub const CELLS: usize = 22;

/// The columns. `result` is empty where the notice was not closed for the item; `notice_state` tells how it stands for it:
/// `open`, `closed`, `withdrawn`, or `let-out` where it covers it no more.
pub const COLUMNS: [Column; CELLS] = [
    column("notice"),
    column("mark").on_paper(1.8),
    column("kind"),
    column("maker"),
    column("model").on_paper(2.2),
    column("serial").on_paper(2.0),
    column("lot"),
    column("made"),
    column("state").on_paper(1.8),
    column("result").on_paper(2.4),
    column("job").on_paper(2.2),
    column("place"),
    column("starts_at").on_paper(2.2),
    column("ends_at"),
    column("job_state"),
    column("put_on_by").on_paper(2.2),
    column("put_on_at"),
    column("taken_off"),
    column("notice_id"),
    column("item_id"),
    column("job_id"),
    column("notice_state"),
];

/// An item that a notice covers or covered.
#[derive(Clone, Copy, Debug)]
pub struct Covered<'a> {
    /// The notice.
    pub notice: &'a Notice,
    /// The item, with its closing if the notice was closed for it.
    pub of: &'a NoticeItem,
    /// Its model.
    pub model: &'a Model,
}

/// That it was on a job.
#[derive(Clone, Copy, Debug)]
pub struct On<'a> {
    /// The job.
    pub job: &'a Job,
    /// Who put it on.
    pub by: &'a str,
    /// When it was put on.
    pub at: OffsetDateTime,
    /// Whether it was taken off again.
    pub taken_off: bool,
}

/// The row of an item on a job, or on none.
pub fn row<'a>(covered: Covered<'a>, on: Option<On<'a>>) -> [Cell<'a>; CELLS] {
    let Covered { notice, of, model } = covered;
    let (item, closing) = (&of.item, of.closing.as_ref());
    let of_job = |cell: fn(On<'a>) -> Cell<'a>| on.map_or(Cell::Nothing, cell);
    [
        notice.title.as_str().into(),
        item.mark.as_str().into(),
        model.kind.key().into(),
        model.maker.as_str().into(),
        model.name.as_str().into(),
        text(item.serial.as_ref()),
        text(item.lot.as_ref()),
        told_of(item.made),
        item.state.key().into(),
        closing.map_or("", |closing| closing.result.as_str()).into(),
        of_job(|on| on.job.title.as_str().into()),
        of_job(|on| on.job.place.as_str().into()),
        of_job(|on| moment(on.job.starts_at)),
        of_job(|on| moment(on.job.ends_at)),
        of_job(|on| on.job.state.key().into()),
        of_job(|on| on.by.into()),
        of_job(|on| moment(on.at)),
        of_job(|on| if on.taken_off { "yes" } else { "no" }.into()),
        told(notice.id),
        told(item.id),
        of_job(|on| told(on.job.id)),
        of.standing.key().into(),
    ]
}
