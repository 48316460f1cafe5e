//! The static files, built into the program, each under a name that holds a hash of its content.

use std::borrow::Cow;

/// The files below `static/`.
#[derive(rust_embed::RustEmbed)]
#[folder = "static/"]
struct Files;

/// One static file.
pub struct Asset {
    /// The content.
    pub bytes: Cow<'static, [u8]>,
    /// Part of the content's SHA-256, in hexadecimal.
    pub hash: String,
}

/// The file called `name`, such as `app.css` or `icon/mark.svg`.
pub fn asset(name: &str) -> Option<Asset> {
    let file = Files::get(name)?;
    Some(Asset {
        hash: hex::encode(&file.metadata.sha256_hash()[..8]),
        bytes: file.data,
    })
}

/// Where a page finds the file called `name`: the address changes with the content, so it may be
/// kept for ever.
pub fn asset_url(name: &str) -> String {
    match (asset(name), name.rsplit_once('.')) {
        (Some(asset), Some((stem, ending))) => format!("/static/{stem}.{}.{ending}", asset.hash),
        _ => format!("/static/{name}"),
    }
}

/// Takes the hash out of a name that [`asset_url`] made: `app.0123456789abcdef.css` is `app.css`.
pub fn plain_name(hashed: &str) -> Option<(String, &str)> {
    let (front, ending) = hashed.rsplit_once('.')?;
    let (stem, hash) = front.rsplit_once('.')?;
    let is_hash = hash.len() == 16 && hash.bytes().all(|b| b.is_ascii_hexdigit());
    is_hash.then(|| (format!("{stem}.{ending}"), hash))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hashed_name_leads_back_to_its_file() {
        let url = asset_url("icon/mark.svg");
        let (name, hash) = plain_name(url.strip_prefix("/static/").unwrap()).unwrap();
        assert_eq!(name, "icon/mark.svg");
        assert_eq!(asset(&name).unwrap().hash, hash);
    }
}
