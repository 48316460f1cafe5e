//! Names as lists shorten them.

/// Whether a name as it is written may be somebody's: "J. Müller", "Mueller, J." and "JM" may be Jürgen Müller.
///
/// It may be another's too: whose it is, somebody has to say.
///
/// ```
/// use ropeloft::domain::may_be;
///
/// assert!(may_be("J. Müller", "Jürgen Müller"));
/// assert!(!may_be("K. Müller", "Jürgen Müller"));
/// ```
pub fn may_be(written: &str, name: &str) -> bool {
    let (written, name) = (words(written), words(name));
    let Some((last, first)) = name.split_last() else {
        return false;
    };
    if let [one] = written.as_slice() {
        let initials: String = name.iter().filter_map(|word| word.chars().next()).collect();
        return one == last || (initials.len() > 1 && *one == initials);
    }
    let fits = |own: &String, firsts: &[String]| {
        let begins = |short: &String| first.iter().any(|long| long.starts_with(short.as_str()));
        own == last && firsts.iter().all(begins)
    };
    // The last name may stand in front: "Müller J".
    let behind = written.split_last();
    let before = written.split_first();
    [behind, before]
        .into_iter()
        .flatten()
        .any(|(own, firsts)| fits(own, firsts))
}

/// The words of a name in plain letters.
fn words(name: &str) -> Vec<String> {
    let plain: String = name
        .chars()
        .flat_map(char::to_lowercase)
        .map(plain)
        .collect();
    let plain = plain.replace('ß', "ss");
    // One name is written "Müller", "Mueller" and "Muller".
    let plain = ["ae", "oe", "ue"]
        .into_iter()
        .fold(plain, |name, pair| name.replace(pair, &pair[..1]));
    let words = plain.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// A letter without its mark.
fn plain(letter: char) -> char {
    match letter {
        'ä' | 'á' | 'à' | 'â' | 'å' | 'ã' => 'a',
        'é' | 'è' | 'ê' | 'ë' => 'e',
        'í' | 'ì' | 'î' | 'ï' => 'i',
        'ö' | 'ó' | 'ò' | 'ô' | 'ø' | 'õ' => 'o',
        'ü' | 'ú' | 'ù' | 'û' => 'u',
        'ç' | 'č' | 'ć' => 'c',
        'ñ' | 'ń' => 'n',
        'š' | 'ś' => 's',
        'ž' | 'ź' | 'ż' => 'z',
        'ł' => 'l',
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::may_be;

    #[test]
    fn shortened_names_are_known_again() {
        for written in [
            "J. Müller",
            "J Mueller",
            "Müller",
            "Müller, J.",
            "Muller Jürgen",
            "jm",
            "Jürg. Müller",
        ] {
            assert!(may_be(written, "Jürgen Müller"), "{written}");
        }
        for written in [
            "",
            "J.",
            "K. Müller",
            "J. Möller",
            "J. K. Müller",
            "Jürgen",
            "jk",
        ] {
            assert!(!may_be(written, "Jürgen Müller"), "{written}");
        }
    }
}
