//! The server, and the thread that looks at the files.

use std::convert::Infallible;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::Arc;
use std::time::Duration;

use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, Response};
use hyper_util::rt::TokioIo;
use tokio::net::TcpStream;
use tokio::runtime::Builder;

use super::answer::Answer;
use super::board::Board;
use super::body::Body;
use super::events;
use super::folders::Folders;
use super::guard::{Asked, Guard};
use super::look::{Look, Looker, Planned, Subject};
use super::routes::Routes;
use crate::diag::Diagnostic;
use crate::session::Session;

/// The port that is taken where it is free: a browser keeps the calibration of the screen for it.
const USUAL_PORT: u16 = 7417;
/// So many answers are made at a time; others wait.
const MOST: usize = 8;
/// How soon the server ends when it is asked to.
const ANSWER: Duration = Duration::from_millis(30);

/// A server that listens, and has not begun to answer.
pub struct Server {
    listener: TcpListener,
    door: Arc<Door>,
    subject: Subject,
    session: Session,
}

/// Who is let in, and what they find.
struct Door {
    guard: Guard,
    routes: Routes,
}

impl Server {
    /// Listens on loopback: on a port, 0 for any; by default on the usual one or, where that is taken, on any.
    ///
    /// # Errors
    /// The port is taken, or the machine has no random numbers.
    pub fn listen(
        subject: Subject,
        port: Option<u16>,
        session: &Session,
    ) -> Result<Server, Diagnostic> {
        let listener = listener(port)?;
        let failed = |e: &dyn std::fmt::Display| {
            Diagnostic::error("no-server", format!("the page cannot be served: {e}")).of_machine()
        };
        listener.set_nonblocking(true).map_err(|e| failed(&e))?;
        let port = listener.local_addr().map_err(|e| failed(&e))?.port();
        let guard = Guard::new(port).map_err(|e| failed(&e))?;
        let board = Arc::new(Board::default());
        let sheet = subject.sheet.display().to_string();
        let routes = Routes { board, session: session.clone(), sheet };
        let door = Arc::new(Door { guard, routes });
        Ok(Server { listener, door, subject, session: session.clone() })
    }

    /// The page's address.
    pub fn url(&self) -> String {
        self.door.guard.url()
    }

    /// Answers and looks at the files until the session is asked to stop.
    ///
    /// # Errors
    /// The machine has no thread or socket left.
    pub fn run(self) -> std::io::Result<()> {
        let Server { listener, door, subject, session } = self;
        // One thread for the connections, more for what is drawn.
        let runtime =
            Builder::new_current_thread().enable_all().max_blocking_threads(MOST).build()?;
        std::thread::scope(|threads| {
            let (looked, of) = (Arc::clone(&door), session.clone());
            threads.spawn(move || watch(&looked.routes.board, subject, &of));
            let served = runtime.block_on(serve(listener, &door, &session));
            door.routes.board.events.close();
            // Whoever still draws is asked to stop by the session.
            session.stop().ask();
            runtime.shutdown_timeout(ANSWER);
            served
        })
    }
}

/// The port that is asked for, else the usual one, else any.
fn listener(port: Option<u16>) -> Result<TcpListener, Diagnostic> {
    let bind = |port: u16| TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    let bound = match port {
        Some(port) => bind(port),
        None => bind(USUAL_PORT).or_else(|_| bind(0)),
    };
    bound.map_err(|e| {
        let port = port.unwrap_or_default();
        Diagnostic::error("no-server", format!("port {port} cannot be used: {e}")).help(
            "leave --port out, or give a number from 1024 to 65535 that no other program uses",
        )
    })
}

/// Looks at the files at first, and whenever one is another.
fn watch(board: &Board, subject: Subject, session: &Session) {
    let mut looker = Looker::new(subject, session.clone());
    let mut folders = Folders::new();
    let mut seen = Vec::new();
    for revision in 1.. {
        let view = board.view();
        let mut announce = |look: &Look| {
            seen.clone_from(&look.seen);
            folders.watch(&seen);
            board.put(look);
        };
        looker.look(revision, Planned { view, announce: &mut announce });
        if !folders.changed(&seen, session.stop()) {
            return;
        }
    }
}

/// Takes connections until the session is asked to stop.
async fn serve(listener: TcpListener, door: &Arc<Door>, session: &Session) -> std::io::Result<()> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    while !session.stop().asked() {
        if let Ok(Ok((stream, _))) = tokio::time::timeout(ANSWER, listener.accept()).await {
            tokio::spawn(connection(stream, Arc::clone(door)));
        }
    }
    Ok(())
}

/// Answers the requests of a connection, one after the other.
async fn connection(stream: TcpStream, door: Arc<Door>) {
    let service = service_fn(|request| {
        let door = Arc::clone(&door);
        async move { Ok::<_, Infallible>(answered(&request, door).await) }
    });
    // A browser that goes away in the middle is no fault.
    let _ = http1::Builder::new().serve_connection(TokioIo::new(stream), service).await;
}

async fn answered<B>(request: &Request<B>, door: Arc<Door>) -> Response<Body> {
    let header = |name: &str| request.headers().get(name).and_then(|value| value.to_str().ok());
    let address = request.uri().path_and_query().map_or("", |address| address.as_str());
    let asked = Asked {
        method: request.method().as_str(),
        address,
        host: header("Host"),
        origin: header("Origin"),
        site: header("Sec-Fetch-Site"),
    };
    match door.guard.admit(asked) {
        Err(refused) => whole(refused),
        Ok("events") => match door.routes.board.events.listen() {
            Some(listening) => {
                let first = door.routes.board.event().to_string();
                let answer = Answer::new("text/event-stream", "");
                response(&answer, Body::stream(events::stream(listening, &first)))
            }
            None => whole(Answer::missing(503, "too many pages are open")),
        },
        Ok(below) => {
            let (below, own) = (below.to_owned(), Arc::clone(&door));
            let made = tokio::task::spawn_blocking(move || own.routes.answer(&below)).await;
            whole(made.unwrap_or_else(|_| Answer::missing(500, "the drawing failed")))
        }
    }
}

fn whole(mut answer: Answer) -> Response<Body> {
    let body = Body::whole(std::mem::take(&mut answer.body));
    response(&answer, body)
}

fn response(answer: &Answer, body: Body) -> Response<Body> {
    let mut builder = Response::builder().status(answer.status);
    for (name, value) in answer.headers() {
        builder = builder.header(name, value);
    }
    // Names and values are the program's own.
    builder.body(body).unwrap_or_else(|_| Response::new(Body::whole(Vec::new())))
}
