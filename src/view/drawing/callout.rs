//! What is said of each position, in a column to each side of the drawing, with a line to it.

use super::figure::{Align, Back, FRAME, Label, Mark, circle, line};
use super::frame::{Area, Point, at};
use super::label::{LINE, Placer};
use super::note::Note;
use super::scene::{Place, Scene};
use super::size::Size;

/// The width of a column of words.
const COLUMN: f64 = 172.0;
/// Between the drawing and the words.
const GUTTER: f64 = 26.0;
/// Between two callouts.
const BETWEEN: f64 = 7.0;
/// The most lines of a title.
const LINES: usize = 3;

/// One position and its words.
struct Callout {
    place: Place,
    lines: Vec<(String, bool)>,
    is_weakest: bool,
}

impl Callout {
    fn new(note: &Note, place: Place, size: &Size) -> Self {
        let title = format!("{} {}", note.number, note.title);
        let mut lines: Vec<(String, bool)> = folded(&title, size)
            .into_iter()
            .map(|words| (words, false))
            .collect();
        if note.is_weakest {
            lines.insert(0, ("Weakest link".to_owned(), true));
        }
        if !note.result.is_empty() {
            lines.push((note.result.clone(), true));
        }
        Self {
            place,
            lines,
            is_weakest: note.is_weakest,
        }
    }

    fn high(&self, size: &Size) -> f64 {
        let frame = if self.is_weakest { 2.0 * FRAME } else { 0.0 };
        size.text * LINE * f64::from(u32::try_from(self.lines.len()).unwrap_or(u32::MAX)) + frame
    }
}

/// Breaks words into lines of a column; what is too long is cut, since the table has it whole.
fn folded(words: &str, size: &Size) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in words.split_whitespace() {
        let last = lines.last().cloned().unwrap_or_default();
        let longer = if last.is_empty() {
            word.to_owned()
        } else {
            format!("{last} {word}")
        };
        if last.is_empty() || size.wide(&longer) <= COLUMN - 6.0 {
            lines.pop();
            lines.push(cut(&longer, size));
        } else if lines.len() == LINES {
            let short = cut(&format!("{last} …"), size);
            lines.pop();
            lines.push(short);
            break;
        } else {
            lines.push(cut(word, size));
        }
    }
    lines
}

/// A line that is no wider than a column.
fn cut(line: &str, size: &Size) -> String {
    if size.wide(line) <= COLUMN - 6.0 {
        return line.to_owned();
    }
    let mut short = String::new();
    for c in line.chars() {
        short.push(c);
        if size.wide(&short) > COLUMN - 24.0 {
            break;
        }
    }
    short.push('…');
    short
}

/// Writes a callout for every note; answers the lines that lead to them.
pub(super) fn write(scene: &Scene, placer: &mut Placer, notes: &[Note]) -> Vec<Mark> {
    let labels = placer.labels.iter().map(|label| label.area);
    let art = labels.fold(scene.art(), Area::with);
    let size = scene.size;
    let mut left: Vec<Callout> = Vec::new();
    let mut right: Vec<Callout> = Vec::new();
    let mut all: Vec<Callout> = notes
        .iter()
        .filter_map(|note| {
            Some(Callout::new(
                note,
                *scene.places[&note.position].first()?,
                size,
            ))
        })
        .collect();
    // From the outside in, so that those in the middle go where there is room.
    let middle = art.center().x;
    all.sort_by(|a, b| {
        let off = |callout: &Callout| (callout.place.center.x - middle).abs();
        off(b).total_cmp(&off(a))
    });
    let high = |callouts: &[Callout]| -> f64 {
        callouts
            .iter()
            .map(|callout| callout.high(size) + BETWEEN)
            .sum()
    };
    let total = high(&all);
    for callout in all {
        let wants_left = callout.place.center.x < middle;
        let (own, other) = if wants_left {
            (&mut left, &mut right)
        } else {
            (&mut right, &mut left)
        };
        if high(own) + callout.high(size) <= total / 2.0 + 20.0 {
            own.push(callout);
        } else {
            other.push(callout);
        }
    }
    let mut marks = column(&mut left, placer, art, Align::Right);
    marks.extend(column(&mut right, placer, art, Align::Left));
    marks
}

/// One column, each callout as near to the height of its item as the others allow.
fn column(callouts: &mut [Callout], placer: &mut Placer, art: Area, align: Align) -> Vec<Mark> {
    let size = placer.size;
    callouts.sort_by(|a, b| a.place.center.y.total_cmp(&b.place.center.y));
    let highs: Vec<f64> = callouts.iter().map(|callout| callout.high(size)).collect();
    let mut tops: Vec<f64> = Vec::new();
    for (callout, high) in callouts.iter().zip(&highs) {
        let free = match (tops.last(), highs.get(tops.len().wrapping_sub(1))) {
            (Some(top), Some(before)) => top + before + BETWEEN,
            _ => art.from.y,
        };
        tops.push(free.max(callout.place.center.y - high / 2.0));
    }
    // Back from the bottom, so that the last ones do not hang below the drawing without need.
    let mut bottom = art.to.y;
    for (top, high) in tops.iter_mut().zip(&highs).rev() {
        *top = top.min(bottom - high);
        bottom = *top - BETWEEN;
    }
    let lack = tops.first().map_or(0.0, |top| (art.from.y - top).max(0.0));
    for top in &mut tops {
        *top += lack;
    }
    let mut marks = Vec::new();
    for (callout, (top, high)) in callouts.iter().zip(tops.iter().zip(&highs)) {
        let from = if align == Align::Left {
            at(art.to.x + GUTTER, *top)
        } else {
            at(art.from.x - GUTTER - COLUMN, *top)
        };
        let mut area = Area::across(from, from + at(COLUMN, *high));
        if callout.is_weakest {
            area.from.x -= FRAME;
            area.to.x += FRAME;
        }
        marks.extend(lead(callout, area, align, size));
        placer.labels.push(Label {
            class: "d-callout",
            area,
            lines: callout.lines.clone(),
            align,
            text: size.text,
            back: if callout.is_weakest {
                Back::Frame
            } else {
                Back::Nothing
            },
        });
    }
    marks
}

/// The line from a callout to its item.
fn lead(callout: &Callout, area: Area, align: Align, size: &Size) -> Vec<Mark> {
    let row = area.from.y + size.text * LINE / 2.0;
    let (edge, knee) = if align == Align::Left {
        (area.from.x - 3.0, area.from.x - 10.0)
    } else {
        (area.to.x + 3.0, area.to.x + 10.0)
    };
    let knee = at(knee, row);
    let place = callout.place;
    let end: Point = if place.radius > 8.0 && !callout.is_weakest {
        place.center + (knee - place.center).unit() * (place.radius * 0.6)
    } else if callout.is_weakest {
        place.center + (knee - place.center).unit() * place.radius
    } else {
        place.center
    };
    vec![
        line("d-lead", &[at(edge, row), knee, end]),
        circle("d-ink", end, 1.8),
    ]
}
