//! How messages are signed, so that whoever gets one knows that it came from here, unchanged and not long ago.
//!
//! As the open specification "Standard Webhooks" describes it (version 1, from memory): the signature is the
//! HMAC-SHA256 of `ID.TIMESTAMP.BODY` under the key, in base64 behind `v1,`; the key is written as `whsec_` with base64.

use base64::{Engine as _, engine::general_purpose::STANDARD};
use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;

/// The header that holds the id of the message.
pub const ID: &str = "webhook-id";
/// The header that holds when it was sent, in seconds since 1970.
pub const TIMESTAMP: &str = "webhook-timestamp";
/// The header that holds the signature.
pub const SIGNATURE: &str = "webhook-signature";

/// How many bytes a key has.
pub const KEY_BYTES: usize = 32;

/// The HMAC-SHA256 of some bytes under a key: RFC 2104.
///
/// # Panics
/// Never: a key may have any length.
pub fn mac(key: &[u8], bytes: &[u8]) -> [u8; 32] {
    let mut mac = Hmac::<Sha256>::new_from_slice(key).expect("a key may have any length");
    mac.update(bytes);
    mac.finalize().into_bytes().into()
}

/// What stands in the header of the signature.
pub fn signature(key: &[u8], id: &str, timestamp: i64, body: &str) -> String {
    let signed = format!("{id}.{timestamp}.{body}");
    format!("v1,{}", STANDARD.encode(mac(key, signed.as_bytes())))
}

/// How a key is written for whoever is to check signatures.
pub fn written_key(key: &[u8]) -> String {
    format!("whsec_{}", STANDARD.encode(key))
}
