//! A picture on a sheet.

use krilla::{
    color::luma,
    geom::{Path, PathBuilder},
    num::NormalizedF32,
    paint::{LineCap, LineJoin, Stroke, StrokeDash},
    surface::Surface,
};

use super::{Face, draw::fill, line::Line};
use crate::domain::{Picture, PictureLine, PictureStep};

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
