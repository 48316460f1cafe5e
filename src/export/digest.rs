//! A digest as a letter: in plain words, and the same as HTML.

use std::fmt::Write as _;

use crate::domain::{Digest, date::write_day};

/// The subject.
pub fn subject(digest: &Digest) -> String {
    format!("{}: {}", digest.team, digest.answer)
}

/// What stands at its foot: where it is chosen how often it comes.
const FOOT: &str =
    "You chose this letter on the page \"My account, letters\"; there it is changed and ended.";
const CAUTION: &str = "Worked out from what people entered, under the team's rulebook. The register decides, not this letter.";

/// The letter in plain words. `house` is how people reach the server; without it nothing is linked.
pub fn plain(digest: &Digest, house: Option<&str>) -> String {
    let mut text = format!(
        "{}\n\nAs it stands on {}, for {}.\n",
        digest.answer,
        write_day(digest.on),
        digest.name
    );
    for part in &digest.parts {
        let _ = write!(text, "\n{}\n", part.words);
        for (line, path) in &part.lines {
            let _ = writeln!(text, "- {line}");
            if let Some(house) = house {
                let _ = writeln!(text, "  {house}{path}");
            }
        }
        if part.more > 0 {
            let _ = writeln!(text, "- and {} more", part.more);
        }
        if let Some(house) = house {
            let _ = writeln!(text, "All of them: {house}{}", part.list);
        }
    }
    let _ = write!(text, "\n{CAUTION}\n{FOOT}\n");
    if let Some(house) = house {
        let _ = writeln!(text, "{house}/settings/letters");
    }
    text
}

/// The same as HTML.
pub fn html(digest: &Digest, house: Option<&str>) -> String {
    let link = |path: &str, words: &str| match house {
        Some(house) => format!(
            "<a href=\"{}\">{}</a>",
            escaped(&format!("{house}{path}")),
            escaped(words)
        ),
        None => escaped(words),
    };
    let mut text = format!(
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{0}</title></head><body>\n<h1>{0}</h1>\n<p>As it stands on {1}, for {2}.</p>\n",
        escaped(&digest.answer),
        write_day(digest.on),
        escaped(&digest.name)
    );
    for part in &digest.parts {
        let _ = write!(text, "<h2>{}</h2>\n<ul>\n", link(&part.list, &part.words));
        for (line, path) in &part.lines {
            let _ = writeln!(text, "<li>{}</li>", link(path, line));
        }
        if part.more > 0 {
            let _ = writeln!(text, "<li>and {} more</li>", part.more);
        }
        text.push_str("</ul>\n");
    }
    let _ = writeln!(
        text,
        "<p>{CAUTION}</p>\n<p>{}</p>\n</body></html>",
        link("/settings/letters", FOOT)
    );
    text
}

/// Text between tags or in quotes.
/// A text as HTML shows it.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}
