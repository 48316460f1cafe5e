//! One question with its parameters, and its answer: a sentence, then the table.

use askama::Template;

use super::{
    super::{
        Shell,
        file_choice::FileChoice,
        form::{Choices, Field, Form},
        part::{Answer, Pager, Tone},
        words,
    },
    RowsTable, href,
};
use crate::domain::{
    FieldErrors, Notice,
    date::write_day,
    question::{Asked, Cell, Gap, LONGEST_DELAY, Question, QuestionDraft, Row, Tally, To},
};

/// The page.
#[derive(Template)]
#[template(path = "question/show.html")]
pub struct QuestionSheet {
    /// The frame.
    pub shell: Shell,
    asks: &'static str,
    action: String,
    form: Form,
    fields: Vec<Field>,
    answer: Option<Told>,
}

/// An answer as the page tells it.
struct Told {
    answer: Answer,
    basis: Vec<String>,
    table: RowsTable,
    file: FileChoice,
    pager: Pager,
}

/// What is asked, as typed.
pub struct Asking<'a> {
    /// The question.
    pub question: Question,
    /// Its parameters.
    pub draft: &'a QuestionDraft,
    /// The notices that may be chosen.
    pub notices: &'a [Notice],
}

/// The answer to be shown.
pub struct Shown<'a> {
    /// What was asked.
    pub asked: &'a Asked,
    /// What was counted.
    pub tally: &'a Tally,
    /// By what it was answered.
    pub basis: &'a [String],
    /// The rows of the page.
    pub rows: &'a [Row],
    /// The same to take along.
    pub file: FileChoice,
    /// The ways from this page to the others.
    pub pager: Pager,
}

impl QuestionSheet {
    /// The page; without an answer it asks alone.
    pub fn new(
        shell: Shell,
        asking: &Asking<'_>,
        shown: Option<Shown<'_>>,
        wrong: &FieldErrors,
    ) -> Self {
        let question = asking.question;
        let form = Form::new(wrong).failed("It was not answered");
        Self {
            asks: question.asks(),
            action: href(question),
            fields: fields(&form, asking),
            form,
            answer: shown.map(|shown| told(&shell, question, shown)),
            shell,
        }
    }

    /// Pages to test with.
    ///
    /// # Panics
    /// Never: what is asked in them holds.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let draft = probed();
        let notices = [gear::notice()];
        let asking = |question| Asking {
            question,
            draft: &draft,
            notices: &notices,
        };
        let page = |question: Question, rows: &[Row]| {
            let mut asked = QuestionDraft::default();
            match question {
                Question::Used => PROBE.clone_into(&mut asked.item),
                Question::Recalled => PROBE.clone_into(&mut asked.maker),
                _ => {}
            }
            let asked = asked.check(question, gear::TODAY).expect("it holds");
            let shown = Shown {
                asked: &asked,
                tally: &Tally {
                    found: rows.len() as u64,
                    of: 3,
                    ..Tally::default()
                },
                basis: &[PROBE.to_owned()],
                rows,
                file: FileChoice::sample(),
                pager: Pager::default(),
            };
            let shell = Shell::sample(question.title());
            let nothing = FieldErrors::default();
            Self::new(shell, &asking(question), Some(shown), &nothing)
        };
        let mut pages: Vec<Self> = Question::ALL.map(|one| page(one, &[full(one)])).into();
        pages.push(page(Question::Gaps, &[]));
        pages.extend(Question::ALL.map(|one| {
            let pairs = draft.pairs(one);
            let wrong = FieldErrors::one(pairs[0].0, "date", PROBE);
            Self::new(Shell::sample(one.title()), &asking(one), None, &wrong)
        }));
        pages
    }
}

/// A row to test with.
fn full(question: Question) -> Row {
    use super::super::{PROBE, gear};
    let cells = question.columns().iter().map(|column| {
        if column.id.is_some() {
            Cell::Record(To::Item(gear::item().id), PROBE.to_owned())
        } else {
            Cell::Text(PROBE.to_owned())
        }
    });
    Row {
        place: PROBE.to_owned(),
        cells: cells.collect(),
    }
}

/// What might be typed, to test with.
fn probed() -> QuestionDraft {
    let typed = || super::super::PROBE.to_owned();
    QuestionDraft {
        on: typed(),
        from: typed(),
        until: typed(),
        item: typed(),
        notice: typed(),
        maker: typed(),
        model: typed(),
        lot: typed(),
        gap: typed(),
        days: typed(),
    }
}

/// The fields of a question.
fn fields(form: &Form, asking: &Asking<'_>) -> Vec<Field> {
    let draft = asking.draft;
    let day = |name, label, value: &String, hint| form.typed("date", name, label, value).hint(hint);
    let from = || {
        day(
            "from",
            "From",
            &draft.from,
            "Empty is the beginning of the record.",
        )
    };
    let until = || day("until", "Until", &draft.until, "Empty is today.");
    match asking.question {
        Question::HeldBack => vec![day(
            "until",
            "Until",
            &draft.until,
            "The day that a job would last until. Empty is today.",
        )],
        Question::NotInDate => vec![day("on", "On", &draft.on, "Empty is today.")],
        Question::Beyond | Question::Refused => vec![from(), until()],
        Question::Used => vec![
            form.line("item", "Mark of the item", &draft.item).must(),
            from(),
            until(),
        ],
        Question::Recalled => vec![
            form.choice(
                "notice",
                "Safety notice",
                &draft.notice,
                notices(asking.notices),
            )
            .may(),
            form.line("maker", "or maker", &draft.maker),
            form.line("model", "Model", &draft.model)
                .hint("Empty is every model of the maker."),
            form.line("lot", "Lot", &draft.lot)
                .hint("One, or a range such as A-100 to A-199. Empty is every lot."),
        ],
        Question::Gaps => vec![form.choice("gap", "Which gaps", &draft.gap, gaps()).may()],
        Question::Late => {
            let hint = format!("From 0 to {LONGEST_DELAY}. Empty is 14.");
            let days = form
                .number("days", "More days than", &draft.days)
                .hint(&hint);
            vec![days, from(), until()]
        }
    }
}

fn notices(notices: &[Notice]) -> Choices {
    let none = (String::new(), "none; maker and lot instead".to_owned());
    let each = notices.iter().map(|notice| {
        let end = notice.withdrawn.as_ref().map_or("", |_| ", withdrawn");
        let day = write_day(notice.issued_on);
        let words = format!("{}, {day}{end}", notice.title);
        (notice.id.to_string(), words)
    });
    std::iter::once(none).chain(each).collect()
}

fn gaps() -> Choices {
    let all = (String::new(), "all".to_owned());
    let each = Gap::ALL.map(|gap| (gap.key().to_owned(), gap.word().to_owned()));
    std::iter::once(all).chain(each).collect()
}

fn told(shell: &Shell, question: Question, shown: Shown<'_>) -> Told {
    let found = shown.tally.found;
    let tone = match (question, found) {
        // What an item was used for, and what a lot touched, is neither good nor bad.
        (Question::Used | Question::Recalled | Question::Refused, _) => Tone::Note,
        (_, 0) => Tone::Fit,
        _ => Tone::Watch,
    };
    Told {
        answer: Answer::new(tone, shown.asked.answer(shown.tally)).why(shown.tally.words()),
        basis: shown.basis.to_vec(),
        table: RowsTable::new(
            question.title(),
            question.columns(),
            shown.rows,
            &shell.zone,
        ),
        file: shown.file,
        pager: Pager {
            shown: words::count(shown.rows.len(), "row", "rows"),
            ..shown.pager
        },
    }
}
