//! Takes connections: not too many, none that dawdles, and each may end what it began.

use std::{net::SocketAddr, sync::Arc, time::Duration};

use axum::{Router, body::Body, extract::ConnectInfo, http::Request};
use hyper::{body::Incoming, server::conn::http1, service::service_fn};
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    server::graceful::GracefulShutdown,
};
use tokio::{
    net::{TcpListener, TcpStream},
    sync::{OwnedSemaphorePermit, Semaphore},
};
use tower::ServiceExt;

/// How many connections are held at once; the next ones wait to be taken.
const CONNECTIONS: usize = 4096;

/// How long the server waits for its clients.
#[derive(Clone, Copy, Debug)]
pub struct Patience {
    /// For the head of a request, or for the next one.
    pub head: Duration,
    /// For the requests in progress, once it is told to stop.
    pub grace: Duration,
}

impl Default for Patience {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(20),
            grace: Duration::from_secs(20),
        }
    }
}

/// Serves `router` until `stop` comes, then lets the requests in progress end. Gives whether all of them
/// did in time.
pub async fn serve(
    listener: TcpListener,
    router: Router,
    stop: impl Future<Output = ()>,
    patience: Patience,
) -> bool {
    let room = Arc::new(Semaphore::new(CONNECTIONS));
    let open = GracefulShutdown::new();
    let mut stop = std::pin::pin!(stop);
    loop {
        tokio::select! {
            () = &mut stop => break,
            (stream, peer, seat) = next(&listener, &room) => {
                let router = router.clone();
                let answer = service_fn(move |mut request: Request<Incoming>| {
                    request.extensions_mut().insert(ConnectInfo(peer));
                    router.clone().oneshot(request.map(Body::new))
                });
                let connection = http1::Builder::new()
                    .timer(TokioTimer::new())
                    .header_read_timeout(patience.head)
                    .serve_connection(TokioIo::new(stream), answer);
                let connection = open.watch(connection);
                tokio::spawn(async move {
                    // A connection that breaks is the client's affair.
                    let _ = connection.await;
                    drop(seat);
                });
            }
        }
    }
    drop(listener);
    tokio::time::timeout(patience.grace, open.shutdown())
        .await
        .is_ok()
}

/// The next connection, with its seat among those that are held.
async fn next(
    listener: &TcpListener,
    room: &Arc<Semaphore>,
) -> (TcpStream, SocketAddr, Option<OwnedSemaphorePermit>) {
    // The semaphore is never closed, so there is always a seat in the end.
    let seat = Arc::clone(room).acquire_owned().await.ok();
    loop {
        match listener.accept().await {
            Ok((stream, peer)) => {
                // Answers are written whole; waiting to fill a packet would only delay them.
                let _ = stream.set_nodelay(true);
                return (stream, peer, seat);
            }
            Err(error) => {
                // Out of file handles, mostly: those that are open end, and then there is room again.
                tracing::warn!(error = %error, "A connection could not be taken");
                tokio::time::sleep(Duration::from_millis(100)).await;
            }
        }
    }
}
