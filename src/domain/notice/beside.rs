//! What a notice names beside what items have on record.

use super::{Notice, perhaps};
use crate::domain::{Model, NumberSpan, fold, much_alike};

/// A lot or serial that a notice names, as it was written.
struct Named {
    text: String,
    /// Whether it reads as one, or as a range of them.
    is_plain: bool,
    /// What it may mean.
    spans: Vec<NumberSpan>,
}

impl Named {
    fn alone(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            is_plain: is_plain(text),
            spans: NumberSpan::perhaps(text),
        }
    }

    fn span(span: &NumberSpan) -> Self {
        if span.from == span.to {
            let mut alone = Self::alone(&span.from);
            alone.spans.push(span.clone());
            return alone;
        }
        Self {
            text: span.to_string(),
            is_plain: true,
            spans: vec![span.clone()],
        }
    }

    fn is(&self, number: &str) -> bool {
        let mut spans = self.spans.iter();
        fold(&self.text) == fold(number) || spans.any(|span| span.covers(number))
    }
}

impl Notice {
    /// Whether it is about the items of a model, as far as maker and name tell.
    pub fn names(&self, model: &Model) -> bool {
        fold(&self.maker) == fold(&model.maker) && self.covers_model(&model.name)
    }

    /// Whether it leaves a model out whose maker or name is spelt much like what it names: it may be the same under another
    /// spelling.
    pub fn nearly_names(&self, model: &Model) -> bool {
        let is_maker = fold(&self.maker) == fold(&model.maker);
        let mut models = self.models();
        let is_alike = models.any(|name| much_alike(name, &model.name));
        !self.names(model)
            && (is_maker || much_alike(&self.maker, &model.maker))
            && (is_alike || self.covers_model(&model.name))
    }

    /// The maker, and the models that it names: "Brindelok, Marrick Twin C".
    pub fn of_words(&self) -> String {
        let maker = std::iter::once(self.maker.as_str());
        maker.chain(self.models()).collect::<Vec<_>>().join(", ")
    }

    /// What it names as lots and these, which items have on record, are not, as `beside` tells; whether it holds an item
    /// that has none noted.
    pub fn lots_beside(&self, lots: &[&str], holds_unnoted: bool) -> Vec<String> {
        let alone = self.lots.iter();
        let of_alone: Vec<NumberSpan> = perhaps(alone.clone().map(String::as_str)).collect();
        let spans = self.lot_spans.iter();
        let spans = spans.filter(|span| !of_alone.contains(span));
        let named = alone.map(|lot| Named::alone(lot));
        let named = named.chain(spans.map(Named::span)).collect();
        beside(named, lots, holds_unnoted)
    }

    /// The same of serials.
    pub fn serials_beside(&self, serials: &[&str], holds_unnoted: bool) -> Vec<String> {
        let named = self.serials.iter().map(Named::span).collect();
        beside(named, serials, holds_unnoted)
    }
}

/// What none of these is. A notice names many that others have: what reads as a lot or serial is told only where none of them
/// is there, and what does not read so, such as "newer than A7" or "others", in any case.
///
/// Where no item has any noted, the notice holds those that it is about whatever it names: nothing shows that it names
/// another than it means.
fn beside(mut named: Vec<Named>, there: &[&str], holds_unnoted: bool) -> Vec<String> {
    let is_there = |one: &Named| there.iter().any(|number| one.is(number));
    let meets = named.iter().any(is_there) || there.is_empty() && holds_unnoted;
    named.retain(|one| !(is_there(one) || meets && one.is_plain));
    named.into_iter().map(|one| one.text).collect()
}

/// Whether a text reads as a lot or serial: one word of letters, digits, dashes, dots and strokes, with a digit in it. One
/// without may be a word such as "others".
fn is_plain(text: &str) -> bool {
    let is_open = text.starts_with('-') || text.ends_with('-');
    let is_word = |c: char| c.is_alphanumeric() || "-./".contains(c);
    !is_open && text.chars().all(is_word) && text.contains(char::is_numeric)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(named: &[&str], there: &[&str]) -> Vec<String> {
        beside(
            named.iter().map(|one| Named::alone(one)).collect(),
            there,
            false,
        )
    }

    #[test]
    fn what_names_nothing_that_is_there_is_told() {
        for text in [
            "newer than B1",
            "less than B9",
            "min B1",
            "not B7",
            "B1 et suivants",
            "hasta B9",
            "unknown",
            "B?",
            "B1:B9",
            "B1→B9",
            "B1 ~ B9",
            "B1-",
            "-B9",
            "B1/B9",
            "Charge B5",
            "B7",
        ] {
            assert_eq!(told(&[text], &["B5"]), [text]);
        }
        for text in ["B5", "b5", "Lot B5", "B1-B9", "B5/B6", "B5 B6"] {
            assert!(told(&[text], &["B5"]).is_empty(), "{text}");
        }
    }

    #[test]
    fn plain_ones_beside_one_that_is_there_are_others() {
        assert!(told(&["B4", "B5"], &["B5"]).is_empty());
        assert_eq!(told(&["B4", "B5", "B6 ff."], &["B5"]), ["B6 ff."]);
        assert_eq!(told(&["B4", "B6"], &["B5"]), ["B4", "B6"]);
        assert_eq!(told(&["B4"], &[]), ["B4"]);
        assert!(told(&[], &["B5"]).is_empty());
    }

    #[test]
    fn a_word_without_a_digit_is_told_beside_one_that_is_there() {
        for word in ["newer", "others", "usw.", "etc.", "ältere", "rest"] {
            assert_eq!(told(&["B5", word], &["B5"]), [word]);
        }
        assert!(told(&["B5", "blue"], &["B5", "Blue"]).is_empty());
    }

    #[test]
    fn where_no_item_has_one_noted_what_is_held_whatever_it_names_is_not_asked_about() {
        let told = |named: &[&str], there: &[&str]| {
            beside(
                named.iter().map(|one| Named::alone(one)).collect(),
                there,
                true,
            )
        };
        assert!(told(&["B5", "B6"], &[]).is_empty());
        assert_eq!(told(&["B5", "newer"], &[]), ["newer"]);
        assert_eq!(told(&["B5"], &["B4"]), ["B5"]);
    }
}
