//! Which of some names was meant by one that is none of them.

use super::fold;

/// The name that is nearest to what was written, if any is near enough to be offered: a letter or two apart, or with the
/// one in the other.
///
/// ```
/// use ropeloft::domain::nearest;
///
/// assert_eq!(nearest("Tesorik", ["Fjordwerk", "Tessorik"]), Some("Tessorik"));
/// assert_eq!(nearest("Anvil", ["Fjordwerk", "Tessorik"]), None);
/// ```
pub fn nearest<'a>(written: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = fold(written);
    let letters: Vec<char> = written.chars().collect();
    let most = (letters.len() / 3).clamp(1, 3);
    let near = names.into_iter().filter_map(|name| {
        let folded = fold(name);
        let apart = apart(&letters, &folded.chars().collect::<Vec<char>>());
        let within = letters.len() > 2
            && !folded.is_empty()
            && (folded.contains(&written) || written.contains(&folded));
        (apart <= most || within).then_some((apart, name))
    });
    near.min_by_key(|(apart, _)| *apart).map(|(_, name)| name)
}

/// How many letters have to be put in, taken out or changed to make one word of another.
fn apart(one: &[char], other: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (at, letter) in one.iter().enumerate() {
        let mut before = row[0];
        row[0] = at + 1;
        for (place, against) in other.iter().enumerate() {
            let changed = before + usize::from(letter != against);
            before = row[place + 1];
            row[place + 1] = changed.min(before + 1).min(row[place] + 1);
        }
    }
    row[other.len()]
}
