//! A file that is sent with a form.

use axum::{
    extract::{
        Multipart,
        multipart::{MultipartError, MultipartRejection},
    },
    http::StatusCode,
};

use super::Problem;

/// The name and the bytes of the file in the form; given up as soon as it has more than `most` bytes. Nothing if
/// none was chosen.
pub(super) async fn receive(
    upload: Result<Multipart, MultipartRejection>,
    most: usize,
) -> Result<Option<(String, Vec<u8>)>, Problem> {
    let mut upload = upload.map_err(|_| {
        Problem::WrongKind("Send the file as a form (multipart/form-data).".to_owned())
    })?;
    let broken_off = |error: MultipartError| {
        if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
            Problem::TooLarge { limit: most }
        } else {
            Problem::Unreadable("The file did not arrive whole. Send it again.".to_owned())
        }
    };
    while let Some(mut field) = upload.next_field().await.map_err(broken_off)? {
        if field.name() != Some("file") {
            continue;
        }
        // Some browsers send the whole path.
        let name = field.file_name().unwrap_or_default();
        let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
        let name: String = name.chars().filter(|c| !c.is_control()).take(200).collect();
        let mut bytes = Vec::new();
        while let Some(chunk) = field.chunk().await.map_err(broken_off)? {
            if bytes.len() + chunk.len() > most {
                return Err(Problem::TooLarge { limit: most });
            }
            bytes.extend_from_slice(&chunk);
        }
        if name.is_empty() && bytes.is_empty() {
            return Ok(None);
        }
        return Ok(Some((name, bytes)));
    }
    Ok(None)
}
