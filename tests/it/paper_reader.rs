//! Readers of PDF that share nothing with what wrote it: `qpdf`, and `pdftotext` and `pdftoppm` of poppler.

use std::{
    io::Write as _,
    path::Path,
    process::{Command, Output},
};

const NO_READER: &str = "
*******************************************************************************
*  THE PAPERS WERE NOT READ BACK: qpdf, pdftotext, pdftoppm or pdfinfo is not *
*  here. Install qpdf and poppler-utils.                                      *
*  With CI=true this fails.                                                   *
*******************************************************************************
";

/// Runs a reader on a file; none if it is not there, which has then been said.
fn run(
    program: &str,
    before: &[&str],
    file: &[u8],
    behind: &[&str],
) -> Option<(Output, tempfile::TempDir)> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("paper.pdf");
    std::fs::write(&path, file).unwrap();
    let ran = Command::new(program)
        .args(before)
        .arg(&path)
        .args(behind)
        .current_dir(folder.path())
        .output();
    let Ok(output) = ran else {
        // Not by print: that is held back while a test passes.
        std::io::stderr().write_all(NO_READER.as_bytes()).unwrap();
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{NO_READER}");
        return None;
    };
    Some((output, folder))
}

/// Holds that a file is sound, tagged, and claims to be for keeping and for every reader.
pub fn checked(file: &[u8]) {
    if let Some((output, _)) = run("qpdf", &["--check"], file, &[]) {
        let said = String::from_utf8_lossy(&output.stdout);
        assert!(
            output.status.success(),
            "{said}{}",
            String::from_utf8_lossy(&output.stderr)
        );
    }
    if let Some((output, _)) = run("pdfinfo", &["-meta"], file, &[]) {
        let said = String::from_utf8_lossy(&output.stdout);
        for claim in [
            "<pdfaid:part>2<",
            "<pdfaid:conformance>A<",
            "<pdfuaid:part>1<",
        ] {
            assert!(said.contains(claim), "{claim} is missing:\n{said}");
        }
    }
    if let Some((output, _)) = run("pdfinfo", &[], file, &[]) {
        let said = String::from_utf8_lossy(&output.stdout);
        assert!(
            said.lines()
                .any(|line| line.starts_with("Tagged:") && line.ends_with("yes")),
            "{said}"
        );
    }
}

/// The text of a file as it is read.
pub fn text_of(file: &[u8]) -> Option<String> {
    let (output, _) = run("pdftotext", &["-layout"], file, &["-"])?;
    Some(String::from_utf8(output.stdout).unwrap())
}

/// The structure of a file: its headings, tables and figures, each with its text.
pub fn structure_of(file: &[u8]) -> Option<String> {
    let (output, _) = run("pdfinfo", &["-struct-text"], file, &[])?;
    Some(String::from_utf8(output.stdout).unwrap())
}

/// The width of each photo of a file in pixels, as `pdfimages` of poppler lists them.
pub fn photos_of(file: &[u8]) -> Option<Vec<u32>> {
    let (output, _) = run("pdfimages", &["-list"], file, &[])?;
    let said = String::from_utf8(output.stdout).unwrap();
    let photos = said.lines().skip(2).filter(|line| line.contains("jpeg"));
    Some(
        photos
            .map(|line| line.split_whitespace().nth(3).unwrap().parse().unwrap())
            .collect(),
    )
}

/// A printed page in shades of grey.
pub struct Page {
    pub width: usize,
    pub height: usize,
    pub grey: Vec<u8>,
}

impl Page {
    /// A part of it; corner and size in millimetres.
    pub fn cut(
        &self,
        (left, top): (f32, f32),
        (width, height): (f32, f32),
        dots_an_inch: f32,
    ) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "places on a sheet of paper are small and not negative"
        )]
        let dots = |length: f32| (length / 25.4 * dots_an_inch).round() as usize;
        let (left, top) = (dots(left), dots(top));
        let (width, height) = (
            dots(width).min(self.width - left),
            dots(height).min(self.height - top),
        );
        let rows = (top..top + height).map(|y| &self.grey[y * self.width + left..][..width]);
        Self {
            width,
            height,
            grey: rows.flatten().copied().collect(),
        }
    }
}

/// The pages as a printer would put them on paper.
pub fn pages(file: &[u8], dots_an_inch: u32) -> Option<Vec<Page>> {
    let dots = dots_an_inch.to_string();
    let (output, folder) = run("pdftoppm", &["-gray", "-r", &dots], file, &["page"])?;
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let mut files: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "pgm"))
        .collect();
    files.sort();
    Some(files.iter().map(|path| page(path)).collect())
}

/// Reads a portable grey map: its kind, width, height and white, then the dots.
fn page(path: &Path) -> Page {
    let bytes = std::fs::read(path).unwrap();
    let mut at = 0;
    let mut words = Vec::new();
    while words.len() < 4 {
        let end = at
            + bytes[at..]
                .iter()
                .position(u8::is_ascii_whitespace)
                .unwrap();
        words.push(std::str::from_utf8(&bytes[at..end]).unwrap().to_owned());
        at = end + 1;
    }
    assert_eq!((words[0].as_str(), words[3].as_str()), ("P5", "255"));
    let (width, height) = (words[1].parse().unwrap(), words[2].parse().unwrap());
    Page {
        width,
        height,
        grey: bytes[at..].to_vec(),
    }
}

/// The text without its line ends and blanks in rows, so that a word that was broken off is found.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
