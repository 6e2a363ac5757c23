//! Connections: so many and no more, and the idle ones make room for new ones.

use super::limits::Limits;
use axum::Router;
use axum::body::Body;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::future::{Future, poll_fn};
use std::pin::pin;
use std::sync::atomic::{AtomicU8, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::task::Poll;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Notify;

/// Wait after a connection could not be accepted: long enough for the closing of another to be felt.
const BACK_OFF: Duration = Duration::from_millis(50);

/// Largest head of a request, bytes.
const LARGEST_HEAD: usize = 64 * 1024;

/// How much would be lost if a connection were closed now, rising from 0 for an idle one.
const READING: u8 = 1;
const WORKING: u8 = 2;

/// One connection.
#[derive(Debug, Default)]
pub(super) struct Seat {
    /// How much would be lost if it were closed now.
    state: AtomicU8,
    /// When it last began or ended anything, counted in such events.
    stamp: AtomicU64,
    close: Notify,
}

impl Seat {
    /// Its request's body is being read from now until the mark is dropped.
    pub(super) fn reading(self: &Arc<Self>) -> Mark {
        Mark::new(self, READING)
    }

    /// Its request is worked on from now until the mark is dropped: it is not closed to make room.
    pub(super) fn working(self: &Arc<Self>) -> Mark {
        Mark::new(self, WORKING)
    }
}

/// Marks what a connection is about, for as long as it is held.
pub(super) struct Mark {
    seat: Arc<Seat>,
    before: u8,
}

impl Mark {
    fn new(seat: &Arc<Seat>, state: u8) -> Self {
        let before = seat.state.swap(state, Ordering::Relaxed);
        Self {
            seat: Arc::clone(seat),
            before,
        }
    }
}

impl Drop for Mark {
    fn drop(&mut self) {
        self.seat.state.store(self.before, Ordering::Relaxed);
    }
}

/// All connections.
#[derive(Debug, Default)]
struct Seats {
    taken: Mutex<Vec<Arc<Seat>>>,
    events: AtomicU64,
}

impl Seats {
    fn stamp(&self, seat: &Seat) {
        let now = self.events.fetch_add(1, Ordering::Relaxed);
        seat.stamp.store(now, Ordering::Relaxed);
    }

    /// A seat for one more; an idle connection is closed for it when all are taken. `None` when none is idle.
    fn take(self: &Arc<Self>, most: usize) -> Option<Taken> {
        let full = self.lock().len() >= most;
        if full && !self.make_room() {
            return None;
        }
        let seat = Arc::new(Seat::default());
        self.stamp(&seat);
        self.lock().push(Arc::clone(&seat));
        Some(Taken {
            seat,
            all: Arc::clone(self),
        })
    }

    /// Closes the connection by which least is lost: the one idle longest, or else the one whose body is read longest.
    fn make_room(&self) -> bool {
        let mut taken = self.lock();
        let order = |seat: &Arc<Seat>| {
            (
                seat.state.load(Ordering::Relaxed),
                seat.stamp.load(Ordering::Relaxed),
            )
        };
        let least = (0..taken.len()).min_by_key(|&i| order(&taken[i]));
        let Some(i) = least.filter(|&i| order(&taken[i]).0 < WORKING) else {
            return false;
        };
        taken.swap_remove(i).close.notify_one();
        true
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Vec<Arc<Seat>>> {
        self.taken.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A seat that is given back when dropped.
struct Taken {
    seat: Arc<Seat>,
    all: Arc<Seats>,
}

impl Drop for Taken {
    fn drop(&mut self) {
        let mut taken = self.all.lock();
        if let Some(i) = taken.iter().position(|s| Arc::ptr_eq(s, &self.seat)) {
            taken.swap_remove(i);
        }
    }
}

/// Accepts connections for ever. A system that gives none for a while (no descriptor is free, or one was closed before it
/// was taken) is asked again a little later.
pub(super) async fn accept(listener: TcpListener, router: Router, limits: Limits) {
    let seats = Arc::new(Seats::default());
    loop {
        match listener.accept().await {
            Ok((stream, _)) => {
                if let Some(taken) = seats.take(limits.connections) {
                    tokio::spawn(converse(stream, router.clone(), taken, limits));
                }
            }
            Err(_) => {
                seats.make_room();
                tokio::time::sleep(BACK_OFF).await;
            }
        }
    }
}

/// Answers one connection until it ends, takes too long over a head, or has to make room.
async fn converse(stream: TcpStream, router: Router, taken: Taken, limits: Limits) {
    let inner = TowerToHyperService::new(router);
    let service = service_fn(|request: hyper::Request<Incoming>| {
        let mut request = request.map(Body::new);
        request.extensions_mut().insert(Arc::clone(&taken.seat));
        taken.all.stamp(&taken.seat);
        let answer = inner.call(request);
        let taken = &taken;
        async move {
            let answer = answer.await;
            taken.all.stamp(&taken.seat);
            answer
        }
    });
    let serving = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.head)
        .max_buf_size(LARGEST_HEAD)
        .serve_connection(TokioIo::new(stream), service);
    let mut serving = pin!(serving);
    let mut told = pin!(taken.seat.close.notified());
    poll_fn(|context| match told.as_mut().poll(context) {
        Poll::Ready(()) => Poll::Ready(()),
        // How a connection ended is for its client to know; nothing here hangs on it.
        Poll::Pending => serving.as_mut().poll(context).map(|_| ()),
    })
    .await;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_idle_makes_room_and_work_never_does() {
        let seats = Arc::new(Seats::default());
        let first = seats.take(3).unwrap();
        let second = seats.take(3).unwrap();
        let third = seats.take(3).unwrap();
        let held = first.seat.working();
        let read = second.seat.reading();
        let fourth = seats.take(3).unwrap();
        let is_open = |taken: &Taken| seats.lock().iter().any(|s| Arc::ptr_eq(s, &taken.seat));
        assert!(is_open(&first) && is_open(&second) && !is_open(&third) && is_open(&fourth));
        let busy = fourth.seat.working();
        let fifth = seats.take(3).unwrap();
        assert!(
            !is_open(&second),
            "a body in reading makes room before work does"
        );
        let also = fifth.seat.working();
        assert!(seats.take(3).is_none(), "nothing is idle");
        drop((held, read, busy, also));
        drop(first);
        assert_eq!(seats.lock().len(), 2);
    }
}
