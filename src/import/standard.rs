//! Standards as one cell holds them: "EN 12841:2006 type B, EN 567".

use crate::domain::ApprovalDraft;

/// The approvals that a cell names; each with what the cell says of edition and class.
pub(super) fn approvals(text: &str) -> Vec<ApprovalDraft> {
    text.split([',', ';', '\n', '+', '&'])
        .map(str::trim)
        .filter(|one| !one.is_empty())
        .map(one)
        .collect()
}

fn one(text: &str) -> ApprovalDraft {
    let mut words: Vec<&str> = text.split_whitespace().collect();
    let mut class = String::new();
    if let [.., word, letter] = words.as_slice()
        && ["type", "class", "grade"].contains(&word.to_lowercase().as_str())
    {
        (*letter).clone_into(&mut class);
        words.truncate(words.len() - 2);
    }
    let mut standard = words.join(" ");
    if class.is_empty()
        && let Some((front, behind)) = standard.clone().rsplit_once('/')
        && is_class(behind)
        && front.ends_with(|c: char| c.is_ascii_digit())
    {
        behind.trim().clone_into(&mut class);
        front.trim().clone_into(&mut standard);
    }
    let mut edition = String::new();
    if let Some((front, behind)) = standard.clone().split_once(':') {
        let behind = behind.trim();
        let (year, rest) = behind.split_at_checked(4).unwrap_or((behind, ""));
        let is_year = year.len() == 4 && year.bytes().all(|byte| byte.is_ascii_digit());
        if is_year && (rest.trim().is_empty() || is_class(rest.trim_start_matches(['/', ' ', '-'])))
        {
            year.clone_into(&mut edition);
            front.trim().clone_into(&mut standard);
            if class.is_empty() {
                rest.trim_start_matches(['/', ' ', '-'])
                    .clone_into(&mut class);
            }
        }
    }
    ApprovalDraft {
        standard,
        edition,
        class,
        ..ApprovalDraft::default()
    }
}

/// A letter, or a digit and a letter, as classes and types are written.
fn is_class(text: &str) -> bool {
    let text = text.trim();
    (1..=2).contains(&text.len())
        && text.bytes().all(|byte| byte.is_ascii_alphanumeric())
        && text.bytes().any(|byte| byte.is_ascii_alphabetic())
}

#[cfg(test)]
mod tests {
    use super::approvals;

    #[test]
    fn several_standards_with_edition_and_class_are_told_apart() {
        let read = approvals("EN 12841:2006 type B, EN 567; EN 795:2012/B + EN 341/2A");
        let told: Vec<_> = read
            .iter()
            .map(|a| (a.standard.as_str(), a.edition.as_str(), a.class.as_str()))
            .collect();
        assert_eq!(
            told,
            [
                ("EN 12841", "2006", "B"),
                ("EN 567", "", ""),
                ("EN 795", "2012", "B"),
                ("EN 341", "", "2A")
            ]
        );
    }
}
