//! Letters by e-mail: over SMTP, or into a folder where somebody looks at them.

use std::{fs, path::Path};

use lettre::{
    Address, AsyncFileTransport, AsyncSmtpTransport, AsyncTransport, Message, Tokio1Executor,
    message::{
        Mailbox, MultiPart,
        header::{HeaderName, HeaderValue},
    },
};

/// A letter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Letter {
    /// What keeps it apart from others: a letter that is sent again keeps it.
    pub id: String,
    /// The address that it goes to.
    pub to: String,
    /// The name of whoever gets it.
    pub name: String,
    /// The subject.
    pub subject: String,
    /// What it says, in plain words.
    pub plain: String,
    /// The same as HTML.
    pub html: String,
    /// The page on which it is ended.
    pub end_at: Option<String>,
}

/// Why a letter did not go out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unsent {
    /// What went wrong, in a sentence.
    pub why: String,
    /// Whether trying again makes no sense: the other side refused it for good.
    pub for_good: bool,
}

enum Way {
    Smtp(AsyncSmtpTransport<Tokio1Executor>),
    Folder(AsyncFileTransport<Tokio1Executor>),
}

/// Sends letters.
pub struct Mailer {
    way: Way,
    from: Mailbox,
}

/// Whether letters can be sent to an address.
pub fn is_address(text: &str) -> bool {
    text.trim().parse::<Address>().is_ok()
}

impl Mailer {
    /// Sends by `way`: `smtp://…` or `smtps://…` with name and password in it, or `file:FOLDER`, which is made if it is
    /// not there. `from` is the sender: an address, with a name before it or not.
    ///
    /// # Errors
    /// A sentence that says which of the two cannot be used, without what is secret in it.
    pub fn new(way: &str, from: &str) -> Result<Self, String> {
        let from: Mailbox = from.parse().map_err(|why| {
            format!("The sender of letters must be an address such as gear@example.org, not \"{from}\": {why}.")
        })?;
        let way = if let Some(folder) = way.strip_prefix("file:") {
            let path = Path::new(folder);
            fs::create_dir_all(path)
                .map_err(|why| format!("The folder {folder} cannot hold letters: {why}."))?;
            Way::Folder(AsyncFileTransport::new(path))
        } else {
            let smtp = AsyncSmtpTransport::<Tokio1Executor>::from_url(way);
            let smtp = smtp
                .map_err(|why| format!("The address of the mail server cannot be used: {why}."))?;
            Way::Smtp(smtp.build())
        };
        Ok(Self { way, from })
    }

    /// Sends a letter.
    ///
    /// # Errors
    /// [`Unsent`].
    pub async fn send(&self, letter: &Letter) -> Result<(), Unsent> {
        let for_good = |why: &dyn std::fmt::Display| Unsent {
            why: format!("The letter cannot be written: {why}."),
            for_good: true,
        };
        let address: Address = letter.to.parse().map_err(|why| for_good(&why))?;
        let mut message = Message::builder()
            .from(self.from.clone())
            .to(Mailbox::new(Some(letter.name.clone()), address))
            .subject(letter.subject.as_str())
            .message_id(Some(format!("<{}@ropeloft>", letter.id)));
        if let Some(end_at) = &letter.end_at {
            let name = HeaderName::new_from_ascii_str("List-Unsubscribe");
            message = message.raw_header(HeaderValue::new(name, format!("<{end_at}>")));
        }
        let parts = MultiPart::alternative_plain_html(letter.plain.clone(), letter.html.clone());
        let message = message.multipart(parts).map_err(|why| for_good(&why))?;
        match &self.way {
            Way::Folder(folder) => match folder.send(message).await {
                Ok(_) => Ok(()),
                Err(why) => Err(Unsent {
                    why: format!("The folder did not take the letter: {why}."),
                    for_good: false,
                }),
            },
            Way::Smtp(smtp) => match smtp.send(message).await {
                Ok(_) => Ok(()),
                Err(why) => Err(Unsent {
                    for_good: why.is_permanent(),
                    why: format!("The mail server did not take the letter: {why}."),
                }),
            },
        }
    }
}
