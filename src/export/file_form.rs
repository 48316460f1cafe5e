//! The forms of file in which rows can be taken along.

/// A form of file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FileForm {
    /// Commas between cells: RFC 4180.
    #[default]
    Csv,
    /// A JSON object a line.
    JsonLines,
    /// A workbook of ISO/IEC 29500 with a sheet of rows.
    Xlsx,
    /// Pages to print and to keep.
    Pdf,
}

impl FileForm {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Csv, Self::JsonLines, Self::Xlsx, Self::Pdf];

    /// Its stable word in an address.
    pub fn key(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::JsonLines => "json-lines",
            Self::Xlsx => "xlsx",
            Self::Pdf => "pdf",
        }
    }

    /// The form of this word.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.key() == key)
    }

    /// Its name for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Csv => "CSV",
            Self::JsonLines => "JSON Lines",
            Self::Xlsx => "XLSX",
            Self::Pdf => "PDF",
        }
    }

    /// How the name of such a file ends.
    pub fn ending(self) -> &'static str {
        match self {
            Self::JsonLines => "jsonl",
            other => other.key(),
        }
    }

    /// Its kind as a header says it.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Csv => "text/csv; charset=utf-8; header=present",
            Self::JsonLines => "application/jsonl; charset=utf-8",
            Self::Xlsx => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            Self::Pdf => "application/pdf",
        }
    }
}
