//! Codes that a scanner reads: QR and Data Matrix, as squares that are dark or light.

use datamatrix::{DataMatrix, SymbolList};
use krilla::geom::Rect;
use qrcode::{Color, EcLevel, QrCode};

use crate::domain::SymbolKind;

/// A code as a square of modules, without the light around it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// Which code.
    pub kind: SymbolKind,
    /// How many modules a side has.
    pub side: usize,
    /// The dark modules, row by row from above.
    pub dark: Vec<bool>,
}

/// The content does not fit into the largest code of this kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("This is too long for a {} code: it has {length} bytes.", .kind.word())]
pub struct TooLong {
    /// Which code.
    pub kind: SymbolKind,
    /// How long the content is.
    pub length: usize,
}

impl Symbol {
    /// The code of a text.
    ///
    /// # Errors
    /// [`TooLong`] where the largest code does not hold it.
    pub fn new(kind: SymbolKind, text: &str) -> Result<Self, TooLong> {
        let length = text.len();
        let (side, dark) = match kind {
            SymbolKind::Qr => QrCode::with_error_correction_level(text, EcLevel::M)
                .ok()
                .map(|code| (code.width(), code.to_colors()))
                .map(|(side, colors)| {
                    let dark = colors.into_iter().map(|color| color == Color::Dark);
                    (side, dark.collect())
                }),
            SymbolKind::DataMatrix => {
                DataMatrix::encode_str(text, SymbolList::default().enforce_square())
                    .ok()
                    .map(|code| {
                        let map = code.bitmap();
                        (map.width(), map.bits().to_vec())
                    })
            }
        }
        .ok_or(TooLong { kind, length })?;
        Ok(Self { kind, side, dark })
    }

    /// How many modules a side has with the light that must stay around it.
    pub fn side_with_quiet(&self) -> usize {
        self.side + 2 * self.kind.quiet()
    }

    /// The dark modules as squares from a corner on, each so wide, in points.
    pub(super) fn squares(&self, (x, y): (f32, f32), module: f32) -> Vec<Rect> {
        #[expect(
            clippy::cast_precision_loss,
            reason = "a code has at most 185 modules a side"
        )]
        let along = |modules: usize| modules as f32 * module;
        self.modules()
            .filter_map(|(column, row)| {
                Rect::from_xywh(x + along(column), y + along(row), module, module)
            })
            .collect()
    }

    /// Column and row of each dark module.
    pub fn modules(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        let dark = self.dark.iter().enumerate();
        dark.filter(|(_, dark)| **dark)
            .map(|(at, _)| (at % self.side, at / self.side))
    }
}
