//! Records, right where a list asks for it, that somebody is competent to examine.

use super::{
    seen::Looker,
    typed::{Fields, Typed},
};
use crate::{
    deed::{DeedError, qualification},
    domain::{FieldErrors, Holder, QualificationDraft, QualificationId, date::write_day, may_be},
    import::{Answers, Field, Question},
    view::{form::Choices, import::AskedFold},
    web::{App, Problem, Signed},
};

/// What a button sends that records somebody, before the number of the question.
const ACT: &str = "competent-";

/// Its fields.
const FIELDS: [&str; 6] = ["person", "name", "kinds", "from", "until", "evidence"];

/// The form for the one whom a question names; none where the looker may not record it.
pub(super) fn fold(
    form: Fields<'_>,
    number: usize,
    question: &Question,
    looker: Looker<'_>,
) -> Option<AskedFold> {
    let competence = looker.competence?;
    let Question::Examiner {
        name: listed_name,
        kinds,
        first_day,
        ..
    } = question
    else {
        return None;
    };
    let of = format!("{ACT}{number}");
    let name = |field: &str| format!("{of}[{field}]");
    let people = competence.people.iter();
    let mut alike = people.clone().filter(|(_, own)| may_be(listed_name, own));
    let person = match (alike.next(), alike.next()) {
        (Some((id, _)), None) => id.to_string(),
        _ => String::new(),
    };
    let mut who: Choices = vec![(
        String::new(),
        "somebody from outside, called as below".to_owned(),
    )];
    who.extend(people.map(|(id, own)| (id.to_string(), own.clone())));
    let kinds: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
    let from = first_day.map(write_day).unwrap_or_default();
    let is_wrong = |field: &&str| !form.form.wrong_at(&name(field)).is_empty();
    let wrong = FIELDS.iter().any(is_wrong);
    Some(AskedFold {
        summary: format!("Record that {listed_name} is competent"),
        open: wrong,
        hidden: vec![
            (name("listed"), listed_name.clone()),
            (name("id"), QualificationId::new().to_string()),
        ],
        fields: vec![
            form.choice(&name("person"), "Who it is", &person, who),
            form.line(&name("name"), "Name of somebody from outside", listed_name)
                .hint("As it stands under an examination."),
            form.line(&name("kinds"), "For which kinds of gear", &kinds.join(", "))
                .hint("With commas between; those that were examined stand here. Empty is every kind."),
            form.day(&name("from"), "First day", &from)
                .hint("The first of these examinations stands here; empty is today. What was examined before it does not count."),
            form.day(&name("until"), "Last day", "")
                .hint("That day included; empty is until it is ended."),
            form.line(&name("evidence"), "Evidence", "")
                .must()
                .hint("Training and its date, paper, years of practice. It is kept in the history, under your name."),
        ],
        act: of,
        button: "Record it, and check again".to_owned(),
    })
}

/// The number of the question whose form was sent, if its button was pressed.
pub(super) fn pressed(typed: &Typed) -> Option<&str> {
    typed.text("do").strip_prefix(ACT)
}

/// Records what was typed, and takes the examinations of the list's name for those of whoever it is.
///
/// # Errors
/// Every field that does not hold, under its name in the page.
pub(super) async fn record(
    (app, signed): (&App, &Signed),
    number: &str,
    typed: &Typed,
    answers: &mut Answers,
) -> Result<Result<String, FieldErrors>, Problem> {
    let of = format!("{ACT}{number}");
    let text = |field: &str| typed.text(&format!("{of}[{field}]")).to_owned();
    let person = text("person");
    let draft = QualificationDraft {
        name: if person.is_empty() {
            text("name")
        } else {
            String::new()
        },
        person,
        body: String::new(),
        kinds: text("kinds"),
        from: text("from"),
        until: text("until"),
        evidence: text("evidence"),
    };
    let id = text("id")
        .parse()
        .unwrap_or_else(|_| QualificationId::new());
    let recorded = match qualification::record(&app.desk, &signed.actor, id, &draft).await {
        Ok(recorded) => recorded,
        Err(DeedError::Invalid(found)) => {
            let mut wrong = FieldErrors::default();
            wrong.nest(&of, found);
            return Ok(Err(wrong));
        }
        Err(other) => return Err(other.into()),
    };
    let name = match &recorded.holder {
        Holder::Outside { name, .. } => name.clone(),
        Holder::Person(_) => {
            let competence = qualification::list(&app.desk, &signed.actor).await?;
            competence.name_of(&recorded).to_owned()
        }
    };
    let listed = text("listed");
    if !listed.is_empty() && listed.to_lowercase() != name.to_lowercase() {
        let words = answers.words.entry(Field::Examiner.key()).or_default();
        words.insert(listed, name.clone());
    }
    Ok(Ok(format!("Recorded: {name} is competent to examine.")))
}
