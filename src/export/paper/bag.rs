//! The list of a bag, to lie in it: what belongs there, and what is there of it.

use super::{
    Cell, Column, PaperError, Sheet,
    record::{CAUTIONS, Imprint},
};

/// A line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedLine {
    /// How many belong there.
    pub count: u16,
    /// Of what.
    pub words: String,
    /// The marks of those that are there.
    pub there: Vec<String>,
}

/// An item that lives there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedItem {
    /// Its mark.
    pub mark: String,
    /// Maker and model.
    pub model: String,
    /// The maker's serial.
    pub serial: Option<String>,
    /// Fit, or how many reasons are against it.
    pub fit: String,
}

/// The list as a file.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn bag_list(
    imprint: &Imprint<'_>,
    name: &str,
    lines: &[ListedLine],
    items: &[ListedItem],
) -> Result<Vec<u8>, PaperError> {
    let mut sheet = imprint.sheet(&format!("Contents of {name}"));
    belonging(&mut sheet, lines);
    living(&mut sheet, items);
    sheet.heading("What this does not tell");
    for caution in CAUTIONS {
        sheet.caution(caution);
    }
    sheet.written()
}

const fn column(name: &'static str, part: f32) -> Column<'static> {
    Column { name, part }
}

fn belonging(sheet: &mut Sheet, lines: &[ListedLine]) {
    sheet.heading("What belongs in it");
    let rows: Vec<Vec<Cell>> = lines
        .iter()
        .map(|line| {
            let there = line.there.len();
            vec![
                Cell::new(line.count.to_string()),
                Cell::new(line.words.as_str()),
                Cell::new(there.to_string()),
                Cell::new(line.there.join(", ")),
            ]
        })
        .collect();
    if rows.is_empty() {
        sheet.paragraph("It has no list.");
    } else {
        let columns = [
            column("Belong", 1.2),
            column("What", 4.0),
            column("There", 1.2),
            column("Marks", 5.0),
        ];
        sheet.table(&columns, &rows);
    }
}

fn living(sheet: &mut Sheet, items: &[ListedItem]) {
    let rows: Vec<Vec<Cell>> = items
        .iter()
        .map(|item| {
            vec![
                Cell::new(item.mark.as_str()),
                Cell::new(item.model.as_str()),
                Cell::of(item.serial.as_ref()),
                Cell::new(item.fit.as_str()),
            ]
        })
        .collect();
    let columns = [
        column("Mark", 2.4),
        column("Model", 4.4),
        column("Serial", 2.8),
        column("Fit", 2.4),
    ];
    sheet.listed("What lives in it", &columns, &rows);
}
