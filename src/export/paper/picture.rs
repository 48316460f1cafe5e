//! A picture of lines, areas and words on a sheet, in grey tones, drawn from what draws it on a page too.

use krilla::{
    color::luma,
    geom::{Path, PathBuilder},
    num::NormalizedF32,
    paint::{LineCap, LineJoin, Stroke, StrokeDash},
    surface::Surface,
};

use super::{Face, draw::fill, line::Line};

/// A picture in units of its own, from its upper left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// Width and height.
    pub size: (f32, f32),
    /// What it shows, for who does not see it.
    pub told: String,
    /// Lines and areas in the order in which they are drawn.
    pub marks: Vec<PictureMark>,
    /// Words, drawn last.
    pub words: Vec<PictureWords>,
}

/// A line or an area.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureMark {
    /// Its steps.
    pub steps: Vec<PictureStep>,
    /// How its line is drawn; none has no line.
    pub line: Option<PictureLine>,
    /// The grey of its area, from 0 for black; none has no area.
    pub area: Option<u8>,
}

/// One step of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PictureStep {
    /// Begin here.
    From((f32, f32)),
    /// A straight line.
    To((f32, f32)),
    /// A cubic curve by its two handles and its end.
    Curve((f32, f32), (f32, f32), (f32, f32)),
    /// Back to the beginning.
    Close,
}

/// How a line is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureLine {
    /// How wide.
    pub wide: f32,
    /// Its grey, from 0 for black.
    pub grey: u8,
    /// Lengths of strokes and gaps; empty is one stroke.
    pub dash: Vec<f32>,
}

/// Words at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureWords {
    /// Where the line of letters stands; what of it is there says `along`.
    pub at: (f32, f32),
    /// How much of its width is to the left of that: 0 begins there, 0.5 stands in the middle, 1 ends there.
    pub along: f32,
    /// The height of letters.
    pub size: f32,
    /// The words.
    pub words: String,
    /// Whether they are heavy.
    pub heavy: bool,
}

impl Picture {
    /// Draws it from a corner on, so many points a unit.
    pub(super) fn draw(&self, surface: &mut Surface<'_>, corner: (f32, f32), scale: f32) {
        let at = |(x, y): (f32, f32)| (corner.0 + x * scale, corner.1 + y * scale);
        for mark in &self.marks {
            surface.set_fill(mark.area.map(fill));
            surface.set_stroke(mark.line.as_ref().map(|line| stroke(line, scale)));
            if let Some(path) = path(&mark.steps, at) {
                surface.draw_path(&path);
            }
        }
        surface.set_stroke(None);
        surface.set_fill(Some(fill(0)));
        for words in &self.words {
            let face = if words.heavy {
                Face::Strong
            } else {
                Face::Text
            };
            let (line, size) = (Line::new(&words.words, face), words.size * scale);
            let (x, y) = at(words.at);
            line.draw(surface, (x - line.width(size) * words.along, y), size);
        }
    }
}

fn path(steps: &[PictureStep], at: impl Fn((f32, f32)) -> (f32, f32)) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in steps {
        match *step {
            PictureStep::From(to) => {
                let (x, y) = at(to);
                path.move_to(x, y);
            }
            PictureStep::To(to) => {
                let (x, y) = at(to);
                path.line_to(x, y);
            }
            PictureStep::Curve(one, other, to) => {
                let ((x1, y1), (x2, y2), (x, y)) = (at(one), at(other), at(to));
                path.cubic_to(x1, y1, x2, y2, x, y);
            }
            PictureStep::Close => path.close(),
        }
    }
    path.finish()
}

fn stroke(line: &PictureLine, scale: f32) -> Stroke {
    let array: Vec<f32> = line.dash.iter().map(|length| length * scale).collect();
    Stroke {
        paint: luma::Color::new(line.grey).into(),
        width: line.wide * scale,
        miter_limit: 4.0,
        // A dash with round ends would have no gaps.
        line_cap: if array.is_empty() {
            LineCap::Round
        } else {
            LineCap::Butt
        },
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash: (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 }),
    }
}
