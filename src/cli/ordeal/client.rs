//! Asks a server over HTTP/1.1, as a program does: one connection, one request after the other.

use std::{net::SocketAddr, time::Duration};

use bytes::Bytes;
use http_body_util::{BodyExt, Full};
use hyper::{
    HeaderMap, Method, Request, StatusCode,
    client::conn::http1::{SendRequest, handshake},
    header,
};
use hyper_util::rt::TokioIo;
use serde_json::Value;
use tokio::{net::TcpStream, time::timeout};

use super::Failure;

/// How long an answer may take: longer than the server lets any of these requests take.
const PATIENCE: Duration = Duration::from_mins(1);

/// What came back.
#[derive(Clone, Debug)]
pub(super) struct Answer {
    pub(super) status: StatusCode,
    pub(super) headers: HeaderMap,
    pub(super) text: String,
}

impl Answer {
    /// The body as JSON; null where it is none.
    pub(super) fn json(&self) -> Value {
        serde_json::from_str(&self.text).unwrap_or_default()
    }

    /// Status and body, for whoever reads what went wrong.
    pub(super) fn told(&self) -> String {
        format!("{} {}", self.status, self.text.trim())
    }
}

/// A connection to a server, made when it is needed.
pub(super) struct Client {
    address: SocketAddr,
    token: String,
    sender: Option<SendRequest<Full<Bytes>>>,
}

impl Client {
    pub(super) fn new(address: SocketAddr, token: &str) -> Self {
        Self {
            address,
            token: token.to_owned(),
            sender: None,
        }
    }

    /// Reads.
    ///
    /// # Errors
    /// If no answer comes.
    pub(super) async fn get(&mut self, path: &str) -> Result<Answer, Failure> {
        self.send(Method::GET, path, None).await
    }

    /// Sends JSON.
    ///
    /// # Errors
    /// If no answer comes: whether it was done is not known.
    pub(super) async fn post(&mut self, path: &str, body: &Value) -> Result<Answer, Failure> {
        self.send(Method::POST, path, Some(body)).await
    }

    /// Reads what must be there.
    ///
    /// # Errors
    /// If it is not.
    pub(super) async fn read(&mut self, path: &str) -> Result<Answer, Failure> {
        let answer = self.get(path).await?;
        if answer.status != StatusCode::OK {
            return Err(format!("GET {path} is answered {}", answer.told()).into());
        }
        Ok(answer)
    }

    /// Sends what must be done.
    ///
    /// # Errors
    /// If it is not.
    pub(super) async fn make(&mut self, path: &str, body: &Value) -> Result<Value, Failure> {
        let answer = self.post(path, body).await?;
        if !answer.status.is_success() {
            return Err(format!("POST {path} is answered {}", answer.told()).into());
        }
        Ok(answer.json())
    }

    async fn send(
        &mut self,
        method: Method,
        path: &str,
        body: Option<&Value>,
    ) -> Result<Answer, Failure> {
        let answer = timeout(PATIENCE, self.ask(method, path, body)).await;
        let answer = answer.unwrap_or_else(|_| Err("no answer came in time".into()));
        if answer.is_err() {
            self.sender = None;
        }
        answer
    }

    async fn ask(
        &mut self,
        method: Method,
        path: &str,
        body: Option<&Value>,
    ) -> Result<Answer, Failure> {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, self.address.to_string())
            .header(header::AUTHORIZATION, format!("Bearer {}", self.token))
            .header(header::CONTENT_TYPE, "application/json")
            .body(Full::from(body.map_or_else(Bytes::new, |body| {
                Bytes::from(body.to_string())
            })))?;
        let answer = self.connected().await?.send_request(request).await?;
        let (parts, body) = answer.into_parts();
        let body = body.collect().await?.to_bytes();
        Ok(Answer {
            status: parts.status,
            headers: parts.headers,
            text: String::from_utf8_lossy(&body).into_owned(),
        })
    }

    async fn connected(&mut self) -> Result<&mut SendRequest<Full<Bytes>>, Failure> {
        let mut there = self.sender.take();
        if let Some(sender) = &mut there
            && sender.ready().await.is_err()
        {
            there = None;
        }
        if let Some(sender) = there {
            return Ok(self.sender.insert(sender));
        }
        let stream = TcpStream::connect(self.address).await?;
        let (sender, connection) = handshake(TokioIo::new(stream)).await?;
        // It ends with the sender, or with the server.
        tokio::spawn(connection);
        Ok(self.sender.insert(sender))
    }
}
