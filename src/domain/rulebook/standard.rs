//! Whether two spellings name the same standard or the same class.

/// National bodies that put their letters before a European standard's.
const NATIONAL: [&str; 9] = ["BS", "DIN", "NF", "UNI", "UNE", "NEN", "SS", "SN", "ONORM"];

/// Whether two texts name the same standard: blanks, case, an edition and a national body's letters
/// aside.
///
/// ```
/// use ropeloft::domain::rulebook::same_standard;
///
/// assert!(same_standard("EN 1891", "BS EN 1891:1998"));
/// assert!(!same_standard("EN 567", "EN 566"));
/// ```
pub fn same_standard(one: &str, other: &str) -> bool {
    plain_standard(one) == plain_standard(other)
}

/// The letters and digits of a standard in one spelling, without its edition.
pub(super) fn plain_standard(text: &str) -> String {
    let without_edition = text.split(':').next().unwrap_or_default();
    let plain: String = without_edition
        .chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_uppercase)
        .collect();
    let bare = NATIONAL.iter().find_map(|body| {
        plain
            .strip_prefix(body)
            .filter(|rest| rest.starts_with("EN"))
    });
    bare.unwrap_or(&plain).to_owned()
}

/// Whether two texts name the same class: the order of words, case and words such as "type" aside.
///
/// A class that is not written down is no class.
///
/// ```
/// use ropeloft::domain::rulebook::same_class;
///
/// assert!(same_class(Some("A"), Some("type A")));
/// assert!(same_class(Some("G"), Some("general use")));
/// assert!(same_class(Some("rope grab G"), Some("G, rope grab")));
/// assert!(!same_class(Some("A"), None));
/// ```
pub fn same_class(one: Option<&str>, other: Option<&str>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => {
            let one = plain_class(one);
            !one.is_empty() && one == plain_class(other)
        }
        _ => false,
    }
}

/// The words of a class in one spelling and order.
pub(super) fn plain_class(text: &str) -> Vec<String> {
    let mut words: Vec<String> = text
        .to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !matches!(*word, "" | "type" | "class" | "grade" | "use"))
        .map(|word| match word {
            "general" => "g".to_owned(),
            "technical" => "t".to_owned(),
            "escape" => "e".to_owned(),
            word => word.to_owned(),
        })
        .collect();
    words.sort();
    words.dedup();
    words
}
