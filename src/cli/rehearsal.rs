//! What would come of an import, as text for the console.

use crate::import::{
    Column, Fate, Field, Foretold, Offer, Question, Reason, Rehearsal, RowFate, Tally,
    rows_in_words,
};

/// How many lines of each kind are printed.
const MOST_LINES: usize = 200;

/// The whole of it: the answer first, then the columns, and every question with the option that answers it.
pub(super) fn told(rehearsal: &Rehearsal) -> String {
    let rows = rehearsal.tally();
    let mut lines = vec![
        rehearsal.sentence(),
        tally(rows),
        format!(
            "Read as {}; headings in row {}.",
            rehearsal.read_as, rehearsal.headings.row
        ),
    ];
    let waiting = rehearsal.without_unit();
    let columns = rehearsal.headings.columns.iter();
    lines.extend(columns.filter_map(|one| column(one, &waiting)));
    let questions = rehearsal.questions.iter();
    let asked = questions.map(|one| format!("{} {}", one.sentence(), option(one)));
    block(&mut lines, "Asked", asked.collect());
    let open = rehearsal.open.iter();
    let open = open.map(|one| format!("{} {}", one.sentence(), option(one)));
    block(&mut lines, "May stay open", open.collect());
    let errors = rehearsal.errors.iter();
    let errors = errors.map(|error| format!("{}: {}", error.place(), error.message));
    block(&mut lines, "Wrong", errors.collect());
    let there = rehearsal.rows.iter().filter_map(there);
    block(
        &mut lines,
        "There already (--update updates those that differ)",
        there.collect(),
    );
    let remarks = rehearsal.remarks.iter();
    let remarks = remarks.map(|remark| {
        format!(
            "{} (rows: {}, first: {})",
            remark.sentence, remark.rows, remark.first_row
        )
    });
    let switch = (rehearsal.described > 0).then(|| {
        "What names and descriptions state can stay words. (--stated leave-out)".to_owned()
    });
    block(&mut lines, "To know", remarks.chain(switch).collect());
    let told = rehearsal.foretold.as_ref();
    if let Some(told) = told.filter(|told| told.in_service > 0) {
        against(&mut lines, told);
    }
    let foretold = rehearsal.foretold.iter();
    let asked = foretold.flat_map(|foretold| &foretold.at_positions);
    let asked = asked.flat_map(reason).collect();
    block(&mut lines, "Asked at single positions of rigs", asked);
    let papers = rehearsal.foretold.iter().flat_map(|told| &told.papers);
    block(
        &mut lines,
        "Papers often state, and may stay open",
        papers.flat_map(reason).collect(),
    );
    let models = rehearsal.new_models.iter();
    let models = models.map(|(title, items)| format!("{title}: {items}"));
    block(&mut lines, "New models", models.collect());
    block(&mut lines, "New stores", rehearsal.new_stores.clone());
    lines.push(String::new());
    lines.join("\n")
}

/// How many rows come in, wait, are refused, are left out; and how many are there already, if some are.
fn tally(rows: Tally) -> String {
    let there = match (rows.there, rows.updated) {
        (0, 0) => String::new(),
        (there, updated) => format!(", there already: {there}, updating an item: {updated}"),
    };
    format!(
        "Items that can come in: {}; rows that wait for an answer: {}, that are refused: {}, left out: {}{there}.",
        rows.come_in, rows.wait, rows.refused, rows.left_out
    )
}

fn column(column: &Column, waiting: &[&str]) -> Option<String> {
    let field = column.field()?;
    let waits = if waiting.contains(&column.heading.as_str()) {
        ", and waits for a unit"
    } else {
        ""
    };
    Some(format!(
        "  {:>3}  {}  is read as  {}{waits}",
        column.letters(),
        column.heading,
        field.key()
    ))
}

/// A row whose item the register has already.
fn there(row: &RowFate) -> Option<String> {
    let fate = match row.fate {
        Fate::Same => "same",
        Fate::Differs => "differs, stays as it is",
        Fate::Updated => "differs, will be updated",
        _ => return None,
    };
    let differs: Vec<String> = row.differs.iter().map(|differs| differs.words()).collect();
    let differs = if differs.is_empty() {
        String::new()
    } else {
        format!(": {}", differs.join("; "))
    };
    Some(format!("row {} ({}): {fate}{differs}", row.row, row.mark))
}

/// Why no job takes some items, and the options that mend it.
fn reason(reason: &Reason) -> Vec<String> {
    let mut lines = vec![format!(
        "{} ({}) {}",
        reason.sentence,
        rows_in_words(&reason.rows),
        reason.to_do
    )];
    match &reason.offer {
        Offer::InFile => {}
        Offer::Seen(of) => lines.push(format!("  (--seen \"{}=DAY WHO\")", of.key())),
        Offer::Models(models) => lines.extend(models.iter().map(|model| {
            let option = match (model.id, model.field) {
                (None, Some(field)) => format!(
                    " (--model \"{0}:{1}=…\" --source \"{0}:{1}=…\")",
                    model.title,
                    field.key()
                ),
                _ => String::new(),
            };
            format!("  {}: {}{option}", model.title, model.sentence)
        })),
    }
    lines
}

/// What can be answered of a word, or where the list is silent.
fn meanings(field: Field, question: &Question) -> String {
    match field {
        Field::Kind if matches!(question, Question::Silent { .. }) => "a kind of gear".to_owned(),
        Field::Kind => "a kind of gear, or leave-out".to_owned(),
        _ => question.answers_in_words(),
    }
}

/// An option that takes one of a few words.
fn chosen(option: &str, question: &Question) -> String {
    format!("(--{option} …; {})", question.answers_in_words())
}

/// The option that answers a question.
fn option(question: &Question) -> String {
    match question {
        Question::Heading { heading, .. } => format!("(--map \"{heading}=…\")"),
        Question::DateOrder { .. } => chosen("dates", question),
        Question::DecimalMark { .. } => chosen("decimal", question),
        Question::LessThanDay { .. } => chosen("less-than-day", question),
        Question::Ranges { .. } => chosen("ranges", question),
        Question::Numbered { .. } => chosen("numbered", question),
        Question::Restricted { .. } => chosen("restricted", question),
        Question::Unit { heading, .. } => format!("(--unit \"{heading}=…\")"),
        Question::Word { field, word, .. } => {
            let meanings = meanings(*field, question);
            format!("(--word \"{}:{word}=…\"; {meanings})", field.key())
        }
        Question::RopeEnd {
            models, missing, ..
        } => {
            let options = models.iter().map(|model| {
                let of = format!("{model}:{}", missing.key());
                format!("--model \"{of}=…\" --source \"{of}=…\"")
            });
            format!("({})", options.collect::<Vec<_>>().join(" "))
        }
        Question::Life { model, field, .. } => {
            let of = format!("{model}:{}", field.key());
            format!("(--model \"{of}=…\" --source \"{of}=…\")")
        }
        Question::Differs { model, field, .. } => format!(
            "(--agreed \"{model}:{}=…\"; {})",
            field.key(),
            question.answers_in_words()
        ),
        Question::LoadOf { model, .. } => format!("(--word \"rated-load:{model}=…\")"),
        Question::Examiner { name, .. } if name.is_empty() => {
            "(--set \"examiner=…\"; a name, or history)".to_owned()
        }
        Question::Examiner { name, .. } => {
            format!("(--word \"examiner:{name}=…\"; a name, or history)")
        }
        Question::Silent { field, names, .. } if !names.is_empty() => {
            format!(
                "(--set \"{}=…\", --maker-is first-word, or --maker \"NAME=MAKER\" for each)",
                field.key()
            )
        }
        Question::Silent { field, .. } => {
            format!("(--set \"{}=…\"{})", field.key(), silent(*field, question))
        }
    }
}

/// What can be answered where the list is silent, behind the option; nothing where it is typed.
fn silent(field: Field, question: &Question) -> String {
    if question.choices().is_empty() {
        return String::new();
    }
    format!("; {}", meanings(field, question))
}

/// What stands against the items, or that nothing does and what was looked at.
fn against(lines: &mut Vec<String>, told: &Foretold) {
    let reasons: Vec<String> = told.reasons.iter().flat_map(reason).collect();
    if let Some(sentence) = told.sentence() {
        block(lines, &sentence, reasons);
    } else {
        let (sentence, looked_at) = told.clear();
        block(lines, &sentence, vec![looked_at.to_owned()]);
    }
}

fn block(lines: &mut Vec<String>, title: &str, of: Vec<String>) {
    if of.is_empty() {
        return;
    }
    let more = of.len().saturating_sub(MOST_LINES);
    lines.push(format!("{}:", title.trim_end_matches('.')));
    lines.extend(
        of.into_iter()
            .take(MOST_LINES)
            .map(|line| format!("  {line}")),
    );
    if more > 0 {
        lines.push(format!("  and {more} more"));
    }
}
