//! How names and marks are compared: without regard to case, to how many blanks stand between words, and to whether a letter
//! and its accent are written in one sign or two.

use unicode_normalization::UnicodeNormalization;

/// `text` as it is compared and sorted: lower case, one blank between words, none around them.
pub fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !folded.is_empty() {
            folded.push(' ');
        }
        if word.is_ascii() {
            folded.extend(word.chars().map(|sign| sign.to_ascii_lowercase()));
        } else {
            folded.extend(word.nfc().flat_map(char::to_lowercase));
        }
    }
    folded
}

/// The words of `text`: runs of letters and digits, folded.
pub fn words(text: &str) -> Vec<String> {
    fold(text)
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The words by which a mark or serial is found: its own, and all of them in one, so that `RL-0042` is found by `rl`,
/// `0042`, `rl-0042` and `rl0042`.
pub fn finding_words(text: &str) -> Vec<String> {
    let mut found = words(text);
    if found.len() > 1 {
        found.push(found.concat());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_and_blanks_do_not_count() {
        assert_eq!(fold("  Big\tRED  Rope "), "big red rope");
        assert_eq!(fold("ÆGIR"), "ægir");
        assert_eq!(
            fold("Bru\u{308}ckhalm"),
            fold("Brückhalm"),
            "one letter in two signs"
        );
        assert_eq!(fold(""), "");
    }

    #[test]
    fn a_mark_is_found_by_its_parts_and_as_a_whole() {
        assert_eq!(words("RL-0042"), ["rl", "0042"]);
        assert_eq!(finding_words("RL-0042"), ["rl", "0042", "rl0042"]);
        assert_eq!(finding_words("rope"), ["rope"]);
        assert!(words(" -- ").is_empty());
    }
}
