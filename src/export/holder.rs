//! Who had what a safety notice covers: one row a job, or one without a job where an item was on none.

use std::borrow::Cow;

use time::OffsetDateTime;

use super::{
    Table,
    cell::{moment, number, text},
};
use crate::domain::{Item, Job, Model, Notice, NoticeClosing};

/// How many cells a row has.
pub const CELLS: usize = 21;

/// The headings. `result` is empty while the notice is open for the item.
pub const HEADINGS: [&str; CELLS] = [
    "notice",
    "mark",
    "kind",
    "maker",
    "model",
    "serial",
    "lot",
    "made",
    "state",
    "result",
    "job",
    "place",
    "starts_at",
    "ends_at",
    "job_state",
    "put_on_by",
    "put_on_at",
    "taken_off",
    "notice_id",
    "item_id",
    "job_id",
];

/// An item that a notice covers.
#[derive(Clone, Copy, Debug)]
pub struct Covered<'a> {
    /// The notice.
    pub notice: &'a Notice,
    /// The item.
    pub item: &'a Item,
    /// Its model.
    pub model: &'a Model,
    /// How the notice was closed for it.
    pub closing: Option<&'a NoticeClosing>,
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

/// Adds an item on a job, or on none.
pub fn push(table: &mut Table<CELLS>, covered: Covered<'_>, on: Option<On<'_>>) {
    let Covered {
        notice,
        item,
        model,
        closing,
    } = covered;
    let of_job = |cell: fn(On<'_>) -> Cow<'_, str>| on.map_or(Cow::Borrowed(""), cell);
    table.row([
        notice.title.as_str().into(),
        item.mark.as_str().into(),
        model.kind.key().into(),
        model.maker.as_str().into(),
        model.name.as_str().into(),
        text(item.serial.as_ref()),
        text(item.lot.as_ref()),
        item.made
            .map(|made| made.to_string())
            .unwrap_or_default()
            .into(),
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
        number(notice.id),
        number(item.id),
        of_job(|on| number(on.job.id)),
    ]);
}
