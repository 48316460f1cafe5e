//! A form that brings a file.

use std::collections::BTreeMap;

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
    Ok(Upload::receive(upload, most).await?.file("file"))
}

/// What a form brought: each field by its name, with the file's name where it is a file.
#[derive(Default)]
pub(super) struct Upload(BTreeMap<String, Vec<(String, Vec<u8>)>>);

impl Upload {
    /// Receives the form; given up as soon as its fields have more than `most` bytes together.
    pub(super) async fn receive(
        upload: Result<Multipart, MultipartRejection>,
        most: usize,
    ) -> Result<Self, Problem> {
        let mut upload = upload.map_err(|_| {
            Problem::WrongKind("Send the file as a form (multipart/form-data).".to_owned())
        })?;
        let broken_off = |error: MultipartError| {
            if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
                Problem::TooLarge {
                    limit: most,
                    given: None,
                }
            } else {
                Problem::Unreadable("The file did not arrive whole. Send it again.".to_owned())
            }
        };
        let (mut received, mut size) = (Self::default(), 0);
        while let Some(mut field) = upload.next_field().await.map_err(broken_off)? {
            let name = field.name().unwrap_or_default().to_owned();
            // Some browsers send the whole path.
            let file = field.file_name().unwrap_or_default();
            let file = file.rsplit(['/', '\\']).next().unwrap_or_default();
            let file: String = file.chars().filter(|c| !c.is_control()).take(200).collect();
            let mut bytes = Vec::new();
            while let Some(chunk) = field.chunk().await.map_err(broken_off)? {
                size += chunk.len();
                if size > most {
                    return Err(Problem::TooLarge {
                        limit: most,
                        given: None,
                    });
                }
                bytes.extend_from_slice(&chunk);
            }
            received.0.entry(name).or_default().push((file, bytes));
        }
        Ok(received)
    }

    /// Takes out a file with its name; none if nothing was chosen.
    pub(super) fn file(&mut self, name: &str) -> Option<(String, Vec<u8>)> {
        self.files(name).next()
    }

    /// Takes out all the files of a field, each with its name.
    pub(super) fn files(&mut self, name: &str) -> impl Iterator<Item = (String, Vec<u8>)> + use<> {
        let files = self.0.remove(name).unwrap_or_default().into_iter();
        files.filter(|(file, bytes)| !file.is_empty() || !bytes.is_empty())
    }

    /// All texts that are left, each with its name.
    pub(super) fn texts(self) -> Vec<(String, String)> {
        let all = self.0.into_iter().flat_map(|(name, all)| {
            let texts = all.into_iter().filter(|(file, _)| file.is_empty());
            texts
                .map(move |(_, bytes)| (name.clone(), String::from_utf8_lossy(&bytes).into_owned()))
        });
        all.collect()
    }

    /// Takes out a text; empty if there is none.
    pub(super) fn text(&mut self, name: &str) -> String {
        let first = self.0.remove(name).unwrap_or_default().into_iter().next();
        let (_, bytes) = first.unwrap_or_default();
        String::from_utf8_lossy(&bytes).into_owned()
    }
}
