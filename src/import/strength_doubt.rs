//! A breaking strength that such gear hardly ever has: most often its decimal mark was lost, and "225" is 22.5 kN.
//!
//! Common practice, no source: what people hang on by rope breaks below 100 kN; what is said to hold more is asked about.

use super::answer::IN_NOTE;
use super::field::Field;
use super::quantity::shifted;
use super::row::{ReadRow, Reading};
use crate::domain::Kind;
use crate::domain::entered::EnteredForce;
use crate::rigging::StrengthKind;

/// What such gear holds at most as a rule, in kilonewtons.
const MOST: f64 = 100.0;

/// The kinds of gear of which it is asked; frames, plates and anchors may well hold more.
const KINDS: [Kind; 10] = [
    Kind::Rope,
    Kind::Cord,
    Kind::Connector,
    Kind::Sling,
    Kind::Lanyard,
    Kind::Harness,
    Kind::Pulley,
    Kind::RopeClamp,
    Kind::Descender,
    Kind::BackUpDevice,
];

/// The force that a text says, where it is more than such gear holds.
fn beyond(text: &str) -> Option<EnteredForce> {
    let force = EnteredForce::read(text, None).ok()?;
    (force.quantity().kilonewtons() > MOST).then_some(force)
}

/// What is asked of it, inside a list of questions; nothing where a text under strengths says something else.
pub(super) fn sentence(word: &str, what: &str, where_it_stands: &str) -> Option<String> {
    let force = beyond(word)?;
    Some(format!(
        "Is the {what} really {force}? Such gear seldom holds more than {MOST} kN, and a decimal mark that was lost makes it ten times too strong. It stands in {where_it_stands}."
    ))
}

/// What can be said of it: that it is so, that it is a tenth, or that nobody knows.
pub(super) fn choices(word: &str) -> Option<Vec<(String, String)>> {
    let force = beyond(word)?;
    let unit = force.unit().symbol();
    let tenth = format!("{} {unit}", shifted(force.value(), -1));
    let choices = [
        (
            tenth.clone(),
            format!("It is {tenth}: the decimal mark was lost"),
        ),
        (force.to_string(), format!("It is really {force}")),
        (
            IN_NOTE.to_owned(),
            "It is kept in the note; the strength is not known".to_owned(),
        ),
    ];
    Some(choices.into())
}

impl Reading<'_> {
    /// Asks about strengths that such gear hardly ever has, each number once.
    pub(super) fn doubt_strengths(&mut self, read: &mut ReadRow) {
        if !read.kind.is_some_and(|kind| KINDS.contains(&kind)) {
            return;
        }
        let breaking = |field: &Field| matches!(field, Field::Strength(StrengthKind::Breaking, _));
        let doubted = read
            .values
            .iter()
            .filter(|(field, given)| breaking(field) && beyond(&given.text).is_some());
        let doubted: Vec<_> = doubted
            .map(|(field, given)| (*field, given.clone()))
            .collect();
        for (field, mut given) in doubted {
            read.values.remove(&field);
            let said = self.answers.word(field, &given.text).map(str::to_owned);
            if said.as_deref() == Some(IN_NOTE) {
                read.note
                    .push(format!("{}: {}", field.label(), given.shown));
                continue;
            }
            if let Some(force) = said.and_then(|said| EnteredForce::read(&said, None).ok()) {
                given.text = force.to_string();
                read.values.insert(field, given);
            } else {
                read.wait(field);
                self.ask_word(field, &given.text, read);
            }
        }
    }
}
