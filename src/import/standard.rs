//! Standards as one cell holds them: "EN 12841:2006 type B, EN 567 / UIAA 126".

use super::answer::Answers;
use super::field::Field;
use super::synonym::{each, plain_words};
use crate::domain::rulebook::{same_class, same_standard};
use crate::domain::{ApprovalDraft, standards_in};

/// What stands behind a standard is its class.
pub(super) const CLASS: &str = "class";
/// What stands behind a standard is no part of it.
pub(super) const ALONE: &str = "alone";
/// What stands behind a standard is a part of its name.
pub(super) const WHOLE: &str = "whole";

/// What stands among standards and is none: the mark of conformity, and that something is no protective equipment.
const NO_STANDARD: &str =
    "ce, ce only, ce marked, ce mark, not ppe, no ppe, non ppe, ppe, none, psa, keine psa";

/// Whether a text says that gear is no protective equipment, and so not for holding people.
pub(super) fn is_no_protection(text: &str) -> bool {
    let words = plain_words(text);
    matches!(
        words.as_str(),
        "not ppe" | "no ppe" | "non ppe" | "keine psa"
    )
}

/// What came of a cell of standards.
#[derive(Debug, Default)]
pub(super) struct Read {
    /// The approvals; what is asked stands there with its whole name.
    pub(super) approvals: Vec<ApprovalDraft>,
    /// Those of which nobody knows what stands behind the number.
    pub(super) asked: Vec<String>,
    /// The whole in words.
    pub(super) title: String,
    /// Whether something of the cell is in no approval, as was said.
    pub(super) is_cut: bool,
}

/// The approvals that a cell names; each with what the cell says of edition and class.
pub(super) fn read(text: &str, answers: &Answers) -> Read {
    let mut read = Read::default();
    let mut titles = Vec::new();
    for mut one in standards_in(text) {
        let words = plain_words(&one.written);
        let mut has_none = ["no en ", "no standard "].iter();
        let has_none = has_none.any(|none| format!("{words} ").starts_with(none));
        if has_none || each(NO_STANDARD).any(|word| word == words) {
            read.is_cut = true;
            continue;
        }
        if !one.rest.is_empty() {
            match answers.word(Field::Standard, &one.written) {
                Some(CLASS) => one.class = one.rest,
                Some(ALONE) => read.is_cut = true,
                said => {
                    if said != Some(WHOLE) {
                        read.asked.push(one.written.clone());
                    }
                    (one.edition, one.class) = (String::new(), String::new());
                    one.standard.clone_from(&one.written);
                }
            }
            one.rest = String::new();
        }
        titles.push(one.title());
        read.approvals.push(ApprovalDraft {
            standard: one.standard,
            edition: one.edition,
            class: one.class,
            ..ApprovalDraft::default()
        });
    }
    read.title = titles.join("; ");
    read
}

/// The same under a heading that names the body of all of them: below "EN / class" a "1891 A" is EN 1891 class A.
pub(super) fn read_under(heading: &str, text: &str, answers: &Answers) -> Read {
    const BODIES: [(&str, &str); 2] = [("en", "EN"), ("iso", "ISO")];
    let words = plain_words(heading);
    let named = BODIES
        .into_iter()
        .filter(|(word, _)| words.split(' ').any(|one| one == *word));
    let named: Vec<&str> = named.map(|(_, body)| body).collect();
    match named[..] {
        [body] => read(&with_body(text, body), answers),
        _ => read(text, answers),
    }
}

/// A text with the name of a body before each number of a standard that stands at its beginning or behind a sign.
fn with_body(text: &str, body: &str) -> String {
    let mut whole = String::new();
    let mut begins = true;
    for (at, c) in text.char_indices() {
        let digits = text[at..].chars().take_while(char::is_ascii_digit).count();
        if begins && digits >= 3 {
            whole.push_str(body);
            whole.push(' ');
        }
        begins = matches!(c, '+' | ',' | ';' | '&' | '/' | '\n') || (begins && c.is_whitespace());
        whole.push(c);
    }
    whole
}

/// Whether a text names standards, and nothing of which it is not clear what it is.
pub(super) fn is_clear(text: &str) -> bool {
    let read = read(text, &Answers::default());
    let has_number = |one: &ApprovalDraft| one.standard.contains(|c: char| c.is_ascii_digit());
    !read.approvals.is_empty() && read.asked.is_empty() && read.approvals.iter().all(has_number)
}

/// Whether a reading says nothing but what the cell says, so that nobody needs to be told of it.
pub(super) fn is_plain(text: &str, title: &str) -> bool {
    let plain = |text: &str| {
        let text = text.to_lowercase().replace("type ", "class ");
        text.replace(char::is_whitespace, "").replace(',', ";")
    };
    plain(text) == plain(title)
}

/// Whether two texts name one standard; a bare number is that of any body.
fn is_same(one: &str, other: &str) -> bool {
    let number = |text: &str| {
        let is_number = |c: char| c.is_ascii_digit() || c == '-';
        let from = text.find(|c: char| c.is_ascii_digit())?;
        text[from..]
            .chars()
            .all(is_number)
            .then(|| text[from..].to_owned())
    };
    same_standard(one, other)
        || ((is_bare(one) || is_bare(other))
            && number(one).is_some_and(|ours| number(other) == Some(ours)))
}

/// Whether a standard is named by its number alone, without the body that publishes it.
pub(super) fn is_bare(standard: &str) -> bool {
    standard.starts_with(|c: char| c.is_ascii_digit())
}

/// An approval that two rows name, if one says no other than the other: an edition, a class or the body that one row leaves
/// away is no contradiction. Each keeps its own name; only a bare number takes the body of the other.
fn one_of(one: &ApprovalDraft, other: &ApprovalDraft) -> Option<ApprovalDraft> {
    let either = |one: &String, other: &String, same: bool| match (one.as_str(), other.as_str()) {
        ("", _) => Some(other.clone()),
        (_, "") => Some(one.clone()),
        _ => same.then(|| one.clone()),
    };
    let class = same_class(Some(&one.class), Some(&other.class));
    let edition = one.edition == other.edition;
    is_same(&one.standard, &other.standard).then_some(())?;
    let named = if is_bare(&one.standard) {
        &other.standard
    } else {
        &one.standard
    };
    Some(ApprovalDraft {
        standard: named.clone(),
        edition: either(&one.edition, &other.edition, edition)?,
        class: either(&one.class, &other.class, class)?,
        ..ApprovalDraft::default()
    })
}

/// A field of which the cell of a row's only standard may say what a column of its own says too.
pub(super) fn beside(field: Field, approvals: &[ApprovalDraft]) -> Option<&str> {
    let [one] = approvals else { return None };
    let text = match field {
        Field::Edition => &one.edition,
        Field::Class => &one.class,
        _ => return None,
    };
    (!text.is_empty()).then_some(text)
}

/// The fields of which [`beside`] may tell something.
pub(super) const BESIDE: [Field; 2] = [Field::Edition, Field::Class];

/// What two rows say of the standards of one model, in whatever order, if one says no other than the other. Edition and
/// class of an only standard are held against each other by themselves, with the columns that may say them.
pub(super) fn joined(
    ours: &[ApprovalDraft],
    theirs: &[ApprovalDraft],
) -> Option<Vec<ApprovalDraft>> {
    if let ([one], [other]) = (ours, theirs) {
        let bare = |one: &ApprovalDraft| ApprovalDraft {
            standard: one.standard.clone(),
            ..ApprovalDraft::default()
        };
        let both = one_of(one, other).or_else(|| one_of(&bare(one), &bare(other)));
        return both.map(|both| vec![both]);
    }
    if ours.len() != theirs.len() {
        return None;
    }
    let mut left = theirs.to_vec();
    let mut both = Vec::with_capacity(ours.len());
    for one in ours {
        let at = left.iter().position(|other| one_of(one, other).is_some())?;
        both.push(one_of(one, &left.swap_remove(at))?);
    }
    Some(both)
}

/// Whether all of these approvals are among those.
pub(super) fn are_among(these: &[ApprovalDraft], those: &[ApprovalDraft]) -> bool {
    let is_in = |one: &ApprovalDraft| those.iter().any(|other| one_of(one, other).is_some());
    these.iter().all(is_in)
}

/// Approvals in one line.
pub(super) fn titles(approvals: &[ApprovalDraft]) -> String {
    let titles = approvals.iter().map(|one| {
        let edition = if one.edition.is_empty() { "" } else { ":" };
        let class = if one.class.is_empty() { "" } else { " class " };
        [&one.standard, edition, &one.edition, class, &one.class].concat()
    });
    titles.collect::<Vec<_>>().join("; ")
}

/// Whether two approvals are one, as far as each says it.
pub(super) fn is_one(one: &ApprovalDraft, other: &ApprovalDraft) -> bool {
    one_of(one, other).is_some()
}

/// An approval in words.
pub(super) fn title(approval: &ApprovalDraft) -> String {
    titles(std::slice::from_ref(approval))
}

/// What a standard with something behind it may mean, as the words for programs and for people.
pub(super) fn choices(written: &str) -> Vec<(String, String)> {
    let read = standards_in(written);
    let Some(one) = read.first() else {
        return Vec::new();
    };
    let (title, rest) = (one.title(), &one.rest);
    [
        (CLASS, format!("{title}, class or type {rest}")),
        (ALONE, format!("{title}; \"{rest}\" is kept in the note")),
        (WHOLE, format!("\"{written}\" is the standard's whole name")),
    ]
    .map(|(key, words)| (key.to_owned(), words))
    .into()
}
