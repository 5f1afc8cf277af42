//! `watch`: the server, asked as a browser asks, and as somebody asks who has no business here.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use serde_json::Value;
use shadecard::session::Session;
use shadecard::watch::{Server, Subject};

use crate::small::{Bench, below};

/// A server that watches a sheet until it is dropped.
struct Watched {
    bench: Bench,
    session: Session,
    url: String,
    server: Option<std::thread::JoinHandle<()>>,
}

/// What came back: status, headers in small letters, body.
struct Got {
    status: u16,
    headers: BTreeMap<String, String>,
    body: Vec<u8>,
}

impl Got {
    fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.text()))
    }

    fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

impl Watched {
    fn of(bench: Bench) -> Watched {
        Watched::with(bench, |_| {})
    }

    fn with(bench: Bench, change: impl FnOnce(&mut Subject)) -> Watched {
        let session = Session::default();
        let sheet = bench.folder.join("sheet.ron");
        let mut subject = Subject { sheet, ..Subject::default() };
        change(&mut subject);
        let server = Server::listen(subject, Some(0), &session).expect("listens");
        let url = server.url();
        let server = Some(std::thread::spawn(move || server.run().expect("served")));
        Watched { bench, session, url, server }
    }

    fn port(&self) -> &str {
        self.url.trim_start_matches("http://127.0.0.1:").split('/').next().expect("a port")
    }

    fn path(&self, below: &str) -> String {
        let token = self.url.trim_end_matches('/').rsplit('/').next().expect("a token");
        format!("/{token}/{below}")
    }

    /// Sends these lines, with a Host unless one is among them.
    fn ask(&self, method: &str, path: &str, lines: &[&str]) -> Got {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port().parse().expect("a port")))
            .expect("connected");
        stream.set_read_timeout(Some(Duration::from_secs(60))).expect("set");
        let host = format!("Host: 127.0.0.1:{}", self.port());
        let own = lines.iter().any(|line| line.starts_with("Host"));
        let lines: Vec<&str> =
            (!own).then_some(host.as_str()).into_iter().chain(lines.iter().copied()).collect();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\n{}\r\nConnection: close\r\n\r\n",
            lines.join("\r\n")
        )
        .expect("sent");
        let mut all = Vec::new();
        stream.read_to_end(&mut all).expect("answered");
        let cut = all.windows(4).position(|w| w == b"\r\n\r\n").expect("an empty line");
        let head = String::from_utf8_lossy(&all[..cut]).into_owned();
        let mut lines = head.lines();
        let status = lines.next().expect("a status").split(' ').nth(1).expect("a number");
        let headers = lines.filter_map(|line| line.split_once(": "));
        Got {
            status: status.parse().expect("a number"),
            headers: headers.map(|(k, v)| (k.to_lowercase(), v.to_owned())).collect(),
            body: all[cut + 4..].to_vec(),
        }
    }

    fn get(&self, below: &str) -> Got {
        self.ask("GET", &self.path(below), &[])
    }

    /// The state once it is as wanted.
    fn state(&self, wanted: impl Fn(&Value) -> bool) -> Value {
        let begun = Instant::now();
        loop {
            let state = self.get("state").json();
            if state["revision"].as_u64() > Some(0) && wanted(&state) {
                return state;
            }
            assert!(begun.elapsed() < Duration::from_secs(60), "never came: {state:#}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    fn view(&self, more: &str) -> String {
        let sheet = self.state(|state| state["sheet_revision"].as_u64() > Some(0));
        format!("edition=card&spelling=en-GB&page=1&revision={}{more}", sheet["sheet_revision"])
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        self.session.stop().ask();
        self.server.take().map(std::thread::JoinHandle::join);
    }
}

fn is_good(state: &Value) -> bool {
    state["good"] == true
}

#[test]
fn the_page_comes_with_a_policy_that_lets_nothing_in() {
    let watched = Watched::of(Bench::new());
    for (below, kind) in [
        ("", "text/html"),
        ("watch.js", "text/javascript"),
        ("watch.css", "text/css"),
        ("icon.svg", "image/svg+xml"),
        ("state", "application/json"),
    ] {
        let got = watched.get(below);
        assert_eq!(got.status, 200, "{below}");
        assert!(got.headers["content-type"].starts_with(kind), "{below}: {:?}", got.headers);
        let policy = &got.headers["content-security-policy"];
        assert!(policy.starts_with("default-src 'none'; script-src 'self'; "), "{policy}");
        assert!(
            policy.contains("frame-ancestors 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(got.headers["x-content-type-options"], "nosniff");
        assert_eq!(got.headers["referrer-policy"], "no-referrer");
    }
    let html = watched.get("").text();
    assert!(!html.contains("<script>") && !html.contains("http://") && !html.contains("https://"));
    // HEAD is GET without the body.
    let head = watched.ask("HEAD", &watched.path("state"), &[]);
    assert_eq!((head.status, head.body.len()), (200, 0));
}

#[test]
fn nobody_else_is_answered() {
    let watched = Watched::of(Bench::new());
    watched.state(is_good);
    let state = watched.path("state");
    let refused = |status: u16, method: &str, path: &str, lines: &[&str]| {
        let got = watched.ask(method, path, lines);
        assert_eq!(got.status, status, "{method} {path} {lines:?}: {}", got.text());
        assert!(!got.text().contains("look_alikes"), "{}", got.text());
    };
    // A name of somebody else's that leads here: DNS rebinding.
    let port = watched.port();
    refused(403, "GET", &state, &[&format!("Host: evil.example:{port}")]);
    refused(403, "GET", &state, &["Host: 127.0.0.1:1"]);
    // Another site's page in a browser on this machine.
    refused(403, "GET", &state, &["Origin: http://evil.example"]);
    refused(403, "GET", &state, &["Origin: null"]);
    refused(403, "GET", &state, &["Sec-Fetch-Site: cross-site"]);
    refused(403, "GET", &watched.path("events"), &["Origin: http://evil.example"]);
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS"] {
        refused(405, method, &state, &[]);
    }
    // Without the word, or with one that is nearly right.
    for path in
        ["/", "/state", "/0123456789abcdef0123456789abcdef/state", &state[..state.len() - 7]]
    {
        let got = watched.ask("GET", path, &[]);
        assert!([404, 308].contains(&got.status), "{path}: {}", got.status);
        assert!(!got.text().contains("revision"));
    }
}

/// Whatever is asked for, no file is read but those of the page and of the sheet.
#[test]
fn no_other_file_can_be_read() {
    let bench = Bench::new();
    bench.write("secret.ron", "Style(secret: \"do not show\")");
    std::fs::write(bench.folder.with_file_name("outside.icc"), "do not show").expect("written");
    let watched = Watched::of(bench);
    let view = watched.view("");
    let secret = watched.bench.folder.join("secret.ron").display().to_string();
    let outside = watched.bench.folder.with_file_name("outside.icc").display().to_string();
    let mut addresses: Vec<String> = [
        "../sheet.ron",
        "..%2fsheet.ron",
        "sheet.ron",
        "site/app.js",
        "%2e%2e/range.ron",
        "/etc/passwd",
    ]
    .map(str::to_owned)
    .to_vec();
    for name in ["secret.ron", "../base/secret.ron", &secret, "/etc/passwd"] {
        addresses.push(format!("sheet.svg?{view}&style={name}"));
    }
    for name in ["../outside.icc", &outside, "/etc/passwd"] {
        addresses.push(format!("sheet.svg?{view}&style=plate&paper={name}"));
        addresses.push(format!("paper?{view}&name={name}"));
    }
    for edition in ["../../x", "card%00", ""] {
        addresses.push(format!("sheet.svg?{}&style=plate", view.replace("card", edition)));
    }
    for address in addresses {
        let got = watched.get(&address);
        assert_eq!(got.status, 404, "{address}: {}", got.text());
        assert!(!got.text().contains("do not show") && !got.text().contains("root:"), "{address}");
    }
    // The same with names that there are.
    assert_eq!(watched.get(&format!("sheet.svg?{view}&style=plate")).status, 200);
    assert_eq!(watched.get(&format!("sheet.svg?{view}&style=catalogue&paper=matte")).status, 200);
    assert_eq!(watched.get(&format!("paper?{view}&name=matte")).status, 200);
}

#[test]
fn a_sheet_is_shown_with_where_everything_on_it_is_written() {
    let watched = Watched::of(Bench::new());
    let before = below(&watched.bench.folder);
    let state = watched.state(is_good);
    assert_eq!(state["editions"][0]["name"], "card");
    assert_eq!(state["styles"][0], "plate");
    assert!(state["editions"][0]["figures"].as_array().expect("figures").len() > 8);
    let view = watched.view("&style=plate");
    let svg = watched.get(&format!("sheet.svg?{view}"));
    assert_eq!((svg.status, &*svg.headers["content-type"]), (200, "image/svg+xml"));
    let head: String = svg.text().chars().take(2048).collect();
    let width = state["editions"][0]["width"].as_f64().expect("a width");
    assert!(head.contains(&format!("width=\"{width}mm\"")), "{head}");
    let places = watched.get(&format!("places?{view}")).json();
    let places = places["places"].as_array().expect("places").clone();
    let range = std::fs::read_to_string(watched.bench.folder.join("range.ron")).expect("there");
    let mut kinds = BTreeMap::new();
    for place in &places {
        let origin = place[4].as_str().expect("a key");
        let found = &state["origins"][origin];
        assert!(found.is_object(), "{origin} is not in the state");
        *kinds.entry(origin.split(':').next().expect("a kind").to_owned()).or_insert(0) += 1;
        let line = found["line"].as_u64().expect("a line") as usize;
        if line > 0 && found["file"].as_str().expect("a file").ends_with("range.ron") {
            assert_eq!(range.lines().nth(line - 1), found["text"].as_str(), "{origin}");
            let key = origin.split_once(':').expect("a key").1;
            assert!(
                found["text"].as_str().expect("text").contains(key) || origin.starts_with("block"),
                "{origin}"
            );
        }
    }
    for kind in ["block", "colour", "heading", "part", "text"] {
        assert!(kinds.contains_key(kind), "{kind}: {kinds:?}");
    }
    assert_eq!(below(&watched.bench.folder), before, "something was written");
    // An address of a sheet that is no more.
    let old = view.replace("revision=1", "revision=77");
    let gone = watched.get(&format!("sheet.svg?{old}"));
    assert_eq!((gone.status, gone.json()["sheet_revision"].as_u64()), (409, Some(1)));
}

/// The events that a page hears, one after the other.
fn events(watched: &Watched) -> impl Iterator<Item = Value> {
    let port = watched.port().parse().expect("a port");
    let mut stream = TcpStream::connect(("127.0.0.1", port)).expect("connected");
    stream.set_read_timeout(Some(Duration::from_secs(60))).expect("set");
    let path = watched.path("events");
    write!(stream, "GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n").expect("sent");
    let lines = BufReader::new(stream).lines().map_while(Result::ok);
    lines.filter_map(|line| serde_json::from_str(line.strip_prefix("data: ")?).ok())
}

#[test]
fn a_save_is_seen_and_a_fault_leaves_the_last_good_sheet() {
    let watched = Watched::of(Bench::new());
    watched.state(is_good);
    let mut events = events(&watched);
    assert_eq!(events.next().expect("at once")["revision"], 1);
    watched.bench.value(1);
    let event = events.next().expect("an event");
    assert_eq!((&event["revision"], &event["sheet_revision"]), (&2.into(), &2.into()));
    let state = watched.state(|state| state["revision"] == 2);
    let changes = state["changes"].to_string();
    assert!(changes.contains("#cc0000") && changes.contains("#0a7d4b"), "{changes}");
    // A fault: the sheet of before is still there.
    let good = std::fs::read_to_string(watched.bench.folder.join("sheet.ron")).expect("there");
    watched.bench.write("sheet.ron", &good.replace("page.ron", "pge.ron"));
    let event = events.next().expect("an event");
    assert_eq!((&event["good"], &event["sheet_revision"]), (&false.into(), &2.into()));
    let state = watched.state(|state| state["revision"] == 3);
    let finding = &state["findings"][0];
    assert_eq!(finding["severity"], "error");
    assert!(finding["text"].as_str().expect("a line").contains("pge.ron"), "{finding}");
    let (from, to) = (finding["from"].as_u64().expect("from"), finding["to"].as_u64().expect("to"));
    let marked: String = finding["text"]
        .as_str()
        .expect("a line")
        .chars()
        .skip(from as usize)
        .take((to - from) as usize)
        .collect();
    assert_eq!(marked, "\"pge.ron\"");
    assert_eq!(watched.get(&format!("sheet.svg?{}", watched.view("&style=plate"))).status, 200);
    // As editors do: the new file beside the old one, then renamed.
    let beside = watched.bench.folder.join("sheet.ron~");
    std::fs::write(&beside, &good).expect("written");
    std::fs::rename(&beside, watched.bench.folder.join("sheet.ron")).expect("renamed");
    let event = events.next().expect("an event");
    assert_eq!((&event["good"], &event["sheet_revision"]), (&true.into(), &event["revision"]));
    // A drawing that is saved again, and a file that is touched without a change.
    let disc: PathBuf = watched.bench.folder.join("disc.svg");
    let text = std::fs::read_to_string(&disc).expect("there");
    std::fs::write(&disc, &text).expect("written");
    std::fs::write(&disc, text.replacen("<svg", "<svg data-x=\"1\"", 1)).expect("written");
    let next = events.next().expect("an event");
    assert_eq!(next["revision"].as_u64(), event["revision"].as_u64().map(|r| r + 1));
}

/// After a change only the pieces that show it are others, and together they hold what the page holds.
#[test]
fn a_change_is_sent_in_pieces() {
    let watched = Watched::of(Bench::new());
    let pieces = || {
        let list = watched.get(&format!("pieces?{}", watched.view("&style=plate"))).json();
        let each = list["pieces"].as_array().expect("pieces").iter();
        let named =
            each.map(|p| (p["id"].as_str().expect("a name").to_owned(), p["hash"].to_string()));
        named.collect::<BTreeMap<String, String>>()
    };
    let before = pieces();
    assert!(before.len() > 1 && before.contains_key("page"), "{before:?}");
    let view = watched.view("&style=plate");
    let whole = watched.get(&format!("sheet.svg?{view}")).text();
    let texts = |svg: &str| svg.matches("<text").count() + svg.matches("<use").count();
    let parts = before.keys().map(|id| watched.get(&format!("sheet.svg?{view}&piece={id}")).text());
    let (uses, grounds) = parts.fold((0, 0), |(uses, grounds), svg| {
        (uses + texts(&svg), grounds + svg.matches("<rect fill=\"#ffffff\" height").count())
    });
    assert!(uses >= texts(&whole), "{uses} of {}", texts(&whole));
    assert_eq!(grounds, 1, "only the lowest piece has the paper");
    assert_eq!(watched.get(&format!("sheet.svg?{view}&piece=none")).status, 404);
    watched.bench.value(1);
    watched.state(|state| state["sheet_revision"] == 2);
    let after = pieces();
    let others = after.iter().filter(|(id, hash)| before.get(*id) != Some(hash)).count();
    assert!((1..before.len()).contains(&others), "{others} of {}", before.len());
}

#[test]
fn a_sheet_with_faults_from_the_beginning_has_no_page_yet() {
    let bench = Bench::new();
    let good = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    bench.write("sheet.ron", &good.replace("Sheet(", "Sheet(titel: \"x\", "));
    let watched = Watched::of(bench);
    let state = watched.state(|state| !is_good(state));
    assert_eq!(state["sheet_revision"], 0);
    assert!(state["findings"][0]["help"].as_str().expect("help").contains("'title'"), "{state:#}");
    assert_eq!(
        watched.get("sheet.svg?edition=card&spelling=en-GB&style=plate&revision=0").status,
        503
    );
    watched.bench.write("sheet.ron", &good);
    watched.state(is_good);
}

#[test]
fn the_release_before_is_shown_beside_this_one() {
    let bench = Bench::new();
    let sheet = std::fs::read_to_string(bench.folder.join("sheet.ron")).expect("there");
    bench.write("before.ron", &sheet.replace("range.ron", "older.ron"));
    bench.value(1);
    let old = bench.folder.join("before.ron");
    let watched = Watched::with(bench, |subject| subject.against = Some(old));
    let state = watched.state(is_good);
    assert_eq!(state["releases"], serde_json::json!(["now", "before"]));
    let page = |release: &str| {
        watched
            .get(&format!("sheet.svg?{}", watched.view(&format!("&style=plate&release={release}"))))
            .text()
    };
    assert!(page("now").contains("#0a7d4b") && !page("now").contains("#cc0000"));
    assert!(page("before").contains("#cc0000") && !page("before").contains("#0a7d4b"));
}
