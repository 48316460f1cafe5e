//! Writes a team's records to a file that needs no server to be read.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::{Path, PathBuf},
};

use clap::{Args, ValueEnum};
use futures::TryStreamExt;

use super::{
    Outcome,
    fresh::{absent, part_of},
    printed::until_closed,
    record::Record,
};
use crate::{
    deed::{
        Desk,
        export::{self, Chunks, Key, Order, Wanted},
        history::{Narrowing, Of},
    },
    domain::{Clock, PaperSize, Split, Zone, trend::PeriodDraft},
    export::FileForm,
    store::{Direction, Files, ItemFilter, ItemSort, ModelFilter, RetiredFilter},
};

/// Write records as a file
#[derive(Args)]
pub(super) struct Export {
    /// What is written
    what: What,
    /// In which form. A PDF takes 2000 rows and shows the columns that paper has room for
    #[arg(long = "as", value_name = "FORM", default_value = "csv")]
    form: Form,
    /// Begin behind the row of this key: the rest of a file that broke off
    #[arg(long, value_name = "KEY", default_value = "")]
    after: String,
    /// The first day, such as 2026-03-01: of recording, or for jobs of the job
    #[arg(long, value_name = "DAY", default_value = "")]
    from: String,
    /// The last day
    #[arg(long, value_name = "DAY", default_value = "")]
    until: String,
    #[command(flatten)]
    record: Record,
    /// The file; it must not be there yet. Without it the standard output is written
    #[arg(long)]
    output: Option<PathBuf>,
}

#[derive(Clone, Copy, ValueEnum)]
enum What {
    /// Every entry of the ledger, the oldest first, each with its hash and root
    History,
    /// Every item as it stands now, the retired ones too
    Items,
    /// Every model as it stands now
    Models,
    /// Every examination
    Examinations,
    /// Every job with its kit list
    Jobs,
    /// Every item that was refused for a job, with all reasons
    Refusals,
    /// What falls due and whose life ends, by weeks, months and stores
    Due,
    /// Items by age
    Ages,
    /// What ends in the months ahead
    Ahead,
    /// What failed, by lot; of the last three years where no days are said
    Failures,
    /// What was retired, by year
    Retired,
}

#[derive(Clone, Copy, ValueEnum)]
enum Form {
    /// Commas between cells
    Csv,
    /// A JSON object a line
    JsonLines,
    /// A workbook
    Xlsx,
    /// Pages to print
    Pdf,
}

impl From<Form> for FileForm {
    fn from(form: Form) -> Self {
        match form {
            Form::Csv => Self::Csv,
            Form::JsonLines => Self::JsonLines,
            Form::Xlsx => Self::Xlsx,
            Form::Pdf => Self::Pdf,
        }
    }
}

impl Export {
    fn wanted(&self, zone: &Zone) -> Result<Wanted, Box<dyn std::error::Error + Send + Sync>> {
        let days = Narrowing {
            from: self.from.clone(),
            until: self.until.clone(),
            ..Narrowing::default()
        };
        let entries = days.check(Of::Team, zone)?;
        let is_standing = match self.what {
            What::Items | What::Models | What::Due | What::Ages | What::Ahead | What::Retired => {
                true
            }
            What::History | What::Examinations | What::Jobs | What::Refusals | What::Failures => {
                false
            }
        };
        if is_standing && !days.is_open() {
            return Err("these rows are as they stand now and have no days".into());
        }
        Ok(match self.what {
            What::History => Wanted::History(Of::Team, entries),
            What::Items => Wanted::Items(ItemFilter::default(), (ItemSort::Mark, Direction::Up)),
            What::Models => Wanted::Models(ModelFilter::default()),
            What::Examinations => Wanted::Examinations(entries.into()),
            What::Jobs => Wanted::Jobs(entries.into()),
            What::Refusals => Wanted::Refusals(entries.into()),
            What::Due => Wanted::Due(Split::default()),
            What::Ages => Wanted::Ages(None),
            What::Ahead => Wanted::Ahead(None),
            What::Failures => Wanted::Failures(PeriodDraft {
                from: self.from.clone(),
                until: self.until.clone(),
            }),
            What::Retired => Wanted::Retired(RetiredFilter::default()),
        })
    }

    pub(super) async fn run(self) -> Outcome {
        let (database, team) = self.record.open().await?;
        let desk = Desk {
            database: database.clone(),
            clock: Clock::System,
            files: Files::unset(),
        };
        let order = Order {
            wanted: self.wanted(&team.time_zone)?,
            form: self.form.into(),
            after: Key::read(&self.after)?,
            paper: PaperSize::default(),
        };
        let begun = Box::pin(export::begin_from_console(&desk, team.id, order)).await?;
        let chunks = begun.chunks;
        match &self.output {
            None => until_closed(write(chunks, io::stdout().lock()).await)?,
            // On the heap: what it holds while it waits is large.
            Some(path) => Box::pin(write_file(chunks, path)).await?,
        }
        database.close().await;
        Ok(())
    }
}

/// Writes beside the file and gives it its name at the end, so that no half of one is taken for the whole.
async fn write_file(chunks: Chunks, path: &Path) -> Outcome {
    absent(path)?;
    let beside = part_of(path);
    let file = File::create(&beside)?;
    let written = match write(chunks, file).await {
        Ok(()) => fs::rename(&beside, path).map_err(Into::into),
        Err(error) => Err(error),
    };
    if written.is_err() {
        // What went wrong is told; that a part of a file may be left says nothing more.
        let _ = fs::remove_file(&beside);
    }
    written
}

async fn write(mut chunks: Chunks, mut to: impl Write) -> Outcome {
    while let Some(chunk) = chunks.try_next().await? {
        // Nothing else runs in this process, so nothing waits while it is written.
        to.write_all(&chunk)?;
    }
    Ok(to.flush()?)
}
