//! Connections to the server itself, over a socket.

use std::time::Duration;

use axum::{Router, extract::ConnectInfo, routing::get};
use ropeloft::web::{self, Patience};
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::{TcpListener, TcpStream},
    sync::oneshot,
};

async fn ask(stream: &mut TcpStream, text: &str) -> String {
    stream.write_all(text.as_bytes()).await.unwrap();
    let mut answer = vec![0; 2000];
    let length = stream.read(&mut answer).await.unwrap();
    String::from_utf8_lossy(&answer[..length]).into_owned()
}

#[tokio::test]
async fn a_request_in_progress_ends_before_the_server_does() {
    let (begun, mut has_begun) = tokio::sync::mpsc::channel::<()>(1);
    let (go_on, may_go_on) = tokio::sync::watch::channel(false);
    let slow = get(
        async move |ConnectInfo(peer): ConnectInfo<std::net::SocketAddr>| {
            begun.send(()).await.unwrap();
            let mut may_go_on = may_go_on.clone();
            may_go_on.wait_for(|go| *go).await.unwrap();
            format!("from {}", peer.ip())
        },
    );
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let (stop, stopped) = oneshot::channel::<()>();
    let told = async move { drop(stopped.await) };
    let router = Router::new().route("/", slow);
    let server = tokio::spawn(web::serve(listener, router, told, Patience::default()));
    let mut idle = TcpStream::connect(address).await.unwrap();
    let asked = tokio::spawn(async move {
        let mut stream = TcpStream::connect(address).await.unwrap();
        ask(&mut stream, "GET / HTTP/1.1\r\nHost: x\r\n\r\n").await
    });
    has_begun.recv().await.unwrap();
    stop.send(()).unwrap();
    go_on.send(true).unwrap();
    let answer = asked.await.unwrap();
    assert!(answer.contains("from 127.0.0.1"), "{answer}");
    assert!(
        server.await.unwrap(),
        "an idle connection held the server up"
    );
    assert_eq!(
        ask(&mut idle, "").await,
        "",
        "the idle connection is not closed"
    );
    assert!(TcpStream::connect(address).await.is_err());
}

#[tokio::test]
async fn who_does_not_send_a_request_in_time_is_let_go() {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let router = Router::new().route("/", get(async || "here"));
    let never = std::future::pending();
    let patience = Patience {
        head: Duration::from_millis(50),
        grace: Duration::ZERO,
    };
    tokio::spawn(web::serve(listener, router, never, patience));
    let mut stream = TcpStream::connect(address).await.unwrap();
    let answer = ask(&mut stream, "GET / HTTP/1.1\r\nHost: x\r\n").await;
    assert!(!answer.contains("here"), "{answer}");
}
