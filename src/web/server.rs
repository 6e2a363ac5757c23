//! The local server: this machine only, nothing on disk.

use super::handler::Handler;
use super::limits::Limits;
use super::routes::{Shared, router};
use super::seats::accept;
use super::secret::secret;
use std::future::{Future, poll_fn};
use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::pin::pin;
use std::sync::Arc;
use std::task::Poll;
use std::time::Duration;

/// How often old answers are looked for.
const TIDY: Duration = Duration::from_secs(30);

/// Why the page cannot be served.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ServeError {
    /// The port is not to be had.
    #[error(
        "port {port} on 127.0.0.1 cannot be opened ({source}); close what uses it, or take another with --port (0 takes any free one)"
    )]
    Port {
        /// The port asked for.
        port: u16,
        /// The system's words.
        source: std::io::Error,
    },
    /// The system gives no random bytes.
    #[error("the system gives no random bytes for the page's address ({source}); start it again")]
    Secret {
        /// The system's words.
        source: std::io::Error,
    },
    /// The server stopped.
    #[error("the local page stopped ({source}); start it again")]
    Stopped {
        /// The system's words.
        source: std::io::Error,
    },
}

/// A server that holds its port and does not answer yet.
#[derive(Debug)]
pub struct Bound {
    listener: TcpListener,
    address: SocketAddr,
    /// First part of every address of the page. Other users of this machine can reach the port, and do not know it.
    key: String,
    limits: Limits,
}

/// Opens the port on the loopback address; 0 takes any free one.
///
/// # Errors
/// [`ServeError::Port`] when it is taken or not allowed.
pub fn bind(port: u16) -> Result<Bound, ServeError> {
    let fault = |source| ServeError::Port { port, source };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(fault)?;
    listener.set_nonblocking(true).map_err(fault)?;
    let address = listener.local_addr().map_err(fault)?;
    Ok(Bound {
        listener,
        address,
        key: secret().map_err(|source| ServeError::Secret { source })?,
        limits: Limits::default(),
    })
}

impl Bound {
    /// Where a browser finds the page.
    pub fn url(&self) -> String {
        format!("http://{}/{}/", self.address, self.key)
    }

    /// Takes other limits than the usual ones.
    #[must_use]
    pub fn within(mut self, limits: Limits) -> Self {
        self.limits = limits;
        self
    }

    /// Answers until `stop` is done, then at once no longer.
    ///
    /// # Errors
    /// [`ServeError::Stopped`] when the system takes the port or the threads away.
    pub fn run_until(
        self,
        handler: Arc<Handler>,
        stop: impl Future<Output = ()> + Send + 'static,
    ) -> Result<(), ServeError> {
        let stopped = |source| ServeError::Stopped { source };
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_io()
            .enable_time()
            .build()
            .map_err(stopped)?;
        let ended = runtime.block_on(async move {
            let listener = tokio::net::TcpListener::from_std(self.listener).map_err(stopped)?;
            let shared = Arc::new(Shared::new(handler, self.limits));
            tokio::spawn(tidy(Arc::clone(&shared), self.limits.kept.min(TIDY)));
            let router = router(shared, self.address, &self.key);
            let mut serving = pin!(accept(listener, router, self.limits));
            let mut stop = pin!(stop);
            // Whichever ends first. A request in work is let go: nothing of it is on disk.
            poll_fn(|context| match stop.as_mut().poll(context) {
                Poll::Ready(()) => Poll::Ready(()),
                Poll::Pending => serving.as_mut().poll(context),
            })
            .await;
            Ok(())
        });
        runtime.shutdown_background();
        ended
    }
}

/// Forgets answers whose time is over.
async fn tidy(shared: Arc<Shared>, every: Duration) {
    loop {
        tokio::time::sleep(every).await;
        shared.forget();
    }
}
