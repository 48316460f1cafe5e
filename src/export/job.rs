//! Jobs with their kit: one row an item on the list, or one without an item where the list is empty.

use super::{
    Table,
    cell::{moment, number, text},
};
use crate::domain::{Item, Job, KitLine, LoadCase, Model};

/// How many cells a row has.
pub const CELLS: usize = 23;

/// The headings. A line without a position is a spare.
pub const HEADINGS: [&str; CELLS] = [
    "job",
    "place",
    "starts_at",
    "ends_at",
    "state",
    "depth",
    "load",
    "load_case",
    "rulebook",
    "rig",
    "hazards",
    "edge",
    "anchors",
    "note",
    "position",
    "mark",
    "maker",
    "model",
    "serial",
    "lot",
    "job_id",
    "kit_line_id",
    "item_id",
];

/// One item on a job's list.
#[derive(Clone, Copy, Debug)]
pub struct Listed<'a> {
    /// The line.
    pub line: &'a KitLine,
    /// Its item.
    pub item: Option<&'a Item>,
    /// The item's model.
    pub model: Option<&'a Model>,
}

/// Adds a job with one line of its kit, or with none.
pub fn push(table: &mut Table<CELLS>, job: &Job, listed: Option<Listed<'_>>) {
    let line = listed.map(|listed| listed.line);
    let item = listed.and_then(|listed| listed.item);
    let model = listed.and_then(|listed| listed.model);
    table.row([
        job.title.as_str().into(),
        job.place.as_str().into(),
        moment(job.starts_at),
        moment(job.ends_at),
        job.state.key().into(),
        number(job.depth),
        number(job.load),
        job.case.map_or("", LoadCase::key).into(),
        job.rulebook.as_str().into(),
        job.rig.as_str().into(),
        job.site.hazards.as_str().into(),
        job.site.edge.as_str().into(),
        job.site.anchors.as_str().into(),
        job.note.as_str().into(),
        text(line.and_then(|line| line.position.as_ref())),
        item.map_or("", |item| item.mark.as_str()).into(),
        model.map_or("", |model| model.maker.as_str()).into(),
        model.map_or("", |model| model.name.as_str()).into(),
        text(item.and_then(|item| item.serial.as_ref())),
        text(item.and_then(|item| item.lot.as_ref())),
        number(job.id),
        line.map(|line| line.id.to_string())
            .unwrap_or_default()
            .into(),
        line.map(|line| line.item.to_string())
            .unwrap_or_default()
            .into(),
    ]);
}
