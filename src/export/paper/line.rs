//! Lines of text: which letters, how wide, and where a line ends.

use krilla::{
    geom::Point,
    surface::Surface,
    text::{GlyphId, KrillaGlyph},
};
use rustybuzz::{Direction, GlyphInfo, UnicodeBuffer};

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
        let mut lacking = Vec::new();
        for c in text.chars() {
            let shown = printable(c);
            let faces = [face, Face::Text, Face::Label];
            let of = faces.into_iter().find(|face| face.has(shown));
            if of.is_none() || shown == LACKING {
                lacking.push(c);
            }
            let (face, shown) = of.map_or((Face::Label, LACKING), |face| (face, shown));
            match runs.last_mut() {
                Some((last, text)) if *last == face => text.push(shown),
                _ => runs.push((face, shown.to_string())),
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
    for (number, (info, at)) in infos.iter().zip(shaped.glyph_positions()).enumerate() {
        width += part(at.x_advance);
        glyphs.push(KrillaGlyph::new(
            GlyphId::new(info.glyph_id),
            part(at.x_advance),
            part(at.x_offset),
            part(at.y_offset),
            part(at.y_advance),
            info.cluster as usize..next_start(&infos[number..], text.len()),
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

/// Where what the first of these letters stands for ends in the text: where the next begins, which is behind it as long as
/// letters are put from left to right.
fn next_start(infos: &[GlyphInfo], end: usize) -> usize {
    let start = infos.first().map(|info| info.cluster);
    let next = infos.iter().find(|info| Some(info.cluster) > start);
    next.map_or(end, |info| info.cluster as usize)
}

/// Breaks a text into lines that are not wider than `width` in letters of this size: at its own ends of line, at
/// blanks, and where one word is wider than the line, in the word.
pub(super) fn broken(text: &str, face: Face, size: f32, width: f32) -> Vec<Line> {
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        // Most texts are one line, and to measure them is to make them.
        let whole = Line::new(paragraph, face);
        if whole.width(size) <= width {
            lines.push(whole);
        } else {
            let parts = parted(paragraph, face, size, width);
            lines.extend(parts.iter().map(|part| Line::new(part, face)));
        }
    }
    lines
}

/// The texts of the lines of a paragraph that is wider than one.
fn parted(paragraph: &str, face: Face, size: f32, width: f32) -> Vec<String> {
    let wide = |text: &str| Line::new(text, face).width(size);
    let blank = wide(" ");
    let mut lines = Vec::new();
    let (mut line, mut full) = (String::new(), 0.0);
    for word in paragraph.split_inclusive(' ') {
        let letters = wide(word.trim_end());
        if full + letters > width && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
            full = 0.0;
        }
        if full + letters <= width {
            line.push_str(word);
            full += letters + if word.ends_with(' ') { blank } else { 0.0 };
            continue;
        }
        for c in word.chars() {
            let letter = wide(c.encode_utf8(&mut [0; 4]));
            if full + letter > width && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                full = 0.0;
            }
            line.push(c);
            full += letter;
        }
    }
    lines.push(line);
    lines
}
