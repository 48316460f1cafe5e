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

/// Whether two names that are not the same are so much alike that they may be one, spelt otherwise: joined or parted, with a
/// unit or the form of a company behind, or with a slip in a word. Other numbers and other short words make another name.
///
/// ```
/// use ropeloft::domain::much_alike;
///
/// assert!(much_alike("Tarse 12", "Tarse-12 mm") && much_alike("Quillon", "Quilon Ltd"));
/// assert!(!much_alike("Tarse 12", "Tarse 11") && !much_alike("Twin C", "Twin S") && !much_alike("Line", "line"));
/// ```
pub fn much_alike(one: &str, other: &str) -> bool {
    if fold(one) == fold(other) {
        return false;
    }
    let (one, other) = (parts(one), parts(other));
    if one.is_empty() || other.is_empty() {
        return false;
    }
    let is_slip = |(one, other): (&String, &String)| {
        let [one, other] = [one, other].map(|word| word.chars().collect::<Vec<char>>());
        let shorter = one.len().min(other.len());
        let is_number = one.iter().chain(&other).any(char::is_ascii_digit);
        one == other || !is_number && shorter >= 4 && apart(&one, &other) <= shorter.div_ceil(8)
    };
    let numbers = |parts: &[String]| -> Vec<String> {
        let is_number = |part: &&String| part.starts_with(|c: char| c.is_ascii_digit());
        parts.iter().filter(is_number).cloned().collect()
    };
    one.concat() == other.concat() && numbers(&one) == numbers(&other)
        || one.len() == other.len() && one.iter().zip(&other).all(is_slip)
}

/// The words and numbers of a name, without what may as well be left out: units behind numbers, forms of companies, joining
/// words.
fn parts(name: &str) -> Vec<String> {
    const UNITS: [&str; 5] = ["mm", "cm", "m", "kn", "in"];
    const COMPANY: [&str; 22] = [
        "ltd", "limited", "inc", "llc", "plc", "co", "corp", "company", "gmbh", "ag", "kg", "sa",
        "sas", "sarl", "srl", "spa", "bv", "nv", "ab", "as", "oy", "and",
    ];
    let folded = fold(name);
    let mut parts: Vec<String> = Vec::new();
    let mut goes_on = false;
    for sign in folded.chars() {
        let is_number = sign.is_ascii_digit();
        match parts.last_mut() {
            Some(part)
                if goes_on
                    && part.ends_with(|c: char| c.is_ascii_digit()) == is_number
                    && sign.is_alphanumeric() =>
            {
                part.push(sign);
            }
            _ if sign.is_alphanumeric() => parts.push(sign.to_string()),
            _ => {}
        }
        goes_on = sign.is_alphanumeric();
    }
    let mut kept: Vec<String> = Vec::new();
    for part in parts {
        let behind_number = kept
            .last()
            .is_some_and(|last| last.ends_with(|c: char| c.is_ascii_digit()));
        let is_unit = behind_number && UNITS.contains(&part.as_str());
        let is_company = !kept.is_empty() && COMPANY.contains(&part.as_str());
        if !is_unit && !is_company {
            kept.push(part);
        }
    }
    kept
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

#[cfg(test)]
mod tests {
    use super::much_alike;

    #[test]
    fn second_spellings_are_much_alike_and_other_models_are_not() {
        for other in [
            "Tarse-12",
            "Tarse12",
            "Tarse 12.",
            "Tarse 12 mm",
            "TARSE  12MM",
            "Tarsse 12",
            "Tars 12",
        ] {
            assert!(
                much_alike("Tarse 12", other) && much_alike(other, "Tarse 12"),
                "{other}"
            );
        }
        for other in [
            "tarse 12",
            "Tarse 11",
            "Tarse 10",
            "Tarse 12 S",
            "Tarse",
            "Tarse 112",
            "Twin 12",
            "Tarse 1.2",
            "",
        ] {
            assert!(!much_alike("Tarse 12", other), "{other}");
        }
        for other in [
            "Quilon",
            "Quillon Ltd",
            "Quillon GmbH",
            "Quillon & Co.",
            "Quillion",
        ] {
            assert!(much_alike("Quillon", other), "{other}");
        }
        for other in ["Quill", "Quillon Ropes", "Wescol"] {
            assert!(!much_alike("Quillon", other), "{other}");
        }
        assert!(much_alike("Tarn & Fell", "Tarn and Fell"));
        assert!(!much_alike("Marrick II", "Marrick III") && !much_alike("Line A", "Line B"));
    }
}
