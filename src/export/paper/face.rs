//! The faces of the letters. They come with a library, and are built into the program.

use std::{
    collections::HashMap,
    sync::{Arc, LazyLock, Mutex, PoisonError},
};

use krilla::text::Font;
use rustybuzz::{Direction, Face as Shaper, Script, ShapePlan};

/// A face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Face {
    /// Text.
    Text,
    /// Headings and names.
    Strong,
    /// What is not recorded, and cautions.
    Slant,
    /// Labels and codes: every letter as wide as the next, none like another.
    Label,
}

/// A face as it is drawn and as it is measured.
pub(super) struct Cut {
    pub font: Font,
    pub shaper: Shaper<'static>,
}

/// How the letters of a script are put together in a face.
type Plans = HashMap<(Face, Script), Arc<ShapePlan>>;

/// The faces under the names that stand in them.
static CUTS: LazyLock<[Cut; 4]> = LazyLock::new(|| {
    [
        "LibertinusSerif-Regular",
        "LibertinusSerif-Bold",
        "LibertinusSerif-Italic",
        "DejaVuSansMono-Bold",
    ]
    .map(cut)
});

/// # Panics
/// If the library does not hold the face; every test that makes a file would tell.
fn cut(name: &str) -> Cut {
    let named = |bytes: &&'static [u8]| {
        let shaper = Shaper::from_slice(bytes, 0)?;
        let mut names = shaper.names().into_iter();
        let is_it = names.any(|one| {
            one.name_id == rustybuzz::ttf_parser::name_id::POST_SCRIPT_NAME
                && one.to_string().as_deref() == Some(name)
        });
        is_it.then_some(shaper)
    };
    let mut all = typst_assets::fonts();
    let (font, shaper) = all
        .find_map(|bytes| {
            let shaper = named(&bytes)?;
            Some((Font::new(bytes.to_vec().into(), 0)?, shaper))
        })
        .expect("the library holds the faces that are named here");
    Cut { font, shaper }
}

impl Face {
    pub(super) fn cut(self) -> &'static Cut {
        let at = match self {
            Self::Text => 0,
            Self::Strong => 1,
            Self::Slant => 2,
            Self::Label => 3,
        };
        &CUTS[at]
    }

    /// How letters of this script are put together in it; made once, since that takes longer than a line.
    pub(super) fn plan(self, script: Script) -> Arc<ShapePlan> {
        static PLANS: LazyLock<Mutex<Plans>> = LazyLock::new(Mutex::default);
        let make = || {
            let direction = Direction::LeftToRight;
            ShapePlan::new(&self.cut().shaper, direction, Some(script), None, &[])
        };
        let mut plans = PLANS.lock().unwrap_or_else(PoisonError::into_inner);
        let plan = plans.entry((self, script));
        plan.or_insert_with(|| Arc::new(make())).clone()
    }

    /// Whether it has a letter for `c`.
    pub(super) fn has(self, c: char) -> bool {
        self.cut().shaper.glyph_index(c).is_some()
    }
}
