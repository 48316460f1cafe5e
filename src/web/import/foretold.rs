//! What jobs will say of the items of a list, as the page of a rehearsal shows it, with what one answer mends.

use super::{
    asked::meaning,
    given::Given,
    seen::{self, Looker},
};
use crate::{
    domain::RefusalCode,
    import::{
        Fate, Field, Foretold, OfModel, Offer, Question, Reason, Rehearsal, SeenOf, rows_in_words,
        usual_unit,
    },
    view::{
        import::{Asked, ForetoldLine, ForetoldRest, ForetoldSheet},
        part::{Answer, Tone},
        words::count,
    },
};

/// What jobs will say, or ask for beside while something has to be answered first; none where no item is known yet.
pub(super) fn foretold(
    rehearsal: &Rehearsal,
    given: &mut Given<'_>,
    looker: Looker<'_>,
) -> Option<ForetoldSheet> {
    let is_foreseen = rehearsal.foreseen.is_some();
    let told = rehearsal.foreseen.as_ref().or(rehearsal.foretold.as_ref());
    let told = told.filter(|told| told.in_service > 0);
    if told.is_none() && rehearsal.open.is_empty() && given.answers.models.is_empty() {
        return None;
    }
    let none = Foretold::default();
    let told = told.unwrap_or(&none);
    let asking = Asking {
        rehearsal,
        looker,
        told,
    };
    let [first, rest] = by_need(told);
    let open = asking.open_questions(given, true);
    let papers: Vec<_> = told
        .papers
        .iter()
        .map(|one| (one.clone(), Asks::Each))
        .collect();
    let mut lines = asking.lines(&papers, given);
    lines.extend(asking.lines(&first, given));
    let rest = asking.rest(&rest, given);
    Some(ForetoldSheet {
        answer: (!is_foreseen && told.in_service > 0).then(|| answer(told)),
        out: out(told),
        faulty: faulty(rehearsal),
        open,
        source: given.is_asked().then(|| given.source()),
        first: lines,
        rest,
        rulebook: told.rulebook.clone(),
    })
}

fn answer(told: &Foretold) -> Answer {
    if let Some(sentence) = told.sentence() {
        return Answer::new(Tone::Note, sentence).why(
            "Each reason stands below with what mends it. Nothing of it holds the list up: it can be done here, or on the items once they are in.",
        );
    }
    let (sentence, why) = told.clear();
    let tone = if told.at_positions.is_empty() {
        Tone::Fit
    } else {
        Tone::Note
    };
    Answer::new(tone, sentence).why(why)
}

fn out(told: &Foretold) -> String {
    match told.out {
        0 => String::new(),
        out => format!(
            "{} out of service, as the list says: nobody asks more of what is in quarantine, missing or retired.",
            count(out, "item comes in", "items come in")
        ),
    }
}

/// That some of what was said does not hold.
fn faulty(rehearsal: &Rehearsal) -> String {
    match rehearsal.faulty.0.len() {
        0 => String::new(),
        faulty => format!(
            "{} kept as typed and {} to nothing as it stands; each is told at its field. The rest of the list does not wait for it.",
            count(faulty, "answer is", "answers are"),
            if faulty == 1 { "applies" } else { "apply" }
        ),
    }
}

/// How the models of a reason are asked for what they lack.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Asks {
    /// Each for itself.
    Each,
    /// Each for itself, or an assumption for all of them.
    EachOrAll,
    /// By an assumption for all of them.
    All,
}

/// What is asked first, what opens most positions before the others; and the rest.
fn by_need(told: &Foretold) -> [Vec<(Reason, Asks)>; 2] {
    let [mut first, mut rest] = [Vec::new(), Vec::new()];
    for reason in told.reasons.iter().chain(&told.at_positions) {
        if reason.opens() > 0 && assumable(reason).len() > 1 {
            first.push((reason.clone(), Asks::All));
            rest.push((reason.clone(), Asks::Each));
            continue;
        }
        let (needed, other) = reason.by_need();
        first.extend(needed.map(|reason| (reason, Asks::EachOrAll)));
        rest.extend(other.map(|reason| (reason, Asks::EachOrAll)));
    }
    first.sort_by_key(|(reason, _)| std::cmp::Reverse(reason.opens()));
    [first, rest]
}

/// The new models of which an efficiency could be assumed.
fn assumable(reason: &Reason) -> Vec<&str> {
    let efficiency = Some(Field::Attribute("efficiency"));
    let Offer::Models(models) = &reason.offer else {
        return Vec::new();
    };
    let new = models.iter();
    let new = new.filter(|one| one.id.is_none() && one.field == efficiency);
    new.map(|one| one.title.as_str()).collect()
}

/// What the reasons are told from.
#[derive(Clone, Copy)]
struct Asking<'a> {
    rehearsal: &'a Rehearsal,
    looker: Looker<'a>,
    told: &'a Foretold,
}

impl Asking<'_> {
    /// What can be said later; none where nothing is.
    fn rest(self, rest: &[(Reason, Asks)], given: &mut Given<'_>) -> Option<ForetoldRest> {
        let asked = self.open_questions(given, false);
        let lines = self.lines(rest, given);
        let fields = || {
            asked
                .iter()
                .chain(lines.iter().flat_map(|line| &line.asked))
        };
        let (count, open) = (fields().count(), fields().any(|one| one.field.is_wrong()));
        (!asked.is_empty() || !lines.is_empty()).then_some(ForetoldRest {
            fields: count,
            open,
            asked,
            lines,
        })
    }

    /// Whether one of these models opens a position with what a field says.
    fn is_first(self, models: &[&str], field: Field) -> bool {
        let reasons = self.told.reasons.iter().chain(&self.told.at_positions);
        let mut lacking = reasons.flat_map(|reason| match &reason.offer {
            Offer::Models(models) => models.as_slice(),
            _ => &[],
        });
        lacking.any(|one| {
            one.opens > 0 && one.field == Some(field) && models.contains(&one.title.as_str())
        })
    }

    /// What is asked of models and may stay open: of that, what is asked first, or the rest.
    fn open_questions(self, given: &mut Given<'_>, first: bool) -> Vec<Asked> {
        let mut asked = Vec::new();
        let rehearsal = self.rehearsal;
        for (number, question) in rehearsal.open.iter().enumerate() {
            let sentence = question.sentence();
            match question {
                Question::RopeEnd {
                    models, missing, ..
                } => {
                    let titles: Vec<&str> = models.iter().map(String::as_str).collect();
                    if self.is_first(&titles, Field::RopeRange) == first {
                        asked.extend(given.ask((&titles, *missing), &sentence));
                    }
                }
                Question::Life { model, field, .. } if !first => {
                    asked.extend(given.ask((&[model], *field), &sentence));
                }
                Question::LoadOf { model, .. }
                    if self.is_first(&[model], Field::RatedLoad) == first =>
                {
                    let of = (Field::RatedLoad, model.as_str());
                    let number = rehearsal.questions.len() + number;
                    let choices = ("", question.choices());
                    let mut one = meaning(given.fields, number, of, &sentence, choices);
                    one.field = one.field.may();
                    asked.push(one);
                }
                _ => {}
            }
        }
        asked
    }

    /// The reasons, without those of which all that models lack is asked beside them already.
    fn lines(self, reasons: &[(Reason, Asks)], given: &mut Given<'_>) -> Vec<ForetoldLine> {
        let mut lines = Vec::new();
        for one in reasons {
            let line = self.line(one, given);
            let is_of_models = matches!(one.0.offer, Offer::Models(_));
            if !is_of_models || !line.asked.is_empty() || !line.models.is_empty() {
                lines.push(line);
            }
        }
        lines
    }

    fn line(self, (reason, asks): &(Reason, Asks), given: &mut Given<'_>) -> ForetoldLine {
        let asks = *asks;
        let items = count(reason.items(), "item", "items");
        let mut line = ForetoldLine {
            sentence: reason.sentence.to_owned(),
            items: items.clone(),
            open: false,
            rows: match reason.items() {
                all if all == reason.rows.len() => {
                    format!("{items}: {}", rows_in_words(&reason.rows))
                }
                _ => items,
            },
            to_do: reason.to_do.clone(),
            ways: Vec::new(),
            rule: reason.rule.clone(),
            asked: Vec::new(),
            models: Vec::new(),
        };
        match &reason.offer {
            Offer::InFile => {}
            Offer::Seen(of) => {
                line.ways = ways();
                line.asked = match of {
                    SeenOf::MarkingsUnknown => {
                        seen::markings(given, &self.rehearsal.headings, &self.rows(reason))
                    }
                    SeenOf::NeverExamined | SeenOf::Overdue => {
                        seen::examined(given, (*of, reason), self.looker)
                    }
                };
            }
            Offer::Models(models) => {
                // Where one answer does for all, what is known of one of them is asked below, with the rest.
                if asks != Asks::All {
                    for model in models {
                        self.offer(model, given, &mut line);
                    }
                }
                line.asked.extend(assumed(reason, asks, given));
                if reason.code == RefusalCode::NotApproved.key() {
                    line.ways = vec![(OTHER_RULEBOOK.to_owned(), "/team".to_owned())];
                }
            }
        }
        // What is told against a field must not be hidden.
        let is_wrong = line.asked.iter().any(|asked| asked.field.is_wrong());
        line.open = is_wrong
            || match &reason.offer {
                Offer::InFile => false,
                Offer::Seen(of) => *of == SeenOf::MarkingsUnknown,
                Offer::Models(_) => reason.opens() > 0 && asks != Asks::Each,
            };
        line
    }

    /// The rows that a statement is about: while it is not known yet what some rows are, all that are not left out.
    fn rows(self, reason: &Reason) -> Vec<u32> {
        if self.rehearsal.foreseen.is_none() {
            return reason.rows.clone();
        }
        let rows = self.rehearsal.rows.iter();
        let rows = rows.filter(|row| row.fate != Fate::LeftOut);
        let mut rows: Vec<u32> = rows.map(|row| row.row).collect();
        rows.dedup();
        rows
    }

    /// Asks for what a model lacks, or shows where it can be mended.
    fn offer(self, model: &OfModel, given: &mut Given<'_>, line: &mut ForetoldLine) {
        let items = count(model.items, "item", "items");
        let of = format!("{} {} ({items})", model.kind.word(), model.title);
        // Whose rated load or one rope the list gives, is asked for already.
        let mut open = self.rehearsal.open.iter();
        let is_open = open.any(|one| match one {
            Question::LoadOf { model: of, .. } => {
                model.field == Some(Field::RatedLoad) && *of == model.title
            }
            Question::RopeEnd { models, .. } => {
                model.field == Some(Field::RopeRange) && models.contains(&model.title)
            }
            _ => false,
        });
        match (model.id, model.field) {
            (None, Some(_)) if is_open => {}
            (None, Some(field)) => {
                let label = format!("{of}: {}", field.label());
                let mut asked = given.ask((&[&model.title], field), &label);
                let hint = format!("{} {}", model.lack(), how(field));
                let first = asked.remove(0);
                let first = Asked {
                    field: first.field.hint(&hint),
                    ..first
                };
                line.asked.push(first);
                line.asked.extend(asked);
            }
            (id, _) => line.models.push((
                format!("{of}. {}", model.sentence),
                id.map(|id| format!("/models/{id}/edit")),
            )),
        }
    }
}

/// Asks for an efficiency that is assumed of all models of a reason, where it is that what they lack.
fn assumed(reason: &Reason, asks: Asks, given: &mut Given<'_>) -> Option<Asked> {
    let titles = assumable(reason);
    let label = match (asks, titles.len()) {
        (Asks::Each, _) | (_, 0) => return None,
        (_, 1) => "Or assume the efficiency: likely value and range".to_owned(),
        (Asks::All, all) => format!(
            "Assume the efficiency of the {all} models that lack it: likely value and range"
        ),
        (Asks::EachOrAll, all) => {
            format!("Or assume the efficiency of these {all} models: likely value and range")
        }
    };
    let mut asked = given.assume((&titles, Field::Attribute("efficiency")), &label);
    asked.field = asked.field.hint(
        "Such as \"0.85 (0.75-0.9)\". Their records and every verdict say that it is assumed. A rigging training page reports 0.75 to 0.90 for rescue pulleys; others report less.",
    );
    Some(asked)
}

/// Where the list names approvals, but not those that the rulebook asks for, the rulebook may be the wrong one.
const OTHER_RULEBOOK: &str =
    "If the list names other approvals: choose the rulebook that asks for those, for the team";

/// Where items are looked at once they are in.
fn ways() -> Vec<(String, String)> {
    let ways = [("The bench", "/bench"), ("The rounds", "/rounds")];
    ways.map(|(words, href)| (words.to_owned(), href.to_owned()))
        .into()
}

/// How a value is written, where that is not plain from its unit.
fn how(field: Field) -> &'static str {
    match field {
        Field::RatedLoad => {
            "The load that its maker allows it to carry, not the force at which it breaks, with its unit: \"200 kg\" or \"2 kN\". Where its approvals allow different loads, each with its standard: \"150 kg to EN 341 A; 250 kg to EN 12841 C\"."
        }
        Field::Standard => "With its class, where it has one: \"EN 1891 A\".",
        Field::Made => "A year or a month is enough: \"2021\", \"2021-05\" or \"2021-05-17\".",
        Field::RopeRange => {
            "Thinnest and thickest: \"8-13 mm\"; \"up to 13 mm\" where only the thickest is known; one number where it is for that rope alone."
        }
        Field::RopeKinds => "\"low-stretch\", \"dynamic\", or both with a comma between.",
        Field::Attribute("efficiency") => "As a share or in per cent: \"0.92\" or \"92 %\".",
        field if usual_unit(field).is_some() => {
            "A number alone is in this unit; others are written with theirs."
        }
        _ => "",
    }
}
