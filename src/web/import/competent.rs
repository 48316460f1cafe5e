//! Says, right where a list asks whose its examinations are, that these people are competent: all that were chosen are
//! recorded with the taking in.

use std::collections::BTreeMap;

use super::{
    asked::{open, plain},
    seen::Looker,
    typed::{Fields, Typed},
};
use crate::{
    deed::qualification,
    domain::{
        Competence, FieldErrors, QualificationDraft, QualificationId, date::write_day, fold, may_be,
    },
    import::{Answers, Competent, Field, Question, Rehearsal},
    view::{
        form::Choices,
        import::{Asked, AskedFold},
    },
    web::{App, Problem, Signed},
};

/// How the answers begin that record somebody, and the names of the fields beside them.
const ACT: &str = "competent-";
/// The answer that records the one whom the list names, who is of the team and has no account.
const OF_TEAM: &str = "competent-of-team";
/// The answer that records the one whom the list names, who is from outside.
const FROM_OUTSIDE: &str = "competent-from-outside";
/// The answer that records somebody who has an account, before the account's id.
const HAS_ACCOUNT: &str = "competent-as-";
/// The field for why, which stands once for all of them.
const EVIDENCE: &str = "competent-evidence";
/// The others, one of each for every name.
const FIELDS: [&str; 4] = ["name", "kinds", "from", "until"];

/// Whether an answer records somebody, and says nothing that a list could be read with.
pub(super) fn records(answer: &str) -> bool {
    answer.starts_with(ACT)
}

/// Whether no other name is asked about behind the first of these questions.
pub(super) fn is_last(questions: &[Question]) -> bool {
    let mut behind = questions.iter().skip(1);
    !behind.any(|one| matches!(one, Question::Examiner { name, .. } if !name.is_empty()))
}

/// Asks whose the examinations under a name are; whoever may do so records there that it is somebody competent.
/// Behind the last name stands why.
pub(super) fn ask(
    form: Fields<'_>,
    (number, question): (usize, &Question),
    (looker, is_last): (Looker<'_>, bool),
) -> Vec<Asked> {
    let Question::Examiner { name, .. } = question else {
        return Vec::new();
    };
    let asked = form.choice(
        &format!("meaning-{number}"),
        &question.sentence(),
        "",
        open(choices(question, looker.competence)),
    );
    let hidden = vec![
        (format!("field-{number}"), Field::Examiner.key()),
        (format!("word-{number}"), name.clone()),
        (
            format!("{ACT}{number}[id]"),
            QualificationId::new().to_string(),
        ),
    ];
    if looker.competence.is_none() {
        let hint = "An administrator of your team can record here that this person is competent; the list waits.";
        return vec![Asked {
            hidden,
            ..plain(asked.hint(hint))
        }];
    }
    let mut all = vec![Asked {
        hidden,
        fold: Some(fold_of(form, number, question)),
        ..plain(asked)
    }];
    if is_last {
        let why = form.line(
            EVIDENCE,
            "Why your team holds those competent whom you record here",
            "",
        );
        let why = why.needed("needed where you record somebody");
        all.push(plain(why.hint(
            "Training and its date, paper, years of practice. It is kept with each of them, under your name; empty where you record nobody.",
        )));
    }
    all
}

/// What can be said: whom to record, where the looker may, before whose the examinations are.
fn choices(question: &Question, competence: Option<&Competence>) -> Choices {
    let others = question.choices();
    let (Question::Examiner { name, .. }, Some(competence)) = (question, competence) else {
        return others;
    };
    let mut choices: Choices = Vec::new();
    let people = competence.people.iter();
    for (id, own) in people.clone().filter(|(_, own)| may_be(name, own)) {
        let words = format!("Record that {own} is competent, who has an account here");
        choices.push((format!("{HAS_ACCOUNT}{id}"), words));
    }
    // Somebody who has an account is not recorded a second time without it.
    if !people.clone().any(|(_, own)| fold(own) == fold(name)) {
        let words = format!("Record that {name} is competent (from our team)");
        choices.push((OF_TEAM.to_owned(), words));
        let words = format!("Record that {name} is competent (from outside)");
        choices.push((FROM_OUTSIDE.to_owned(), words));
    }
    choices.extend(others);
    choices
}

/// What is recorded with it: proposed from the list, and stated by whoever answers.
fn fold_of(form: Fields<'_>, number: usize, question: &Question) -> AskedFold {
    let Question::Examiner {
        name: listed,
        kinds: examined,
        first_day,
        ..
    } = question
    else {
        return AskedFold::default();
    };
    let name = |field: &str| format!("{ACT}{number}[{field}]");
    let examined: Vec<&str> = examined.iter().map(|kind| kind.word()).collect();
    let from = first_day.map(write_day).unwrap_or_default();
    let since = if from.is_empty() { "today" } else { &from };
    let is_wrong = |field: &&str| !form.form.wrong_at(&name(field)).is_empty();
    let proposed = "The first of these examinations is proposed; it is you who states it. What was examined before it does not count.";
    AskedFold {
        summary: format!(
            "If you record it: competent since {since}, for every kind. Change it here"
        ),
        open: FIELDS.iter().any(is_wrong),
        fields: vec![
            form.day(&name("from"), "Competent since", &from)
                .hint(proposed),
            form.line(&name("kinds"), "For which kinds of gear", "")
                .hint(&format!(
                    "With commas between; empty is every kind. Those that were examined: {}.",
                    examined.join(", ")
                )),
            form.day(&name("until"), "Until", "")
                .hint("That day included; empty is until it is ended."),
            form.line(&name("name"), "The name", listed)
                .hint("As it is to stand under an examination."),
        ],
    }
}

/// Whoever is to be recorded as competent with the taking in, as it was said before and is not taken back.
pub(super) fn kept(typed: &Typed, before: &Answers) -> BTreeMap<String, Competent> {
    let mut kept = before.competent.clone();
    kept.retain(|name, _| typed.text(&name_kept(name)) != TAKE_BACK);
    kept
}

/// Shows who is to be recorded with the taking in; each can be taken back.
pub(super) fn said(form: Fields<'_>, answers: &Answers) -> Vec<Asked> {
    let said = answers.competent.iter();
    let said = said.map(|(listed, one)| {
        let kinds = match one.draft.kinds.trim() {
            "" => "every kind",
            kinds => kinds,
        };
        let name = match one.draft.name.trim() {
            "" => listed,
            name => name,
        };
        let words = format!(
            "Recorded with the taking in: {name}, since {}, for {kinds}",
            one.draft.from
        );
        let choices = vec![
            (KEEP.to_owned(), words),
            (TAKE_BACK.to_owned(), "Do not record it".to_owned()),
        ];
        let label = format!("Competent to examine: \"{listed}\"");
        plain(form.choice(&name_kept(listed), &label, KEEP, choices))
    });
    said.collect()
}

/// The name of the field that takes back that somebody is recorded.
fn name_kept(listed: &str) -> String {
    format!("to-record[{listed}]")
}

/// The words that leave it so, or take it back.
const KEEP: &str = "keep";
const TAKE_BACK: &str = "take-back";

/// Takes down everybody who was chosen to be recorded, and takes the examinations of the list's names for theirs. They
/// are recorded when the list is taken in, and not before. Gives what will be done in words; nothing where nobody was
/// chosen.
///
/// # Errors
/// Every field that does not hold, under its name in the page; then nobody is taken down.
pub(super) async fn take_down(
    (app, signed): (&App, &Signed),
    typed: &Typed,
    answers: &mut Answers,
) -> Result<Result<Option<String>, FieldErrors>, Problem> {
    let chosen = typed.numbered("meaning-");
    let chosen: Vec<(&str, &str)> = chosen.filter(|(_, answer)| records(answer)).collect();
    if chosen.is_empty() {
        return Ok(Ok(None));
    }
    let today = signed.today(app);
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    let (mut names, mut wrong) = (Vec::new(), FieldErrors::default());
    for (number, answer) in &chosen {
        let of = format!("{ACT}{number}");
        let id = typed.text(&format!("{of}[id]")).parse();
        let id = id.unwrap_or_else(|_| QualificationId::new());
        let mut draft = draft(typed, number, (answer, &signed.team));
        let one = match draft.check(id, today) {
            Ok(one) => one,
            Err(part) => {
                wrong.nest(&of, part);
                continue;
            }
        };
        let name = competence.name_of(&one).to_owned();
        if name.is_empty() {
            wrong.add(
                format!("meaning-{number}"),
                "choice",
                "Choose one of the list.",
            );
            continue;
        }
        // The day is that on which it was said, not that of the taking in.
        draft.from = write_day(one.from);
        let listed = typed.text(&format!("word-{number}")).to_owned();
        if !listed.is_empty() && listed.to_lowercase() != name.to_lowercase() {
            let words = answers.words.entry(Field::Examiner.key()).or_default();
            words.insert(listed.clone(), name.clone());
        }
        names.push(format!("{name}, {}", one.days_words()));
        answers.competent.insert(listed, Competent { id, draft });
    }
    if !wrong.is_empty() {
        return Ok(Err(as_named(wrong)));
    }
    Ok(Ok(Some(format!(
        "To be recorded as competent to examine when the list is taken in: {}. Nothing is recorded before.",
        names.join("; ")
    ))))
}

fn draft(typed: &Typed, number: &str, (answer, team): (&str, &str)) -> QualificationDraft {
    let text = |field: &str| typed.text(&format!("{ACT}{number}[{field}]")).to_owned();
    let person = answer.strip_prefix(HAS_ACCOUNT).unwrap_or_default();
    let has_account = !person.is_empty();
    QualificationDraft {
        person: person.to_owned(),
        name: if has_account {
            String::new()
        } else {
            text("name")
        },
        body: if answer == OF_TEAM {
            team.to_owned()
        } else {
            String::new()
        },
        kinds: text("kinds"),
        from: text("from"),
        until: text("until"),
        evidence: typed.text(EVIDENCE).to_owned(),
        address: String::new(),
    }
}

/// The errors under the names of the page: why stands once for all.
fn as_named(wrong: FieldErrors) -> FieldErrors {
    let mut named = FieldErrors::default();
    for mut error in wrong.0 {
        if error.field.ends_with("[evidence]") {
            EVIDENCE.clone_into(&mut error.field);
        }
        if !named.0.contains(&error) {
            named.0.push(error);
        }
    }
    named
}

/// What was typed of whom to record and what is wrong with it, under the numbers that its names have in another rehearsal:
/// its questions are numbered anew. What else was typed is kept as answers by then.
pub(super) fn moved(
    typed: &Typed,
    wrong: &FieldErrors,
    rehearsal: &Rehearsal,
) -> (Typed, FieldErrors) {
    let (mut kept, mut told) = (Vec::new(), wrong.clone());
    told.0
        .retain(|error| !error.field.starts_with("meaning-") && !is_of_one(&error.field));
    kept.push((EVIDENCE.to_owned(), typed.text(EVIDENCE).to_owned()));
    let asked = |listed: &str| {
        let mut questions = rehearsal.questions.iter();
        questions
            .position(|one| matches!(one, Question::Examiner { name, .. } if name.trim() == listed))
    };
    let chosen = typed.numbered("meaning-");
    for (number, answer) in chosen.filter(|(_, answer)| records(answer)) {
        let Some(now) = asked(typed.text(&format!("word-{number}"))) else {
            continue;
        };
        kept.push((format!("meaning-{now}"), answer.to_owned()));
        let (then, now_of) = (format!("{ACT}{number}["), format!("{ACT}{now}["));
        for (rest, value) in typed.numbered(&then) {
            kept.push((format!("{now_of}{rest}"), value.to_owned()));
        }
        for error in &wrong.0 {
            let field = match error.field.strip_prefix(&then) {
                Some(rest) => format!("{now_of}{rest}"),
                None if error.field == format!("meaning-{number}") => format!("meaning-{now}"),
                None => continue,
            };
            told.add(field, &error.code, &*error.message);
        }
    }
    (Typed::new(kept), told)
}

/// Whether a field is one of those beside a name.
fn is_of_one(field: &str) -> bool {
    let of = field.strip_prefix(ACT);
    of.is_some_and(|of| of.starts_with(|c: char| c.is_ascii_digit()))
}
