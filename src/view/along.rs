//! What a device has taken along for where there is no line. The device alone knows what that is, so its script fills
//! the page.

use askama::Template;

use super::Shell;

/// The jobs on this device.
#[derive(Template)]
#[template(path = "along/show.html")]
pub struct ShowAlong {
    /// The frame.
    pub shell: Shell,
}

impl ShowAlong {
    /// A page to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self {
            shell: Shell::sample("On this device"),
        }]
    }
}
