//! The kit list of a job to take along: where it is fetched, what goes where, and whether it is strong enough.

use std::collections::BTreeMap;

use super::{
    Cell, Column, PaperError, Sheet,
    record::{Imprint, day},
    symbol::Symbol,
};
use crate::domain::{
    Issue, IssuedLine, IssuedVerdict, ItemId, Job, Picture, SymbolKind, Units, fold,
};

/// What goes on the sheet.
#[derive(Clone, Debug)]
pub struct PackSheet {
    /// The job.
    pub job: Job,
    /// The verdict on its kit.
    pub verdict: IssuedVerdict,
    /// The kit, in the order of the rig's positions, then the spares.
    pub lines: Vec<IssuedLine>,
    /// The issue, where the kit is issued.
    pub issue: Option<Box<Issue>>,
    /// The last issue that has ended since, and by whom and when.
    pub last_issue: Option<(Box<Issue>, String)>,
    /// What may not go as the records stand when the paper is made, with every reason: of a kit that is issued, what
    /// became unfit since.
    pub unfit: Vec<(ItemId, Vec<String>)>,
    /// The address that the code leads to.
    pub address: String,
    /// The rig.
    pub picture: Option<Picture>,
    /// In which units whoever takes it along reads its quantities.
    pub units: Units,
}

/// What stands beside a code that does not say which server it leads to.
const WITHOUT_HOST: &str = "This server was not told its own address, so the code holds none and a phone's camera alone cannot \
     open it: sign in to Ropeloft and read it on the page \"Scan\", or type what stands above behind the server's address.";

/// The sheet as a file.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn pack_sheet(imprint: &Imprint<'_>, pack: &PackSheet) -> Result<Vec<u8>, PaperError> {
    let mut sheet = imprint.sheet(&format!("Kit list: {}", pack.job.title));
    // An address is far from the longest that a code holds.
    if let Ok(symbol) = Symbol::new(SymbolKind::Qr, &pack.address) {
        sheet.code(&symbol, &pack.address);
        if pack.address.starts_with('/') {
            sheet.paragraph(WITHOUT_HOST);
        }
    }
    unfit(&mut sheet, pack);
    sheet.facts(&plan(imprint, pack));
    sheet.heading("The verdict");
    sheet.paragraph(&pack.units.beside(&pack.verdict.sentence));
    for warning in &pack.verdict.warnings {
        sheet.caution(&pack.units.beside(warning));
    }
    if !pack.verdict.needs.is_empty() {
        sheet.heading("What the crew needs");
        let needs = pack.verdict.needs.iter();
        let needs = needs.map(|need| {
            let value = Cell::new(pack.units.beside(&need.value));
            (need.what.as_str(), value)
        });
        sheet.facts(&needs.collect::<Vec<_>>());
    }
    for (store, lines) in by_store(&pack.lines) {
        sheet.heading(&format!("From {store}: {}", lines.len()));
        table(&mut sheet, &lines, &pack.unfit);
    }
    if let Some(picture) = &pack.picture {
        sheet.picture("The rig", picture);
    }
    if !pack.verdict.rig_asks.is_empty() {
        sheet.heading("What this rig asks for");
        for line in &pack.verdict.rig_asks {
            sheet.caution(&pack.units.beside(line));
        }
    }
    sheet.heading("What this does not tell");
    for caution in &pack.verdict.cautions {
        sheet.caution(caution);
    }
    sheet.written()
}

/// What may not go, before anything else is read.
fn unfit(sheet: &mut Sheet, pack: &PackSheet) {
    if pack.unfit.is_empty() {
        return;
    }
    sheet.heading(match pack.issue {
        Some(_) => "Since then: not fit any more, stop using it",
        None => "May not go as it stands",
    });
    for (item, reasons) in &pack.unfit {
        let line = pack.lines.iter().find(|line| line.item == *item);
        let mark = line.map_or("An item of the list", |line| line.mark.as_str());
        for reason in reasons {
            sheet.paragraph(&pack.units.beside(&format!("{mark}: {reason}")));
        }
    }
}

fn plan(imprint: &Imprint<'_>, pack: &PackSheet) -> Vec<(&'static str, Cell)> {
    let (job, zone) = (&pack.job, imprint.zone);
    let out = pack.issue.as_ref().map(|issue| (issue, String::new()));
    let over = pack.last_issue.as_ref();
    let over = over.map(|(issue, how)| (issue, format!("; {how}")));
    let issued = out.or(over).map(|(issue, back)| {
        let alone = if issue.alone {
            " (one person alone)"
        } else {
            ""
        };
        format!(
            "{}, handed out by {}, taken by {}{alone}{back}",
            zone.words(issue.at),
            issue.by.name,
            issue.to.name
        )
    });
    let written = |text: &str| Cell::of(Some(text).filter(|text| !text.is_empty()));
    let load = match job.case {
        Some(case) => format!("{}, planned for {}", job.load, case.word()),
        None => job.load.to_string(),
    };
    vec![
        ("Where", Cell::new(job.place.as_str())),
        (
            "When",
            Cell::new(format!(
                "{} to {}",
                zone.words(job.starts_at),
                zone.words(job.ends_at)
            )),
        ),
        (
            "Depth",
            Cell::new(pack.units.beside(&job.depth.to_string())),
        ),
        ("Load", Cell::new(pack.units.beside(&load))),
        ("Rig", Cell::new(pack.verdict.rig.as_str())),
        ("Rulebook", Cell::new(pack.verdict.rulebook.as_str())),
        (
            "Issued",
            Cell::new(issued.unwrap_or_else(|| "not yet".to_owned())),
        ),
        ("Hazards", written(&job.site.hazards)),
        ("Edge", written(&job.site.edge)),
        ("Anchors", written(&job.site.anchors)),
        ("Note", written(&job.note)),
    ]
}

/// The lines by store, the stores by name.
fn by_store(lines: &[IssuedLine]) -> Vec<(&str, Vec<&IssuedLine>)> {
    let mut stores: BTreeMap<String, (&str, Vec<&IssuedLine>)> = BTreeMap::new();
    for line in lines {
        let store = stores.entry(fold(&line.store));
        store
            .or_insert_with(|| (line.store.as_str(), Vec::new()))
            .1
            .push(line);
    }
    stores.into_values().collect()
}

/// What a line is, and what was noted of it.
fn what(line: &IssuedLine) -> String {
    let what = format!("{}, {}", line.kind.word(), line.model);
    match line.note.trim() {
        "" => what,
        note => format!("{what}. Note: {note}"),
    }
}

fn table(sheet: &mut Sheet, lines: &[&IssuedLine], unfit: &[(ItemId, Vec<String>)]) {
    let columns = [
        ("Packed", 1.2),
        ("Mark", 1.8),
        ("What", 3.4),
        ("Serial", 1.9),
        ("Position", 3.2),
        ("In date until", 1.8),
    ]
    .map(|(name, part)| Column { name, part });
    let rows = lines.iter().map(|line| {
        let is_unfit = unfit.iter().any(|(item, _)| *item == line.item);
        let mark = if is_unfit {
            format!("{}\nNOT FIT", line.mark)
        } else {
            line.mark.clone()
        };
        vec![
            Cell::new("[    ]"),
            Cell::new(mark),
            Cell::new(what(line)),
            Cell::of(line.serial.as_ref()),
            Cell::new(line.place.as_str()),
            day(line.due_on),
        ]
    });
    let rows: Vec<Vec<Cell>> = rows.collect();
    sheet.table(&columns, &rows);
}
