//! The style guide, for those who make pages.

use super::{Page, Visitor};
use crate::view::style::StyleGuide;

/// Every part, as it looks.
pub(super) async fn page_show(visitor: Visitor) -> Page<StyleGuide> {
    Page(StyleGuide::new(visitor.shell("Style guide")))
}
