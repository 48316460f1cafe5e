//! A picture of lines, areas and words in grey tones, whoever drew it, for whatever writes it.

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
