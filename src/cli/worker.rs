//! What a server does by itself while it serves: letters, messages to webhooks, checkpoints of the record.

use tokio::sync::watch;

use super::Outcome;
use crate::{
    config::Config,
    deed::{
        Desk, checkpoint, digest,
        errand::{self, Failed},
        hook,
    },
    domain::{Errand, ErrandKind, SigningSecret},
    outgoing::mail::Mailer,
};

/// Works beside what serves, and ends what was begun once that has ended.
///
/// # Errors
/// A sentence where the settings for letters cannot be used; else what serving ends in.
pub(super) async fn beside(
    (desk, signing): (&Desk, Option<&SigningSecret>),
    config: &Config,
    serving: impl Future<Output = Outcome>,
) -> Outcome {
    let mailer = match (&config.smtp_url, &config.mail_from) {
        (Some(way), Some(from)) => Some(Mailer::new(way, from)?),
        _ => None,
    };
    let (stop, stopped) = watch::channel(false);
    let serving = async {
        let served = serving.await;
        stop.send_replace(true);
        served
    };
    let prepare = async || {
        hook::prepare(desk).await?;
        if let Some(secret) = signing {
            checkpoint::keep_making(desk, secret).await?;
        }
        // Letters wait until there is a way for them.
        match mailer {
            Some(_) => digest::prepare(desk).await,
            None => Ok(()),
        }
    };
    let run = async |one: &Errand| -> Result<String, Failed> {
        match one.kind {
            ErrandKind::Mail => {
                let house = config.public_url.as_deref();
                digest::send(desk, one, mailer.as_ref(), house).await
            }
            ErrandKind::Hook => hook::send(desk, one, config.hooks).await,
        }
    };
    let working = errand::keep_working(desk, stopped, &prepare, &run);
    let (served, ()) = tokio::join!(serving, working);
    served
}
