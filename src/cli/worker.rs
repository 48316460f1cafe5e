//! What a server does by itself while it serves: letters, messages to webhooks, checkpoints of the record, and what outside auditors read.

use std::sync::Mutex;

use time::{Duration, OffsetDateTime};
use tokio::sync::watch;

use super::Outcome;
use crate::{
    config::Config,
    deed::{
        Desk, checkpoint, digest,
        errand::{self, Failed},
        guest, hook,
    },
    domain::{Errand, ErrandKind, SigningSecret},
    outgoing::mail::Mailer,
};

/// How often is looked whether a checkpoint is due, or reads of outside auditors are to be taken up; each once a day.
const SEALS_EVERY: Duration = Duration::MINUTE;

/// Works beside what serves, and ends what was begun once that has ended.
///
/// # Errors
/// A sentence where the settings for letters cannot be used; else what serving ends in.
pub(super) async fn beside(
    (desk, signing): (&Desk, Option<&SigningSecret>),
    config: &Config,
    serving: impl Future<Output = Outcome>,
) -> Outcome {
    let mailer = match (&config.outgoing.smtp_url, &config.outgoing.mail_from) {
        (Some(way), Some(from)) => Some(Mailer::new(way, from)?),
        _ => None,
    };
    let (stop, stopped) = watch::channel(false);
    let serving = async {
        let served = serving.await;
        stop.send_replace(true);
        served
    };
    let sealed = Mutex::new(None);
    let prepare = async || {
        hook::prepare(desk).await?;
        if is_time(&sealed, desk.clock.now()) {
            // First, so that a checkpoint vouches for them too.
            guest::keep_counting(desk).await?;
            if let Some(secret) = signing {
                checkpoint::keep_making(desk, secret).await?;
            }
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
            ErrandKind::Hook => hook::send(desk, one, config.outgoing.hooks).await,
        }
    };
    let working = errand::keep_working(desk, stopped, &prepare, &run);
    let (served, ()) = tokio::join!(serving, working);
    served
}

/// Whether it is time to look for checkpoints again; if it is, it was looked.
fn is_time(last: &Mutex<Option<OffsetDateTime>>, now: OffsetDateTime) -> bool {
    let Ok(mut last) = last.lock() else {
        return true;
    };
    let due = last.is_none_or(|last| (now - last).abs() >= SEALS_EVERY);
    if due {
        *last = Some(now);
    }
    due
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_looked_for_checkpoints_once_a_minute() {
        let (last, start) = (Mutex::new(None), OffsetDateTime::UNIX_EPOCH);
        let seconds = [0, 5, 59, 60, 65, 119, 120];
        let looked = seconds.map(|after| is_time(&last, start + Duration::seconds(after)));
        assert_eq!(looked, [true, false, false, true, false, false, true]);
        assert!(
            is_time(&last, start),
            "a clock that was put back holds nothing up for long"
        );
    }
}
