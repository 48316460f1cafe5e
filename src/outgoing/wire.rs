//! Sends a message over HTTP/1.1 and reads no more of the answer than a person needs to see what went wrong.
//!
//! The name is looked up once, every address that it gives is judged, and the connection goes to one of just these: a
//! name that points elsewhere a moment later leads nowhere. No redirect is followed. Built on hyper, which serves the
//! pages too, since a ready client looks names up by itself and follows what it is told.

use std::{net::SocketAddr, sync::Arc, time::Duration};

use bytes::Bytes;
use http_body_util::{BodyExt, Full};
use hyper::{Request, header};
use hyper_util::rt::TokioIo;
use rustls::{ClientConfig, RootCertStore, pki_types::ServerName};
use tokio::{
    io::{AsyncRead, AsyncWrite},
    net::{TcpStream, lookup_host},
    time::timeout,
};
use tokio_rustls::TlsConnector;

use super::Target;
use crate::domain::HookReach;

/// How long the whole may take.
const PATIENCE: Duration = Duration::from_secs(20);
/// How long one connection may take to come about.
const CONNECTING: Duration = Duration::from_secs(5);
/// How much of an answer is read, in bytes.
const READ: usize = 1024;

/// What came back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answered {
    /// The status.
    pub status: u16,
    /// The beginning of the body.
    pub beginning: String,
}

/// Nothing came back; a sentence says why.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Unreached(pub String);

impl Unreached {
    fn new(words: &str, why: impl ToString) -> Self {
        let why = why.to_string();
        Self(format!("{words}: {why}."))
    }
}

/// Posts a body with these headers beside the usual ones.
///
/// # Errors
/// [`Unreached`] where no answer came, or the address may not be reached.
pub async fn post(
    target: &Target,
    reach: HookReach,
    headers: &[(&'static str, String)],
    body: String,
) -> Result<Answered, Unreached> {
    let sent = timeout(PATIENCE, send(target, reach, headers, body)).await;
    sent.unwrap_or_else(|_| Err(Unreached("No answer came within 20 seconds.".to_owned())))
}

async fn send(
    target: &Target,
    reach: HookReach,
    headers: &[(&'static str, String)],
    body: String,
) -> Result<Answered, Unreached> {
    let stream = connect(target, reach).await?;
    if !target.is_secure {
        return speak(TokioIo::new(stream), target, headers, body).await;
    }
    let name = ServerName::try_from(target.host.clone())
        .map_err(|why| Unreached::new("The address names no machine", why))?;
    let connector = TlsConnector::from(Arc::new(secure()?));
    let stream = connector.connect(name, stream).await;
    let stream = stream.map_err(|why| Unreached::new("No secure connection came about", why))?;
    speak(TokioIo::new(stream), target, headers, body).await
}

/// Connects to one of the addresses of the target, each of which must be one that may be reached.
async fn connect(target: &Target, reach: HookReach) -> Result<TcpStream, Unreached> {
    let found = lookup_host((target.host.as_str(), target.port)).await;
    let found = found.map_err(|why| Unreached::new("The name was not found", why))?;
    let addresses: Vec<SocketAddr> = found.collect();
    for address in &addresses {
        target.may_reach(address.ip(), reach).map_err(Unreached)?;
    }
    let mut failed = Unreached("The name has no address.".to_owned());
    for address in addresses {
        match timeout(CONNECTING, TcpStream::connect(address)).await {
            Ok(Ok(stream)) => return Ok(stream),
            Ok(Err(why)) => failed = Unreached::new("No connection came about", why),
            Err(_) => failed = Unreached("No connection came about in time.".to_owned()),
        }
    }
    Err(failed)
}

/// TLS with the roots that browsers trust, by the same ring that the database is spoken to with.
fn secure() -> Result<ClientConfig, Unreached> {
    let roots = RootCertStore {
        roots: webpki_roots::TLS_SERVER_ROOTS.to_vec(),
    };
    let provider = Arc::new(rustls::crypto::ring::default_provider());
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(|why| Unreached::new("TLS cannot be spoken", why))?;
    Ok(config.with_root_certificates(roots).with_no_client_auth())
}

async fn speak<T: AsyncRead + AsyncWrite + Unpin + Send + 'static>(
    stream: TokioIo<T>,
    target: &Target,
    headers: &[(&'static str, String)],
    body: String,
) -> Result<Answered, Unreached> {
    let broke = |why: hyper::Error| Unreached::new("The connection broke", why);
    let (mut sender, connection) = hyper::client::conn::http1::handshake(stream)
        .await
        .map_err(broke)?;
    let connection = tokio::spawn(connection);
    let mut request = Request::post(target.path.as_str())
        .header(header::HOST, target.authority.as_str())
        .header(header::CONTENT_TYPE, "application/json")
        .header(header::USER_AGENT, "Ropeloft");
    for (name, value) in headers {
        request = request.header(*name, value.as_str());
    }
    let request = request.body(Full::new(Bytes::from(body)));
    let request = request.map_err(|why| Unreached::new("The message cannot be written", why))?;
    let answer = sender.send_request(request).await.map_err(broke);
    let answered = match answer {
        Ok(answer) => {
            let status = answer.status().as_u16();
            Ok(Answered {
                status,
                beginning: beginning(answer.into_body()).await,
            })
        }
        Err(why) => Err(why),
    };
    connection.abort();
    answered
}

/// The beginning of a body, as text. The rest is never read.
async fn beginning(mut body: hyper::body::Incoming) -> String {
    let mut read = Vec::new();
    while read.len() < READ
        && let Some(Ok(frame)) = body.frame().await
    {
        if let Some(bytes) = frame.data_ref() {
            let room = READ - read.len();
            read.extend_from_slice(&bytes[..bytes.len().min(room)]);
        }
    }
    String::from_utf8_lossy(&read).into_owned()
}
