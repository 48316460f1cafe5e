//! The start: where to go from here.

use super::{Page, Signed};
use crate::view::home::Home;

/// The start.
pub(super) async fn page_show(signed: Signed) -> Page<Home> {
    Page(Home {
        shell: signed.shell("Start"),
    })
}
