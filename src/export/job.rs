//! Jobs with their kit: one row an item on the list, or one without an item where the list is empty.

use super::{
    Cell, Column,
    cell::{moment, text, told, told_of},
    column::column,
};
use crate::domain::{Item, Job, KitLine, LoadCase, Model};

/// How many cells a row has.
pub const CELLS: usize = 23;

/// The columns. A line without a position is a spare.
pub const COLUMNS: [Column; CELLS] = [
    column("job").on_paper(2.4),
    column("place").on_paper(2.2),
    column("starts_at").on_paper(2.2),
    column("ends_at").on_paper(2.2),
    column("state").on_paper(1.6),
    column("depth"),
    column("load"),
    column("load_case"),
    column("rulebook"),
    column("rig"),
    column("hazards"),
    column("edge"),
    column("anchors"),
    column("note"),
    column("position").on_paper(1.8),
    column("mark").on_paper(1.8),
    column("maker"),
    column("model").on_paper(2.2),
    column("serial"),
    column("lot"),
    column("job_id"),
    column("kit_line_id"),
    column("item_id"),
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

/// The row of a job with one line of its kit, or with none.
pub fn row<'a>(job: &'a Job, listed: Option<Listed<'a>>) -> [Cell<'a>; CELLS] {
    let line = listed.map(|listed| listed.line);
    let item = listed.and_then(|listed| listed.item);
    let model = listed.and_then(|listed| listed.model);
    [
        job.title.as_str().into(),
        job.place.as_str().into(),
        moment(job.starts_at),
        moment(job.ends_at),
        job.state.key().into(),
        told(job.depth),
        told(job.load),
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
        told(job.id),
        told_of(line.map(|line| line.id)),
        told_of(line.map(|line| line.item)),
    ]
}
