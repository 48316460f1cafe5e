//! Brings an existing inventory in from a file, from the server's console.

mod field;
mod of_list;

use std::{
    error::Error,
    fs::File,
    io::{ErrorKind, Write},
    path::PathBuf,
};

use clap::{
    Args,
    builder::{PossibleValuesParser, TypedValueParser},
};

use super::{
    Outcome,
    printed::{line, say},
    record::Address,
    rehearsal,
};
use crate::{
    deed::{
        DeedError, Desk,
        import::{self, ImportFile},
    },
    domain::{Actor, Clock},
    import::{
        Answers, DateOrder, DecimalMark, Differing, ImportFailure, LARGEST_FILE, LessThanDay,
        MakerIs, Numbered, Ranges, ReadIn, Restricted, Rounds, Seen, SeenOf, Stated, Unit, counted,
    },
    store::{Database, Files},
};

/// Brings an inventory in from a CSV or XLSX file: all of it or nothing
#[derive(Args)]
#[command(after_long_help = field::told())]
pub(super) struct Import {
    /// The file
    file: PathBuf,
    #[command(flatten)]
    at: Address,
    /// The name of the team whose register it goes to
    #[arg(long)]
    team: String,
    /// The sign-in name of the person who answers for it
    #[arg(long = "as", value_name = "SIGN-IN")]
    person: String,
    /// The order of day and month where it is in doubt
    #[arg(long, value_parser = one_of(DateOrder::ALL, DateOrder::key))]
    dates: Option<DateOrder>,
    /// The decimal mark where it is in doubt
    #[arg(long, value_parser = one_of(DecimalMark::ALL, DecimalMark::key))]
    decimal: Option<DecimalMark>,
    /// What a month or a year stands for where a day is kept
    #[arg(long, value_parser = one_of(LessThanDay::ALL, LessThanDay::key))]
    less_than_day: Option<LessThanDay>,
    /// Who the maker is where the list has none
    #[arg(long, value_parser = one_of(MakerIs::ALL, MakerIs::key))]
    maker_is: Option<MakerIs>,
    /// Who makes the model of this name, where the list has no maker: `--maker "Static 11=Tarnbeck"`
    #[arg(long, value_name = "NAME=MAKER")]
    maker: Vec<String>,
    /// What marks such as R1-R12 stand for
    #[arg(long, value_parser = one_of(Ranges::ALL, Ranges::key))]
    ranges: Option<Ranges>,
    /// What a row stands for that has one mark and a quantity above one
    #[arg(long, value_parser = one_of(Numbered::ALL, Numbered::key))]
    numbered: Option<Numbered>,
    /// What becomes of items whose remarks restrict them
    #[arg(long, value_parser = one_of(Restricted::ALL, Restricted::key))]
    restricted: Option<Restricted>,
    /// What becomes of rows that say otherwise of their model than rows before; else they are refused
    #[arg(long, value_parser = one_of(Differing::ALL, Differing::key))]
    differing: Option<Differing>,
    /// What holds where rows of a model say several things of a field: `--agreed "Fellside Oval:standard=EN 362"`, or
    /// `=apart` for a model of its own for each
    #[arg(long, value_name = "MODEL:FIELD=VALUE")]
    agreed: Vec<String>,
    /// The sheet of the workbook; if none is named, the first that has the headings of a list
    #[arg(long)]
    sheet: Option<String>,
    /// What a heading is: `--map "Heading=field"`, or `=in-note`, or `=leave-out`; `--help` ends with the list of fields
    #[arg(long, value_name = "HEADING=FIELD")]
    map: Vec<String>,
    /// The unit of numbers that name none: `--unit "Length=m"`
    #[arg(long, value_name = "HEADING=UNIT")]
    unit: Vec<String>,
    /// What a word means: `--word "kind:gas meter=leave-out"`
    #[arg(long, value_name = "FIELD:WORD=MEANING")]
    word: Vec<String>,
    /// What holds where the file says nothing: `--set "life-support=yes"` (or no), `--set "store=Van 2"`, `--set
    /// "state=in-service"` (or quarantined, missing, retired); the rehearsal names the fields that it asks about and their answers
    #[arg(long, value_name = "FIELD=VALUE")]
    set: Vec<String>,
    /// Whether gear of a kind may hold people, where that differs from the rest: `--people "edge protector=no"`
    #[arg(long, value_name = "KIND=YES-OR-NO")]
    people: Vec<String>,
    /// What was seen of all items that jobs would refuse else: `--seen "markings-unknown=2026-03-01 Ada Brook"`;
    /// also never-examined and overdue
    #[arg(long, value_name = "REASON=DAY WHO")]
    seen: Vec<String>,
    /// What holds for all items of a model: `--model "Fellside Oval:standard=EN 362"`
    #[arg(long, value_name = "MODEL:FIELD=VALUE")]
    model: Vec<String>,
    /// Where that was read: `--source "Fellside Oval:standard=marking"`; also paper, test, note and not-known
    #[arg(long, value_name = "MODEL:FIELD=SOURCE")]
    source: Vec<String>,
    /// Update the items that the register has already where the file says something otherwise; else they stay as they are
    #[arg(long)]
    update: bool,
    /// The rows to leave out: `--leave-out 5,12`
    #[arg(long, value_name = "ROWS", value_delimiter = ',')]
    leave_out: Vec<u32>,
    /// Leave out every row in which something is wrong
    #[arg(long)]
    leave_out_wrong: bool,
    /// Where to write the rows that are left out, each with what is wrong in it
    #[arg(long, value_name = "FILE")]
    left_out: Option<PathBuf>,
    /// What becomes of attributes that names and descriptions state and no column holds
    #[arg(long, value_parser = one_of(Stated::ALL, Stated::key))]
    stated: Option<Stated>,
    /// Only say what would come of it
    #[arg(long)]
    dry_run: bool,
}

type Failure = Box<dyn Error + Send + Sync>;

impl Import {
    pub(super) async fn run(self) -> Outcome {
        let name = self.file.file_name().unwrap_or_default();
        let unread = |error| format!("{}: {error}", self.file.display());
        let size = std::fs::metadata(&self.file).map_err(unread)?.len();
        // A file far beyond the limit is not read first.
        if size > LARGEST_FILE as u64 {
            return Err(ImportFailure::too_large(size).into());
        }
        let bytes = std::fs::read(&self.file).map_err(unread)?;
        let file = ImportFile {
            answers: self.answers()?,
            ..ImportFile::new(name.to_string_lossy(), bytes)
        };
        let database = Database::open(&self.at.database).await?;
        database.migrate().await?;
        let desk = Desk {
            database: database.clone(),
            clock: Clock::System,
            files: Files::unset(),
        };
        let actor = self.actor(&database).await?;
        let done = self.take(&desk, &actor, &file).await;
        database.close().await;
        done
    }

    async fn take(&self, desk: &Desk, actor: &Actor, file: &ImportFile) -> Outcome {
        of_list::there(&told(import::unheard(desk, actor, file).await)?)?;
        let file = &if self.leave_out_wrong {
            told(import::without_wrong(desk, actor, file, Rounds::All).await)?
        } else {
            file.clone()
        };
        let rehearsal = told(import::look(desk, actor, file).await)?;
        of_list::its_models(&file.answers, &rehearsal)?;
        told(rehearsal.faulty.clone().or(|| ()).map_err(DeedError::from))?;
        say(rehearsal::told(&rehearsal))?;
        self.keep_left_out(desk, actor, file).await?;
        if !rehearsal.is_ready() {
            return Err("nothing was stored".into());
        }
        if self.dry_run {
            return Ok(line("Nothing was stored: this was a rehearsal.")?);
        }
        let taken = told(import::take(desk, actor, file).await)?;
        Ok(line(taken.sentence())?)
    }

    /// Writes the rows that are left out where they are wanted; a file that is there is not written over.
    async fn keep_left_out(&self, desk: &Desk, actor: &Actor, file: &ImportFile) -> Outcome {
        let Some(path) = &self.left_out else {
            return Ok(());
        };
        let left = told(import::left_out(desk, actor, file).await)?;
        let mut written = File::create_new(path).map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => {
                format!("{} is there already; name another file", path.display())
            }
            _ => format!("{}: {error}", path.display()),
        })?;
        written.write_all(&left.file.bytes)?;
        Ok(line(format_args!(
            "{} left out: {}",
            counted(left.rows, "row"),
            path.display()
        ))?)
    }

    async fn actor(&self, database: &Database) -> Result<Actor, Failure> {
        let mut door = database.door().await?;
        let found = door.person_by_sign_in(&self.person.to_lowercase()).await?;
        let teams = door.teams().await?;
        let team = teams.iter().find(|team| team.name == self.team);
        let Some(team) = team else {
            let names: Vec<&str> = teams.iter().map(|team| team.name.as_str()).collect();
            return Err(format!(
                "there is no team \"{}\"; there are: {}",
                self.team,
                names.join(", ")
            )
            .into());
        };
        match found {
            Some((of, person)) if of == team.id && person.active => Ok(Actor {
                team: of,
                person: person.id,
                role: person.role,
            }),
            _ => Err(format!(
                "nobody signs in to the team \"{}\" as {}",
                team.name, self.person
            )
            .into()),
        }
    }

    fn answers(&self) -> Result<Answers, Failure> {
        let mut answers = Answers {
            sheet: self.sheet.clone(),
            dates: self.dates,
            decimal: self.decimal,
            stated: self.stated,
            less_than_day: self.less_than_day,
            ranges: self.ranges,
            numbered: self.numbered,
            restricted: self.restricted,
            differing: self.differing,
            maker_is: self
                .maker_is
                .or((!self.maker.is_empty()).then_some(MakerIs::Each)),
            left_out: self.leave_out.iter().copied().collect(),
            update: self.update,
            ..Answers::default()
        };
        for said in &self.map {
            let (heading, target) = parted(said, "--map")?;
            let target = field::target(target)?;
            answers.headings.insert(heading.to_owned(), target);
        }
        for said in &self.unit {
            let (heading, unit) = parted(said, "--unit")?;
            let unit = Unit::try_from(unit.to_owned())?;
            answers.units.insert(heading.to_owned(), unit);
        }
        for said in &self.set {
            let (field, value) = parted(said, "--set")?;
            answers.silent.insert(field::key(field)?, value.to_owned());
        }
        for said in &self.maker {
            let (name, maker) = parted(said, "--maker")?;
            answers.makers.insert(name.to_owned(), maker.to_owned());
        }
        for said in &self.people {
            let (kind, said) = parted(said, "--people")?;
            answers.people.insert(kind.to_owned(), said.to_owned());
        }
        for said in &self.word {
            let (word, meaning) = parted(said, "--word")?;
            let (field, word) = word
                .split_once(':')
                .ok_or_else(|| format!("write --word as FIELD:WORD=MEANING, not \"{said}\""))?;
            let words = answers.words.entry(field::key(field)?).or_default();
            words.insert(word.to_owned(), meaning.to_owned());
        }
        for said in &self.seen {
            let (of, seen) = seen(said)?;
            answers.seen.insert(of, seen);
        }
        self.of_models(&mut answers)?;
        Ok(answers)
    }

    /// What was said of models, and where it was read.
    fn of_models(&self, answers: &mut Answers) -> Outcome {
        for said in &self.model {
            let (title, field, value) = of_model(said, "--model")?;
            let fields = answers.models.entry(title).or_default();
            fields.insert(field, value.to_owned());
        }
        for said in &self.agreed {
            let (title, field, value) = of_model(said, "--agreed")?;
            let fields = answers.agreed.entry(title).or_default();
            fields.insert(field, value.to_owned());
        }
        for said in &self.source {
            let (title, field, value) = of_model(said, "--source")?;
            let read = ReadIn::from_key(value).ok_or_else(|| {
                format!(
                    "\"{value}\" is nowhere to read it in: marking, paper, test, note, not-known"
                )
            })?;
            answers
                .sources
                .entry(title)
                .or_default()
                .insert(field, read);
        }
        Ok(())
    }
}

/// What is said of a field of a model: `Fellside Oval:standard=EN 362`.
fn of_model<'a>(said: &'a str, option: &str) -> Result<(String, String, &'a str), Failure> {
    let (of, value) = parted(said, option)?;
    let (title, field) = of
        .rsplit_once(':')
        .ok_or_else(|| format!("write {option} as MODEL:FIELD=…, not \"{said}\""))?;
    Ok((title.trim().to_owned(), field::key(field)?, value))
}

/// Who has seen what, and when: `markings-unknown=2026-03-01 Ada Brook`, or `markings-unknown=by-examiner` for the
/// examiner of each row on the day of its examination.
fn seen(said: &str) -> Result<(SeenOf, Seen), Failure> {
    let (of, seen) = parted(said, "--seen")?;
    let (on, by) = seen.split_once(' ').unwrap_or((seen, ""));
    let of = SeenOf::from_key(of).ok_or_else(|| {
        let known = SeenOf::ALL.map(SeenOf::key);
        format!(
            "\"{of}\" is nothing that can be seen of all items; there are: {}",
            known.join(", ")
        )
    })?;
    let (by, on) = (by.trim().to_owned(), on.to_owned());
    if of == SeenOf::MarkingsUnknown && seen.trim() == "by-examiner" {
        let each = Seen {
            each: true,
            ..Seen::default()
        };
        return Ok((of, each));
    }
    let seen = Seen {
        by,
        on,
        ..Seen::default()
    };
    Ok((of, seen))
}

/// Reads one of these answers by its word.
fn one_of<T: Copy + Send + Sync + 'static>(
    all: &'static [T],
    key: fn(T) -> &'static str,
) -> impl TypedValueParser<Value = T> {
    let keys = PossibleValuesParser::new(all.iter().map(|one| key(*one)));
    keys.map(move |said| {
        let found = all.iter().copied().find(|one| key(*one) == said);
        found.expect("the parser takes no other word")
    })
}

/// The two sides of the last equals sign: a heading may hold one itself.
fn parted<'a>(said: &'a str, option: &str) -> Result<(&'a str, &'a str), Failure> {
    said.rsplit_once('=')
        .map(|(front, behind)| (front.trim(), behind.trim()))
        .filter(|(front, behind)| !front.is_empty() && !behind.is_empty())
        .ok_or_else(|| format!("write {option} with an equals sign, not \"{said}\"").into())
}

/// Every sentence on a line of its own.
fn told<T>(done: Result<T, DeedError>) -> Result<T, Failure> {
    done.map_err(|error| match error {
        DeedError::Invalid(wrong) => {
            let lines: Vec<String> = wrong.0.into_iter().map(|error| error.message).collect();
            lines.join("\n  ").into()
        }
        other => other.into(),
    })
}
