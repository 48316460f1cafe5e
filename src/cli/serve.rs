//! Serves until told to stop.

use std::{io::IsTerminal, time::Duration};

use clap::Args;
use tokio::{net::TcpListener, signal};
use tracing_subscriber::EnvFilter;

use super::{Outcome, printed::line, secret, worker};
use crate::{
    config::Config,
    deed::{Desk, house},
    domain::Clock,
    store::{Database, Files, FilesError, StoreError},
    web::{self, App, Patience},
};

/// Serve the pages and the API until told to stop.
#[derive(Args)]
pub(super) struct Serve {
    #[command(flatten)]
    config: Config,
    /// What goes to the log: error, warn, info, debug, or a list by module
    #[arg(long, env = "ROPELOFT_LOG", default_value = "info,sqlx=warn")]
    log: String,
}

impl Serve {
    pub(super) async fn run(self) -> Outcome {
        log_to_stderr(&self.log)?;
        let database = Database::open(&self.config.database).await?;
        database.migrate().await?;
        let listener = TcpListener::bind(self.config.listen).await?;
        let address = self
            .config
            .public_url
            .clone()
            .unwrap_or(format!("http://{}", listener.local_addr()?));
        let desk = Desk {
            database: database.clone(),
            clock: Clock::System,
            files: files(self.config.files.as_deref(), &self.config.database)?,
        };
        line(format_args!("Ropeloft is open at {address}"))?;
        let signing =
            secret::signing(self.config.signing_secret.as_deref(), &self.config.database)?;
        if signing.is_none() {
            tracing::warn!("No checkpoints can be signed: set ROPELOFT_SIGNING_SECRET");
        }
        let given = self.config.setup_code.as_deref();
        if let Some(code) = house::lay_out_code(&desk, given).await? {
            line(format_args!(
                "Nobody is here yet. Open {address}/welcome and type the set-up code {code}"
            ))?;
        }
        tracing::info!(engine = database.engine(), "Serving at {address}");
        let sweeping = tokio::spawn(sweep(desk.clone()));
        let app = App::new(desk.clone(), self.config.clone()).signing(signing.clone());
        let serving = serve(listener, app);
        worker::beside((&desk, signing.as_ref()), &self.config, serving).await?;
        sweeping.abort();
        database.close().await;
        tracing::info!("Closed");
        Ok(())
    }
}

/// Where photos and documents are kept: the place that was named, or a folder beside the database; none where neither
/// can be.
pub(super) fn place_of_files(named: Option<&str>, database: &str) -> Option<String> {
    let named = named.filter(|name| !name.trim().is_empty());
    let place = named.map(str::to_owned);
    let place = place.or_else(|| Files::beside(database))?;
    Some(place.trim().to_owned())
}

/// The storage of photos and documents at their place.
pub(super) fn files(named: Option<&str>, database: &str) -> Result<Files, FilesError> {
    if let Some(address) = place_of_files(named, database) {
        let variables = std::env::vars_os();
        let variables = variables.filter_map(|(name, value)| {
            Some((name.into_string().ok()?, value.into_string().ok()?))
        });
        return Files::open(&address, variables);
    }
    tracing::warn!(
        "No photos or documents can be kept: set ROPELOFT_FILES to a folder or a bucket"
    );
    Ok(Files::unset())
}

/// Once an hour takes away what has ended: sessions, attempts to sign in, answers and drafts of imports
/// that were kept for a week.
async fn sweep(desk: Desk) {
    let mut hourly = tokio::time::interval(Duration::from_hours(1));
    loop {
        hourly.tick().await;
        let now = desk.clock.now();
        let swept = async {
            let mut door = desk.database.write_door().await?;
            let rows = door.sweep(now, now - time::Duration::weeks(1)).await?;
            door.commit().await?;
            Ok::<u64, StoreError>(rows)
        };
        match swept.await {
            Ok(rows) => tracing::debug!(rows, "Swept out what has ended"),
            Err(error) => tracing::warn!(error = %error, "Could not sweep out what has ended"),
        }
    }
}

/// Sends the log to standard error, filtered as `filter` says.
pub(super) fn log_to_stderr(filter: &str) -> Outcome {
    tracing_subscriber::fmt()
        .with_env_filter(EnvFilter::try_new(filter)?)
        .with_writer(std::io::stderr)
        .with_ansi(std::io::stderr().is_terminal())
        .init();
    Ok(())
}

/// Serves on `listener` until a signal comes, then lets the requests in progress end.
pub(super) async fn serve(listener: TcpListener, app: App) -> Outcome {
    let told = async {
        stop().await;
        tracing::info!("Told to stop; letting the requests in progress end");
    };
    if !web::serve(listener, web::router(app), told, Patience::default()).await {
        tracing::warn!("Some requests did not end in time");
    }
    Ok(())
}

/// Waits for Ctrl-C or, where there is one, SIGTERM.
async fn stop() {
    let interrupt = async {
        // Without a way to hear the signal, the server runs until it is ended from outside.
        if signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let terminate = async {
        match signal::unix::signal(signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminate = std::future::pending::<()>();
    tokio::select! {
        () = interrupt => {}
        () = terminate => {}
    }
}
