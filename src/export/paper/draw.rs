//! From pages of drawn pieces to a tagged PDF, for keeping (PDF/A-2a) and for every reader (PDF/UA-1).

use std::num::NonZeroU16;

use krilla::{
    Document, SerializeSettings,
    color::luma,
    configure::{Accessibility, Archival, ConfigurationBuilder},
    destination::XyzDestination,
    geom::{PathBuilder, Point, Rect, Size, Transform},
    image::Image,
    metadata::{DateTime, Metadata},
    num::NormalizedF32,
    outline::{Outline, OutlineNode},
    page::PageSettings,
    paint::{Fill, FillRule},
    surface::Surface,
    tagging::{
        Artifact, ArtifactType, ContentTag, Identifier, Node, SpanTag, TableHeaderScope, Tag,
        TagGroup, TagKind, TagTree,
    },
};
use time::OffsetDateTime;

use super::line::Line;
use crate::domain::Picture;

/// A file could not be written. The words are for the log.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the PDF could not be written: {0}")]
pub struct PaperError(String);

/// Something on a page, in points from its upper left corner.
pub(super) enum Piece {
    /// A line of text; `y` is where the letters stand.
    Text {
        x: f32,
        y: f32,
        size: f32,
        line: Line,
        role: Role,
    },
    /// A black or grey field. Never read out.
    Field { area: Rect, grey: u8 },
    /// The dark modules of a code.
    Code { squares: Vec<Rect> },
    /// A photo in its place.
    Photo { area: Rect, image: Image },
    /// A picture, from a corner on, so many points a unit.
    Picture {
        corner: (f32, f32),
        scale: f32,
        picture: Picture,
    },
}

/// Whether a line is read out or only seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Read,
    Seen,
}

/// What a piece is in the order of reading.
pub(super) enum Part {
    /// A part of parts.
    Group(Kind, Vec<Part>),
    /// The piece at this place of this page.
    Piece(usize, usize),
}

/// The kinds of parts.
#[derive(Clone, Debug)]
pub(super) enum Kind {
    Heading(u16, String),
    Paragraph,
    Table,
    Head,
    Body,
    Row,
    ColumnName,
    RowName,
    Cell,
    Section,
    Figure(String),
}

impl Kind {
    fn tag(&self) -> TagKind {
        match self {
            Self::Heading(level, title) => {
                let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
                Tag::Hn(level, Some(title.clone())).into()
            }
            Self::Paragraph => Tag::P.into(),
            Self::Table => Tag::Table.into(),
            Self::Head => Tag::THead.into(),
            Self::Body => Tag::TBody.into(),
            Self::Row => Tag::TR.into(),
            Self::ColumnName => Tag::TH(TableHeaderScope::Column).into(),
            Self::RowName => Tag::TH(TableHeaderScope::Row).into(),
            Self::Cell => Tag::TD.into(),
            Self::Section => Tag::Section.into(),
            Self::Figure(words) => Tag::Figure(Some(words.clone())).into(),
        }
    }
}

/// Pages ready to be drawn.
pub(super) struct Drawn {
    pub title: String,
    pub at: OffsetDateTime,
    pub size: (f32, f32),
    pub pages: Vec<Vec<Piece>>,
    pub parts: Vec<Part>,
    /// The headings with page and height.
    pub outline: Vec<(String, usize, f32)>,
}

impl Drawn {
    /// The file.
    ///
    /// # Errors
    /// Where the library finds that it would not hold what it claims.
    pub fn written(self) -> Result<Vec<u8>, PaperError> {
        let failed = |error: &dyn std::fmt::Debug| PaperError(format!("{error:?}"));
        let configuration = ConfigurationBuilder::new()
            .with_archival_validator(Archival::A2_A)
            .with_accessibility_validator(Accessibility::UA1)
            .finish()
            .map_err(|error| failed(&error))?;
        let mut document = Document::new_with(SerializeSettings {
            configuration,
            ..SerializeSettings::default()
        });
        let mut seen = Vec::with_capacity(self.pages.len());
        for pieces in &self.pages {
            let settings = PageSettings::from_wh(self.size.0, self.size.1);
            let settings = settings.ok_or_else(|| failed(&"a page without size"))?;
            let mut page = document.start_page_with(settings);
            let mut surface = page.surface();
            let drawn = pieces.iter().map(|piece| draw(&mut surface, piece));
            seen.push(drawn.collect::<Vec<_>>());
            surface.finish();
            page.finish();
        }
        let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
        for part in &self.parts {
            if let Some(node) = node(part, &seen) {
                tree.push(node);
            }
        }
        document.set_tag_tree(tree);
        let mut outline = Outline::new();
        for (title, page, y) in self.outline {
            let place = XyzDestination::new(page, Point::from_xy(0.0, y));
            outline.push_child(OutlineNode::new(title, place));
        }
        document.set_outline(outline);
        document.set_metadata(
            Metadata::new()
                .title(self.title)
                .language("en".to_owned())
                .creator("Ropeloft".to_owned())
                .creation_date(moment(self.at)),
        );
        document.finish().map_err(|error| failed(&error))
    }
}

fn moment(at: OffsetDateTime) -> DateTime {
    let at = at.to_offset(time::UtcOffset::UTC);
    DateTime::new(u16::try_from(at.year()).unwrap_or_default())
        .month(at.month().into())
        .day(at.day())
        .hour(at.hour())
        .minute(at.minute())
        .second(at.second())
        .utc_offset_hour(0)
        .utc_offset_minute(0)
}

/// An area of a grey, from 0 for black.
pub(super) fn fill(grey: u8) -> Fill {
    Fill {
        paint: luma::Color::new(grey).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::default(),
    }
}

/// Draws a piece; gives what the tree calls it by, if it is read out.
fn draw(surface: &mut Surface<'_>, piece: &Piece) -> Option<Identifier> {
    let unseen = ContentTag::Artifact(Artifact::with_kind(ArtifactType::Other));
    match piece {
        Piece::Text {
            x,
            y,
            size,
            line,
            role,
        } => {
            let tag = match role {
                Role::Read => ContentTag::Span(SpanTag::empty()),
                Role::Seen => unseen,
            };
            let identifier = surface.start_tagged(tag);
            surface.set_fill(Some(fill(0)));
            line.draw(surface, (*x, *y), *size);
            surface.end_tagged();
            (*role == Role::Read).then_some(identifier)
        }
        Piece::Field { area, grey } => {
            surface.start_tagged(unseen);
            squares(surface, std::slice::from_ref(area), *grey);
            surface.end_tagged();
            None
        }
        Piece::Code { squares: dark } => {
            let identifier = surface.start_tagged(ContentTag::Other);
            squares(surface, dark, 0);
            surface.end_tagged();
            Some(identifier)
        }
        Piece::Photo { area, image } => {
            let identifier = surface.start_tagged(ContentTag::Other);
            if let Some(size) = Size::from_wh(area.width(), area.height()) {
                surface.push_transform(&Transform::from_translate(area.left(), area.top()));
                surface.draw_image(image.clone(), size);
                surface.pop();
            }
            surface.end_tagged();
            Some(identifier)
        }
        Piece::Picture {
            corner,
            scale,
            picture,
        } => {
            let identifier = surface.start_tagged(ContentTag::Other);
            picture.draw(surface, *corner, *scale);
            surface.end_tagged();
            Some(identifier)
        }
    }
}

/// Draws fields in one stroke, so that no hairline shows between neighbours.
fn squares(surface: &mut Surface<'_>, areas: &[Rect], grey: u8) {
    let mut path = PathBuilder::new();
    for area in areas {
        path.push_rect(*area);
    }
    surface.set_fill(Some(fill(grey)));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

fn node(part: &Part, seen: &[Vec<Option<Identifier>>]) -> Option<Node> {
    match part {
        Part::Piece(page, at) => seen.get(*page)?.get(*at)?.map(Node::from),
        Part::Group(kind, parts) => {
            let children = parts.iter().filter_map(|part| node(part, seen)).collect();
            Some(TagGroup::with_children(kind.tag(), children).into())
        }
    }
}
