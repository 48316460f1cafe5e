//! Records, right where a list asks whose its examinations are, that these people are competent: all that were chosen
//! in one go.

use super::{
    asked::{open, plain},
    seen::Looker,
    typed::{Fields, Typed},
};
use crate::{
    deed::{DeedError, qualification},
    domain::{
        Competence, FieldErrors, QualificationDraft, QualificationId, date::write_day, fold, may_be,
    },
    import::{Answers, Field, Question},
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
        kinds,
        first_day,
        ..
    } = question
    else {
        return AskedFold::default();
    };
    let name = |field: &str| format!("{ACT}{number}[{field}]");
    let kinds: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
    let kinds = kinds.join(", ");
    let from = first_day.map(write_day).unwrap_or_default();
    let since = if from.is_empty() { "today" } else { &from };
    let is_wrong = |field: &&str| !form.form.wrong_at(&name(field)).is_empty();
    let proposed = "The first of these examinations is proposed; it is you who states it. What was examined before it does not count.";
    AskedFold {
        summary: format!(
            "If you record it: competent since {since}, for {}. Change it here",
            if kinds.is_empty() {
                "every kind"
            } else {
                &kinds
            }
        ),
        open: FIELDS.iter().any(is_wrong),
        fields: vec![
            form.day(&name("from"), "Competent since", &from)
                .hint(proposed),
            form.line(&name("kinds"), "For which kinds of gear", &kinds)
                .hint("With commas between; those that were examined are proposed. Empty is every kind."),
            form.day(&name("until"), "Until", "")
                .hint("That day included; empty is until it is ended."),
            form.line(&name("name"), "The name", listed)
                .hint("As it is to stand under an examination."),
        ],
    }
}

/// Records everybody who was chosen to be, and takes the examinations of the list's names for theirs. Gives what was
/// done in words; nothing where nobody was chosen.
///
/// # Errors
/// Every field that does not hold, under its name in the page; then nobody is recorded.
pub(super) async fn record(
    (app, signed): (&App, &Signed),
    typed: &Typed,
    answers: &mut Answers,
) -> Result<Result<Option<String>, FieldErrors>, Problem> {
    let chosen = typed.numbered("meaning-");
    let chosen: Vec<(&str, &str)> = chosen.filter(|(_, answer)| records(answer)).collect();
    if chosen.is_empty() {
        return Ok(Ok(None));
    }
    let drafts = chosen.iter().map(|(number, answer)| {
        let of = format!("{ACT}{number}");
        let id = typed.text(&format!("{of}[id]")).parse();
        let id = id.unwrap_or_else(|_| QualificationId::new());
        (of, id, draft(typed, number, (answer, &signed.team)))
    });
    let recorded = match qualification::record_all(&app.desk, &signed.actor, drafts.collect()).await
    {
        Ok(recorded) => recorded,
        Err(DeedError::Invalid(wrong)) => return Ok(Err(as_named(wrong))),
        Err(other) => return Err(other.into()),
    };
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    let mut names = Vec::new();
    for ((number, _), one) in chosen.iter().zip(&recorded) {
        let (listed, name) = (
            typed.text(&format!("word-{number}")),
            competence.name_of(one),
        );
        if !listed.is_empty() && listed.to_lowercase() != name.to_lowercase() {
            let words = answers.words.entry(Field::Examiner.key()).or_default();
            words.insert(listed.to_owned(), name.to_owned());
        }
        names.push(format!("{name}, {}", one.days_words()));
    }
    Ok(Ok(Some(format!(
        "Recorded as competent to examine: {}.",
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
