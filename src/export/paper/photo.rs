//! Photos on a sheet: beside one another, each with its words below it.

use krilla::{geom::Rect, image::Image};

use super::{
    Face, Sheet,
    draw::{Kind, Part, Piece, Role},
    line::{Line, broken},
    mm,
    sheet::{GAP, LEADING, MARGIN, SIZE},
};
use crate::domain::{AttachmentId, KeptFile};

/// The most photos that one paper shows; the others are named in its table alone.
pub const MOST_PHOTOS: usize = 40;
/// The most bytes of photos in one paper, so that it can be sent by e-mail (common practice, no source). Where the photos
/// as they are kept take more, their small ones stand in their place.
pub const MOST_PHOTO_BYTES: usize = 8 * 1024 * 1024;
/// How high a photo may stand, in millimetres.
const TALLEST: f32 = 80.0;

/// A photo as it goes on a paper.
#[derive(Clone, Debug)]
pub struct Print {
    /// The photo.
    pub of: AttachmentId,
    /// Its bytes as JPEG; none where they could not be read.
    pub jpeg: Option<Vec<u8>>,
}

/// Which file of each photo goes on a paper: the photo itself where there is room for all, else the small ones.
pub fn fitting<'a>(photos: &[(&'a KeptFile, Option<&'a KeptFile>)]) -> Vec<&'a KeptFile> {
    let photos = &photos[..photos.len().min(MOST_PHOTOS)];
    let whole: usize = photos.iter().map(|(file, _)| file.bytes).sum();
    let choose = |(file, small): &(&'a KeptFile, Option<&'a KeptFile>)| match small {
        Some(small) if whole > MOST_PHOTO_BYTES => *small,
        _ => *file,
    };
    photos.iter().map(choose).collect()
}

/// A photo with its words.
pub(super) struct Shown<'a> {
    /// What it shows.
    pub caption: &'a str,
    /// What it is of and from when.
    pub aside: String,
    /// Its bytes as JPEG; none where they could not be read.
    pub jpeg: Option<&'a [u8]>,
}

/// A photo that was laid out, not yet in its place.
struct Laid {
    image: Option<(Image, f32, f32)>,
    told: String,
    lines: Vec<Line>,
}

impl Sheet {
    /// Photos, `beside` of them in a row. What each shows is told to whoever cannot see it, and stands below it.
    pub(super) fn photos(&mut self, photos: &[Shown<'_>], beside: u8) {
        let beside = usize::from(beside.max(1));
        for row in photos.chunks(beside) {
            #[expect(clippy::cast_precision_loss, reason = "few stand in a row")]
            let width = (self.width() - GAP * (beside as f32 - 1.0)) / beside as f32;
            let row: Vec<Laid> = row.iter().map(|one| laid(one, width)).collect();
            self.row_of_photos(row, width);
        }
    }

    fn row_of_photos(&mut self, row: Vec<Laid>, width: f32) {
        let tall = |one: &Laid| one.image.as_ref().map_or(0.0, |(_, _, height)| *height);
        let high = row.iter().map(tall).fold(0.0, f32::max);
        let lines = row.iter().map(|one| one.lines.len()).max().unwrap_or(0);
        #[expect(clippy::cast_precision_loss, reason = "a caption has few lines")]
        let below = lines as f32 * LEADING;
        self.room(high + below + GAP);
        let top = self.y;
        let mut x = mm(MARGIN);
        for one in row {
            let mut parts = Vec::new();
            let area = |(image, width, height): (Image, f32, f32)| {
                Rect::from_xywh(x, top, width, height).map(|area| Piece::Photo { area, image })
            };
            if let Some(piece) = one.image.and_then(area) {
                let photo = self.put(piece);
                parts.push(Part::Group(Kind::Figure(one.told), vec![photo]));
            }
            let mut words = Vec::new();
            self.y = top + high + GAP / 2.0;
            for line in one.lines {
                words.push(self.text(line, (x, SIZE), Role::Read));
                self.y += LEADING;
            }
            parts.push(Part::Group(Kind::Paragraph, words));
            self.push(Part::Group(Kind::Section, parts));
            x += width + GAP;
        }
        self.y = top + high + GAP / 2.0 + below + GAP;
    }
}

/// The photo as large as its place allows, and its words in lines. One that cannot be shown says so.
fn laid(one: &Shown<'_>, width: f32) -> Laid {
    let image = one.jpeg.and_then(|jpeg| {
        let image = Image::from_jpeg(jpeg.to_vec().into(), false).ok()?;
        let (wide, high) = sides(image.size());
        let scale = (width / wide).min(mm(TALLEST) / high);
        Some((image, wide * scale, high * scale))
    });
    let lines = |words: &str, face| broken(words, face, SIZE, width);
    let mut words = lines(one.caption, Face::Text);
    words.extend(lines(&one.aside, Face::Text));
    if image.is_none() {
        let words_of = "This photo cannot be shown here: its file could not be read.";
        words.extend(lines(words_of, Face::Slant));
    }
    Laid {
        image,
        told: format!("Photo: {}", one.caption),
        lines: words,
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a photo that is kept has at most 2048 pixels a side"
)]
fn sides((wide, high): (u32, u32)) -> (f32, f32) {
    (wide.max(1) as f32, high.max(1) as f32)
}
