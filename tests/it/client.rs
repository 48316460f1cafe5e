//! Somebody in front of the house: asks the router as a browser or a program would, without a socket.

use axum::{
    Router,
    body::Body,
    http::{HeaderMap, Method, Request, StatusCode, header},
};
use http_body_util::BodyExt;
use ropeloft::{
    config::Config,
    deed::{
        checkpoint,
        session::{hash_of, new_secret},
    },
    domain::{Actor, SigningSecret},
    web::{self, App},
};
use time::Duration;
use tower::ServiceExt;

use crate::world::World;

/// Speaks to one router, with or without a session.
#[derive(Clone)]
pub struct Client {
    router: Router,
    pub cookie: Option<String>,
    pub token: Option<String>,
}

/// What came back.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
    pub bytes: Vec<u8>,
}

impl Answer {
    /// A header as text; empty if there is none.
    pub fn header(&self, name: impl header::AsHeaderName) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }

    /// The body read as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.text).unwrap()
    }

    /// Where it sends the browser.
    pub fn location(&self) -> &str {
        self.header(header::LOCATION)
    }
}

/// What signs in tests.
pub fn signing_secret() -> SigningSecret {
    SigningSecret::new([7; 32])
}

impl World {
    /// Takes the first key that signs the team's record.
    pub async fn take_key(&self) {
        let (desk, secret) = (self.desk(), signing_secret());
        let taken = checkpoint::begin(&desk, &self.admin, Some(&secret));
        taken.await.unwrap();
    }

    /// Somebody who has not signed in.
    pub fn stranger(&self) -> Client {
        self.stranger_with(Config::default())
    }

    /// The same before a server with these settings.
    pub fn stranger_with(&self, config: Config) -> Client {
        Client {
            router: web::router(App::new(self.desk(), config).signing(Some(signing_secret()))),
            cookie: None,
            token: None,
        }
    }

    /// Somebody who has signed in.
    pub async fn visitor(&self, actor: &Actor) -> Client {
        let secret = new_secret();
        let now = self.clock.now();
        let mut door = self.database.write_door().await.unwrap();
        let who = (actor.team, actor.person);
        door.add_session(&hash_of(&secret), who, (now, now + Duration::days(14)), "")
            .await
            .unwrap();
        door.commit().await.unwrap();
        Client {
            cookie: Some(format!("ropeloft={secret}")),
            ..self.stranger()
        }
    }
}

impl Client {
    /// The request as it stands, with this client's cookie or token.
    pub async fn send(&self, mut request: Request<Body>) -> Answer {
        let headers = request.headers_mut();
        if let Some(cookie) = &self.cookie {
            headers.append(header::COOKIE, cookie.parse().unwrap());
        }
        if let Some(token) = &self.token {
            let value = format!("Bearer {token}");
            headers.insert(header::AUTHORIZATION, value.parse().unwrap());
        }
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let bytes = body.collect().await.unwrap().to_bytes();
        Answer {
            status: parts.status,
            headers: parts.headers,
            text: String::from_utf8_lossy(&bytes).into_owned(),
            bytes: bytes.to_vec(),
        }
    }

    /// Reads a page.
    pub async fn get(&self, path: &str) -> Answer {
        self.send(
            Self::request(Method::GET, path)
                .body(Body::empty())
                .unwrap(),
        )
        .await
    }

    /// Goes where an answer sends the browser, with the sentence that it takes along.
    pub async fn follow(&self, done: &Answer) -> Answer {
        let said = done.headers.get_all(header::SET_COOKIE).iter();
        let mut said = said.map(|value| value.to_str().unwrap());
        let said = said.find(|cookie| cookie.starts_with("ropeloft-said="));
        let said = said.and_then(|cookie| cookie.split(';').next());
        let cookies = self.cookie.as_deref().into_iter().chain(said);
        let next = Self {
            router: self.router.clone(),
            cookie: Some(cookies.collect::<Vec<_>>().join("; ")),
            token: self.token.clone(),
        };
        next.get(done.location()).await
    }

    /// Sends a form as a browser does from a page of ours.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let body: Vec<String> = fields
            .iter()
            .map(|(name, value)| format!("{}={}", encoded(name), encoded(value)))
            .collect();
        let request = Self::request(Method::POST, path)
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(body.join("&")))
            .unwrap();
        self.send(request).await
    }

    /// Sends a form that brings files, as a browser does: each field with its file's name, if it is a file.
    pub async fn upload(&self, path: &str, fields: &[(&str, Option<&str>, &[u8])]) -> Answer {
        let mut body = Vec::new();
        for (name, file, bytes) in fields {
            let file = file.map(|file| format!("; filename=\"{file}\""));
            let file = file.unwrap_or_default();
            let head =
                format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n");
            body.extend_from_slice(head.as_bytes());
            body.extend_from_slice(bytes);
            body.extend_from_slice(b"\r\n");
        }
        body.extend_from_slice(b"--edge--\r\n");
        let request = Self::request(Method::POST, path)
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
            .body(Body::from(body))
            .unwrap();
        self.send(request).await
    }

    /// Sends JSON.
    pub async fn json(&self, method: Method, path: &str, body: &serde_json::Value) -> Answer {
        let request = Self::request(method, path)
            .header(header::CONTENT_TYPE, "application/json")
            .body(Body::from(body.to_string()))
            .unwrap();
        self.send(request).await
    }

    /// Sends an edit of the record that has this mark.
    pub async fn json_if(
        &self,
        method: Method,
        path: &str,
        mark: &str,
        body: &serde_json::Value,
    ) -> Answer {
        self.json_with(method, path, (header::IF_MATCH.as_str(), mark), body)
            .await
    }

    /// Posts with an `Idempotency-Key`.
    pub async fn json_once(&self, path: &str, key: &str, body: &serde_json::Value) -> Answer {
        self.json_with(Method::POST, path, ("idempotency-key", key), body)
            .await
    }

    async fn json_with(
        &self,
        method: Method,
        path: &str,
        (name, value): (&str, &str),
        body: &serde_json::Value,
    ) -> Answer {
        let request = Self::request(method, path)
            .header(header::CONTENT_TYPE, "application/json")
            .header(name, value)
            .body(Body::from(body.to_string()))
            .unwrap();
        self.send(request).await
    }

    fn request(method: Method, path: &str) -> axum::http::request::Builder {
        Request::builder()
            .method(method)
            .uri(path)
            .header(header::HOST, "gear.test")
    }
}

fn encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(byte).to_string(),
            _ => format!("%{byte:02X}"),
        })
        .collect()
}
