//! Makers that stand in front of the model's name, in one cell with it: "Tarnbeck Static 11". Never guessed: somebody
//! says that the first word is the maker, or who it is of each name.

use std::collections::BTreeMap;

use super::answer::MakerIs;
use super::assemble::Assembly;
use super::field::Field;
use super::heading::shortened;
use super::row::{Given, ReadRow};
use crate::domain::fold;

/// The first word of a name and what is left behind it; none where the name is one word, or begins with none.
pub(super) fn parted(name: &str) -> Option<(&str, &str)> {
    let (first, rest) = name.trim().split_once(char::is_whitespace)?;
    let rest = rest.trim();
    let is_word = first.chars().any(char::is_alphabetic);
    (is_word && !rest.is_empty()).then_some((first, rest))
}

/// What may be the maker of a model with this name: its first word, where there is more behind it; else nothing. Only
/// shown to a person, who says it.
pub fn guess(name: &str) -> &str {
    parted(name).map_or("", |(first, _)| first)
}

/// The name without the maker in front of it; none where it does not begin so, or nothing would be left.
fn without<'a>(name: &'a str, maker: &str) -> Option<&'a str> {
    let front = name.get(..maker.len())?;
    let rest = &name[maker.len()..];
    let is_front =
        front.to_lowercase() == maker.to_lowercase() && rest.starts_with(char::is_whitespace);
    let rest = rest.trim();
    (is_front && !rest.is_empty()).then_some(rest)
}

/// The one maker of each name of a model, as the rows that name it say it; none where they name several.
pub(super) fn of_names(rows: &[ReadRow]) -> BTreeMap<String, Option<String>> {
    let mut makers: BTreeMap<String, Option<String>> = BTreeMap::new();
    for row in rows.iter().filter(|row| !row.left_out) {
        let (name, maker) = (fold(row.text(Field::Model)), row.text(Field::Maker).trim());
        if name.is_empty() || maker.is_empty() {
            continue;
        }
        let seen = makers.entry(name).or_insert_with(|| Some(maker.to_owned()));
        if seen.as_ref().is_some_and(|seen| fold(seen) != fold(maker)) {
            *seen = None;
        }
    }
    makers
}

impl Assembly<'_> {
    /// Takes as the maker, where the row names none, what somebody said of the model's name.
    pub(super) fn maker_of_name(&mut self, row: &mut ReadRow) {
        if !row.text(Field::Maker).trim().is_empty() || row.is_wrong(Field::Maker) {
            return;
        }
        if self.maker_beside(row) {
            return;
        }
        match self.answers.maker_is {
            Some(MakerIs::FirstWord) => self.first_word(row),
            Some(MakerIs::Each) => self.said_maker(row),
            _ => {}
        }
    }

    /// Takes the maker that all other rows with the model's name have, where they name one and no other.
    fn maker_beside(&mut self, row: &mut ReadRow) -> bool {
        let name = row.text(Field::Model).to_owned();
        let Some(Some(maker)) = self.makers.get(&fold(&name)) else {
            return false;
        };
        let sentence = format!(
            "A row with \"{}\" names no maker; all others of that name have {}, which is taken.",
            shortened(&name),
            shortened(maker)
        );
        self.remarks.add(row.number, sentence);
        put(row, Field::Maker, maker);
        true
    }

    fn said_maker(&mut self, row: &mut ReadRow) {
        let name = row.text(Field::Model).trim().to_owned();
        let answers = self.answers;
        if let Some(maker) = answers.maker_of(&name) {
            let sentence = format!(
                "As you said, the maker of \"{}\" is {}.",
                shortened(&name),
                shortened(maker)
            );
            self.remarks.add(row.number, sentence);
            put(row, Field::Maker, maker);
            self.name_without(row, maker);
        }
    }

    fn first_word(&mut self, row: &mut ReadRow) {
        let name = row.text(Field::Model).to_owned();
        if let Some((maker, rest)) = parted(&name) {
            let sentence = format!(
                "As you said, the first word of the model's name is the maker: \"{}\" is the {} of {}.",
                shortened(&name),
                shortened(rest),
                shortened(maker)
            );
            self.remarks.add(row.number, sentence);
            put(row, Field::Maker, maker);
            put(row, Field::Model, rest);
        }
    }

    /// Where a maker was answered, the name does not say it a second time.
    pub(super) fn name_without(&mut self, row: &mut ReadRow, maker: &str) {
        let name = row.text(Field::Model).to_owned();
        if self.known.model(maker, &name).is_some() {
            return;
        }
        if let Some(rest) = without(&name, maker) {
            let sentence = format!(
                "\"{}\" begins with its maker, {}: the name of the model is \"{}\".",
                shortened(&name),
                shortened(maker),
                shortened(rest)
            );
            self.remarks.add(row.number, sentence);
            put(row, Field::Model, rest);
        }
    }

    /// The names, each once, of the models of rows that name no maker.
    pub(super) fn note_name(&mut self, row: &ReadRow) {
        let name = row.text(Field::Model).trim();
        if !name.is_empty() {
            self.names.insert(name.to_owned());
        }
    }
}

fn put(row: &mut ReadRow, field: Field, text: &str) {
    let text = text.to_owned();
    let shown = text.clone();
    row.values.insert(field, Given { text, shown });
}

#[cfg(test)]
mod tests {
    use super::{parted, without};

    #[test]
    fn a_name_is_parted_behind_its_first_word() {
        assert_eq!(
            parted("Tarnbeck Static 11"),
            Some(("Tarnbeck", "Static 11"))
        );
        for name in ["", "Mono", " Mono ", "11 mm"] {
            assert_eq!(parted(name), None, "{name}");
        }
    }

    #[test]
    fn a_maker_in_front_is_taken_off_once() {
        assert_eq!(without("Fellgate Twin B", "fellgate"), Some("Twin B"));
        for (name, maker) in [
            ("Fellgate", "Fellgate"),
            ("Fellgates Twin", "Fellgate"),
            ("Ä", "a"),
            ("Twin", "Fellgate"),
        ] {
            assert_eq!(without(name, maker), None, "{name}");
        }
    }
}
