//! What somebody came with, in words that tell one's own machines apart.

use axum::{
    extract::FromRequestParts,
    http::{header, request::Parts},
};

use super::App;

/// The browser that a request came from, in plain words: "Firefox on Windows". Empty if it does not say.
pub(super) struct Browser(pub String);

impl FromRequestParts<App> for Browser {
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &App) -> Result<Self, Self::Rejection> {
        let agent = parts.headers.get(header::USER_AGENT);
        let agent = agent.and_then(|agent| agent.to_str().ok());
        Ok(Self(agent.map(words).unwrap_or_default()))
    }
}

/// What browsers call themselves, and what people call them. Most name others too, so the order decides: the more
/// particular stands first.
const NAMES: [(&str, &str); 9] = [
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser/", "Samsung Internet"),
    ("FxiOS/", "Firefox"),
    ("Firefox/", "Firefox"),
    ("CriOS/", "Chrome"),
    ("Chromium/", "Chromium"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
];

/// The same for what it runs on. A phone names the desk that its system comes from.
const MACHINES: [(&str, &str); 7] = [
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Macintosh", "Mac"),
    ("CrOS", "ChromeOS"),
    ("Linux", "Linux"),
];

/// How long the name of a program may be that is none of the browsers.
const LONGEST: usize = 30;

/// A browser's account of itself in plain words.
fn words(agent: &str) -> String {
    let find = |list: &[(&str, &'static str)]| {
        let found = list.iter().find(|(sign, _)| agent.contains(sign));
        found.map(|(_, word)| *word)
    };
    let name = find(&NAMES).map_or_else(|| own_name(agent), str::to_owned);
    match (name.as_str(), find(&MACHINES)) {
        ("", None) => String::new(),
        ("", Some(machine)) => format!("a browser on {machine}"),
        (_, Some(machine)) => format!("{name} on {machine}"),
        (_, None) => name,
    }
}

/// What a program calls itself, without its version.
fn own_name(agent: &str) -> String {
    let name = agent.split(['/', ' ', '(']).next().unwrap_or_default();
    let plain = name.chars().filter(|c| c.is_ascii_graphic());
    match plain.take(LONGEST).collect::<String>() {
        // All browsers call themselves that, for reasons of thirty years ago.
        name if name == "Mozilla" => String::new(),
        name => name,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// In the shapes that browsers send, as MDN describes them on the page of the header `User-Agent`.
    #[test]
    fn a_browser_is_told_in_plain_words() {
        for (agent, plain) in [
            (
                "Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:140.0) Gecko/20100101 Firefox/140.0",
                "Firefox on Windows",
            ),
            (
                "Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Safari/537.36",
                "Chrome on Linux",
            ),
            (
                "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 \
                 Safari/537.36 Edg/140.0.0.0",
                "Edge on Windows",
            ),
            (
                "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) \
                 Version/18.5 Mobile/15E148 Safari/604.1",
                "Safari on iPhone",
            ),
            (
                "Mozilla/5.0 (Linux; Android 16; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile \
                 Safari/537.36",
                "Chrome on Android",
            ),
            (
                "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) \
                 Version/18.5 Safari/605.1.15",
                "Safari on Mac",
            ),
            ("curl/8.14.1", "curl"),
            ("Mozilla/5.0 (X11; Linux x86_64)", "a browser on Linux"),
            ("Mozilla/5.0", ""),
            ("", ""),
        ] {
            assert_eq!(words(agent), plain, "{agent}");
        }
    }

    #[test]
    fn what_calls_itself_by_a_long_name_is_cut_short() {
        assert_eq!(words(&"x".repeat(5000)), "x".repeat(LONGEST));
        assert_eq!(words("\u{7f}b<i>t/1"), "b<i>t");
    }
}
