//! The name of the program in a workbook.

use std::{
    env,
    fs::File,
    io::{self, BufReader, BufWriter, Read as _, Seek as _, Write as _},
};

use zip::{ZipArchive, ZipWriter, write::SimpleFileOptions};

/// The part of a workbook that names the program which wrote it; the library writes another's name there.
pub(super) const PROGRAM: &str = "docProps/app.xml";

/// The same workbook with the name of this program, in a file of its own.
pub(super) fn named(packed: File) -> io::Result<File> {
    let mut from = ZipArchive::new(BufReader::new(packed))?;
    let to = tempfile::tempfile_in(env::temp_dir())?;
    let mut to = ZipWriter::new(BufWriter::new(to));
    for at in 0..from.len() {
        if from.by_index_raw(at)?.name()? != PROGRAM {
            to.raw_copy_file(from.by_index_raw(at)?)?;
            continue;
        }
        let mut text = String::new();
        from.by_index(at)?.read_to_string(&mut text)?;
        to.start_file(PROGRAM, SimpleFileOptions::default())?;
        to.write_all(with_program(&text).as_bytes())?;
    }
    let mut file = to
        .finish()?
        .into_inner()
        .map_err(io::IntoInnerError::into_error)?;
    file.rewind()?;
    Ok(file)
}

fn with_program(text: &str) -> String {
    let (open, close) = ("<Application>", "</Application>");
    let parts = text.split_once(open).and_then(|(before, rest)| {
        let (_, after) = rest.split_once(close)?;
        Some(format!("{before}{open}Ropeloft{close}{after}"))
    });
    parts.unwrap_or_else(|| text.to_owned())
}
