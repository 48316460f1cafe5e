//! What a device has taken along for where there is no line.

use super::{Page, Signed};
use crate::view::{Section, along::ShowAlong};

/// The jobs on this device; its script knows which.
pub(super) async fn page_show(signed: Signed) -> Page<ShowAlong> {
    Page(ShowAlong {
        shell: signed.shell_in(Section::Jobs, "On this device"),
    })
}
