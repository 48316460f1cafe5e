//! Bringing in a list that was kept elsewhere.

mod foretold;

use askama::Template;

use super::{
    PROBE, Shell,
    form::{Field, Form},
    part::{Answer, Badge, Facts, Tone, html_parts},
};
use crate::domain::FieldErrors;

pub use foretold::{ForetoldLine, ForetoldRest, ForetoldSheet};

/// Chooses the file.
#[derive(Template)]
#[template(path = "import/new.html")]
pub struct BringFile {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// How large a file may be, in words.
    pub limits: &'static str,
    /// The lists that wait: where, what each is called, since when.
    pub waiting: Vec<(String, String, String)>,
}

impl BringFile {
    /// The page in this frame.
    pub fn new(shell: Shell, wrong: &FieldErrors, waiting: Vec<(String, String, String)>) -> Self {
        Self {
            shell,
            waiting,
            form: Form::new(wrong),
            limits: "CSV or XLSX, 20 MB and 50,000 rows at most.",
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let wrong = FieldErrors::one("file", "file", PROBE);
        let waiting = vec![("/import/0".to_owned(), PROBE.to_owned(), PROBE.to_owned())];
        vec![Self::new(Shell::sample("Bring in a list"), &wrong, waiting)]
    }
}

/// Something that is asked, or was answered, with what must be sent along.
#[derive(Template)]
#[template(path = "import/asked.html")]
pub struct Asked {
    /// The field of the answer.
    pub field: Field,
    /// Names and values that are sent along.
    pub hidden: Vec<(String, String)>,
    /// What goes with the answer, folded away.
    pub fold: Option<AskedFold>,
}

/// What goes with an answer and seldom needs a change.
#[derive(Default)]
pub struct AskedFold {
    /// What stands in its fields, in words.
    pub summary: String,
    /// Whether it is shown at once: something in it is wrong.
    pub open: bool,
    /// Its fields.
    pub fields: Vec<Field>,
}

html_parts!(Asked);

/// A column and what becomes of it.
pub struct ColumnLine {
    /// The heading.
    pub heading: String,
    /// The name under which the heading is sent along.
    pub heading_name: String,
    /// The field that says what becomes of it.
    pub field: Field,
}

/// Something wrong in the file.
pub struct ErrorLine {
    /// Row, column and heading in words.
    pub place: String,
    /// What is wrong and what to do.
    pub message: String,
}

/// A row and what would come of it.
pub struct RowLine {
    /// Its number.
    pub row: u32,
    /// The item's mark.
    pub mark: String,
    /// Kind, maker and model.
    pub title: String,
    /// Where it would live.
    pub store: String,
    /// What would come of it.
    pub fate: Badge,
    /// What is wrong in it, what it says otherwise than the register, what a person should know.
    pub notes: Vec<String>,
}

/// A button that shows some rows only.
pub struct RowFilter {
    /// Its words, with how many rows.
    pub words: String,
    /// What it sends.
    pub go: String,
    /// Whether these rows are shown.
    pub here: bool,
}

/// The rows that are shown, and the ways to the others.
pub struct RowSheet {
    /// Ways to some rows only.
    pub filters: Vec<RowFilter>,
    /// Whether they are in sight at once: somebody has turned to them, or some are wrong.
    pub open: bool,
    /// Which part this is, as a button would send it.
    pub here: String,
    /// Which part this is, in words.
    pub shown: String,
    /// What leads to the part before; none if this is the first.
    pub earlier: Option<String>,
    /// What leads to the part behind; none if this is the last.
    pub later: Option<String>,
    /// The words of the button that leaves out all rows with errors; empty if there are none.
    pub leave_wrong: String,
    /// The rows.
    pub rows: Vec<RowLine>,
}

/// Answers that were taken over from another list.
pub struct TakenOverSheet {
    /// Whose they were, for which list, when.
    pub sentence: String,
    /// The answers.
    pub said: Vec<Asked>,
}

/// What would come of a file.
#[derive(Template)]
#[template(path = "import/show.html")]
pub struct RehearsalSheet {
    /// The frame.
    pub shell: Shell,
    /// The id under which the file waits.
    pub id: String,
    /// What the file is called.
    pub file: String,
    /// The answer in one sentence.
    pub answer: Answer,
    /// Whether it can be taken in.
    pub ready: bool,
    /// The words on the button that takes it in.
    pub take: String,
    /// How many rows come in, and how the file was read.
    pub facts: Facts,
    /// What was wrong with the answers.
    pub form: Form,
    /// What is asked.
    pub asked: Vec<Asked>,
    /// Whether what was answered is in sight at once: something in it may be wrong.
    pub said_open: bool,
    /// What was answered, and can be changed.
    pub said: Vec<Asked>,
    /// What was taken over from another list, and can be changed; none where nothing was.
    pub taken_over: Option<TakenOverSheet>,
    /// Asks what becomes of items that are there already; none where there are none.
    pub update: Option<Field>,
    /// How many rows were chosen to be left out, and where they can be had; none where none were.
    pub left_out: Option<(String, String)>,
    /// What jobs will say of the items that would come in; none while there are none.
    pub foretold: Option<ForetoldSheet>,
    /// The columns.
    pub columns: Vec<ColumnLine>,
    /// Whether the columns are shown at once: something is asked.
    pub columns_open: bool,
    /// What is wrong.
    pub errors: Vec<ErrorLine>,
    /// That there is more wrong than is shown; may be empty.
    pub more_errors: String,
    /// What a person should look at: it stands in the open.
    pub look_at: Vec<String>,
    /// What a person should know.
    pub remarks: Vec<String>,
    /// New models and stores.
    pub news: Vec<String>,
    /// The rows.
    pub rows: RowSheet,
}

impl RehearsalSheet {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        [true, false].map(sample).into()
    }
}

fn sample(ready: bool) -> RehearsalSheet {
    let probe = || PROBE.to_owned();
    let form = Form::new(&FieldErrors::one("dates", "choice", PROBE));
    let choices = vec![(probe(), probe())];
    RehearsalSheet {
        shell: Shell::sample("A list"),
        id: "0".to_owned(),
        file: probe(),
        answer: Answer::new(if ready { Tone::Fit } else { Tone::Hold }, PROBE),
        ready,
        take: probe(),
        facts: Facts::default().and(PROBE, PROBE),
        asked: vec![Asked {
            field: form.choice("dates", PROBE, PROBE, &choices),
            hidden: vec![(probe(), probe())],
            fold: Some(AskedFold {
                summary: probe(),
                open: ready,
                fields: vec![form.line("competent-0[name]", PROBE, PROBE)],
            }),
        }],
        said_open: !ready,
        said: vec![Asked {
            field: form.line("silent-maker", PROBE, PROBE),
            hidden: Vec::new(),
            fold: None,
        }],
        foretold: Some(ForetoldSheet::sample(&form, ready)),
        taken_over: Some(TakenOverSheet {
            sentence: probe(),
            said: vec![Asked {
                field: form.line("unit-0", PROBE, PROBE),
                hidden: Vec::new(),
                fold: None,
            }],
        }),
        update: Some(form.choice("update", PROBE, PROBE, &choices).hint(PROBE)),
        left_out: Some((probe(), "/import/0/left-out.csv".to_owned())),
        columns: vec![ColumnLine {
            heading: probe(),
            heading_name: "heading-0".to_owned(),
            field: form
                .grouped("column-0", PROBE, PROBE, vec![(probe(), choices)])
                .hint(PROBE),
        }],
        columns_open: !ready,
        form,
        errors: vec![ErrorLine {
            place: probe(),
            message: probe(),
        }],
        more_errors: probe(),
        look_at: vec![probe()],
        remarks: vec![probe()],
        news: vec![probe()],
        rows: rows(),
    }
}

fn rows() -> RowSheet {
    let probe = || PROBE.to_owned();
    RowSheet {
        filters: [true, false]
            .map(|here| RowFilter {
                words: probe(),
                go: probe(),
                here,
            })
            .into(),
        open: true,
        here: probe(),
        shown: probe(),
        earlier: Some(probe()),
        later: Some(probe()),
        leave_wrong: probe(),
        rows: vec![RowLine {
            row: 2,
            mark: probe(),
            title: probe(),
            store: probe(),
            fate: Badge::new(Tone::Note, PROBE),
            notes: vec![probe()],
        }],
    }
}
