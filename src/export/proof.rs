//! The letter that asks whether an address is whose it is said to be: in plain words, and the same as HTML.

use super::digest::escaped;

/// What the letter says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProofLetter {
    /// The team.
    pub team: String,
    /// Whom it is for.
    pub name: String,
    /// The code.
    pub code: String,
    /// Until when the code holds.
    pub until: String,
    /// How people reach the server, if that is known.
    pub house: Option<String>,
}

/// The page on which the code is written.
const PAGE: &str = "\"My account, letters\"";

impl ProofLetter {
    /// The subject.
    pub fn subject(&self) -> String {
        format!("{}: is this your address?", self.team)
    }

    /// Where the code comes back, if it is known how people reach the server.
    fn link(&self) -> Option<String> {
        let house = self.house.as_ref()?;
        Some(format!(
            "{house}/settings/letters/confirm?code={}",
            self.code
        ))
    }

    fn sentences(&self) -> [String; 4] {
        [
            format!("Hello {},", self.name),
            format!(
                "you wrote this address for letters on the gear of {}. Please confirm that it is yours; until then \
                 nothing else is sent here.",
                self.team
            ),
            format!(
                "It holds until {}, and once. You will be asked to sign in.",
                self.until
            ),
            "If it was not you, do nothing: no further letter comes.".to_owned(),
        ]
    }

    /// The letter in plain words.
    pub fn plain(&self) -> String {
        let [hello, ask, holds, nothing] = self.sentences();
        let how = match self.link() {
            Some(link) => format!("Open this, and press the button there:\n{link}"),
            None => format!("Write this code on the page {PAGE}:\n{}", self.code),
        };
        format!("{hello}\n\n{ask}\n\n{how}\n\n{holds}\n{nothing}\n")
    }

    /// The same as HTML.
    pub fn html(&self) -> String {
        let [hello, ask, holds, nothing] = self.sentences().map(|text| escaped(&text));
        let how = match self.link() {
            Some(link) => {
                let link = escaped(&link);
                format!("Open this, and press the button there:<br><a href=\"{link}\">{link}</a>")
            }
            None => format!(
                "Write this code on the page {}:<br><code>{}</code>",
                escaped(PAGE),
                escaped(&self.code)
            ),
        };
        let title = escaped(&self.subject());
        format!(
            "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{title}</title></head><body>\n\
             <p>{hello}</p>\n<p>{ask}</p>\n<p>{how}</p>\n<p>{holds}<br>{nothing}</p>\n</body></html>\n"
        )
    }
}
