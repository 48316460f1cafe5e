//! Lines of text: which letters, how wide, and where a line ends.

use std::ops::Range;

use krilla::{
    geom::Point,
    surface::Surface,
    text::{GlyphId, KrillaGlyph},
};
use rustybuzz::{Direction, UnicodeBuffer};

use super::Face;

/// Letters of one face in a row.
#[derive(Clone)]
pub(super) struct Run {
    pub face: Face,
    pub text: String,
    pub glyphs: Vec<KrillaGlyph>,
    /// As a part of the size of the letters.
    pub width: f32,
}

/// One line, not yet of any size.
#[derive(Clone, Default)]
pub(super) struct Line {
    pub runs: Vec<Run>,
    /// The characters in whose place a mark stands.
    pub lacking: Vec<char>,
}

/// What stands for a letter that no face has.
const LACKING: char = '\u{fffd}';

/// Whether no face has a letter for it.
pub(super) fn lacks(c: char) -> bool {
    let c = printable(c);
    c == LACKING || ![Face::Text, Face::Label].iter().any(|face| face.has(c))
}

impl Line {
    /// The letters of a text. One that `face` lacks is taken from another; one that none has is shown as lacking.
    pub fn new(text: &str, face: Face) -> Self {
        let mut runs: Vec<(Face, String)> = Vec::new();
        let lacking = text.chars().filter(|c| lacks(*c)).collect();
        for c in text.chars().map(printable) {
            let (face, c) = [face, Face::Text, Face::Label]
                .into_iter()
                .find(|face| face.has(c))
                .map_or((Face::Label, LACKING), |face| (face, c));
            match runs.last_mut() {
                Some((last, text)) if *last == face => text.push(c),
                _ => runs.push((face, c.to_string())),
            }
        }
        let runs = runs.into_iter();
        Self {
            runs: runs.map(|(face, text)| run(face, text)).collect(),
            lacking,
        }
    }

    /// Draws it from where its letters stand.
    pub fn draw(&self, surface: &mut Surface<'_>, (mut x, y): (f32, f32), size: f32) {
        for run in &self.runs {
            let font = run.face.cut().font.clone();
            let start = Point::from_xy(x, y);
            surface.draw_glyphs(start, &run.glyphs, font, &run.text, size, false);
            x += run.width * size;
        }
    }

    /// Its width in letters of this size.
    pub fn width(&self, size: f32) -> f32 {
        self.runs.iter().map(|run| run.width).sum::<f32>() * size
    }
}

/// A character that has no place on paper is a blank there; one that means nothing outside a program is lacking.
fn printable(c: char) -> char {
    match c {
        c if c.is_control() => ' ',
        '\u{feff}' | '\u{fffe}' | '\u{ffff}' => ' ',
        '\u{e000}'..='\u{f8ff}' | '\u{f0000}'.. => LACKING,
        c => c,
    }
}

fn run(face: Face, text: String) -> Run {
    let shaper = &face.cut().shaper;
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(&text);
    buffer.guess_segment_properties();
    buffer.set_direction(Direction::LeftToRight);
    let plan = face.plan(buffer.script());
    let shaped = rustybuzz::shape_with_plan(shaper, &plan, buffer);
    #[expect(
        clippy::cast_precision_loss,
        reason = "units of a letter are thousands, not millions"
    )]
    let part = |units: i32| units as f32 / shaper.units_per_em() as f32;
    let infos = shaped.glyph_infos();
    let mut glyphs = Vec::with_capacity(infos.len());
    let mut width = 0.0;
    for (info, at) in infos.iter().zip(shaped.glyph_positions()) {
        width += part(at.x_advance);
        glyphs.push(KrillaGlyph::new(
            GlyphId::new(info.glyph_id),
            part(at.x_advance),
            part(at.x_offset),
            part(at.y_offset),
            part(at.y_advance),
            cluster(infos, info.cluster as usize, text.len()),
            None,
        ));
    }
    Run {
        face,
        text,
        glyphs,
        width,
    }
}

/// The bytes of the text that a letter which begins at `start` stands for: up to where the next begins.
fn cluster(infos: &[rustybuzz::GlyphInfo], start: usize, end: usize) -> Range<usize> {
    let starts = infos.iter().map(|info| info.cluster as usize);
    let next = starts.filter(|other| *other > start).min();
    start..next.unwrap_or(end)
}

/// Breaks a text into lines that are not wider than `width` in letters of this size: at its own ends of line, at
/// blanks, and where one word is wider than the line, in the word.
pub(super) fn broken(text: &str, face: Face, size: f32, width: f32) -> Vec<Line> {
    let wide = |text: &str| Line::new(text, face).width(size);
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        let (mut line, mut full) = (String::new(), 0.0);
        for word in paragraph.split_inclusive(' ') {
            let (letters, whole) = (wide(word.trim_end()), wide(word));
            if full + letters > width && !line.is_empty() {
                lines.push(Line::new(&line, face));
                (line, full) = (String::new(), 0.0);
            }
            if full + letters <= width {
                line.push_str(word);
                full += whole;
                continue;
            }
            for c in word.chars() {
                let letter = wide(c.encode_utf8(&mut [0; 4]));
                if full + letter > width && !line.is_empty() {
                    lines.push(Line::new(&line, face));
                    (line, full) = (String::new(), 0.0);
                }
                line.push(c);
                full += letter;
            }
        }
        lines.push(Line::new(&line, face));
    }
    lines
}
