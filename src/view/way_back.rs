//! A page that a form leads back to.

/// A page of this server that a form leads back to when it is done or left.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WayBack {
    /// Its address.
    pub to: String,
    /// The same as it stands in an address: `back=/jobs/1`, with what has to be written otherwise in a query.
    pub query: String,
}

impl WayBack {
    /// An address of a form with the way back in it.
    pub fn on(&self, href: &str) -> String {
        let joint = if href.contains('?') { '&' } else { '?' };
        format!("{href}{joint}{}", self.query)
    }
}
