//! The style guide, for those who make pages.

use super::{Page, Visitor};
use crate::view::{Shell, style::StyleGuide};

/// Every part, as it looks.
pub(super) async fn page_show(Visitor(visitor): Visitor) -> Page<StyleGuide> {
    let shell = visitor.map_or_else(
        || Shell::for_stranger("Style guide"),
        |signed| signed.shell("Style guide"),
    );
    Page(StyleGuide::new(shell))
}
