//! Runs in one process, one after the other and side by side: each has limits, a disk, a handle to stop and a console of
//! its own.

use shadecard::cli::{FAULTY, MACHINE, STOPPED};
use shadecard::console::{Console, Printed};
use shadecard::disk::{Disk, Op};
use shadecard::session::Session;
use shadecard::work::WorkKind;

use crate::small::{Bench, run_at};

const MAKE: &[&str] = &["make", "@sheet.ron", "--format", "svg", "--out", "@out"];

fn session() -> Session {
    Session { console: Console::in_memory(), ..Session::default() }
}

/// Runs with a session of its own.
fn made(bench: &Bench, more: &[&str]) -> (u8, Printed) {
    let session = session();
    let code = run_at(&bench.folder, &[MAKE, more].concat(), &session);
    (code, session.console.printed())
}

/// A limit that was raised once is not raised for ever.
#[test]
fn a_run_with_raised_limits_speaks_for_itself_alone() {
    let bench = Bench::new();
    let text = std::fs::read_to_string(bench.folder.join("range.ron")).expect("there");
    // 64 MB are the limit of a file.
    bench.write("range.ron", &format!("{text}\n/*{}*/\n", " ".repeat(64 << 20)));
    let raised = ["--raise-limits", "2"];
    let (code, told) = made(&bench, &raised);
    assert_eq!(code, 0, "{}", told.err);
    for _ in 0..2 {
        let (code, told) = made(&bench, &[]);
        assert_eq!((code, told.out.as_str()), (FAULTY, ""), "{}", told.err);
        assert!(told.err.contains("is larger than 64 MB"), "{}", told.err);
    }
    let (code, told) = made(&bench, &raised);
    assert_eq!(code, 0, "{}", told.err);
    assert!(told.err.contains("nothing has changed"), "{}", told.err);
}

#[test]
fn a_run_that_is_stopped_stops_no_other() {
    let (stopped, other) = (Bench::new(), Bench::new());
    let asked = session();
    asked.stop().ask();
    let (code, (done, told)) = std::thread::scope(|threads| {
        let other = threads.spawn(|| made(&other, &[]));
        (run_at(&stopped.folder, MAKE, &asked), other.join().expect("ended"))
    });
    assert_eq!((code, asked.console.printed()), (STOPPED, Printed::default()));
    assert!(stopped.made("out").is_empty());
    assert_eq!(done, 0, "{}", told.err);
    assert_eq!(other.made("out").len(), 3);
    // The same folder is made by whoever comes next.
    let (code, told) = made(&stopped, &[]);
    assert_eq!(code, 0, "{}", told.err);
    assert_eq!(stopped.made("out").len(), 3);
}

#[test]
fn a_disk_that_fails_fails_for_one_run_alone() {
    let (bench, failing, other) = (Bench::new(), Bench::new(), Bench::new());
    let full = Disk::failing(Op::Write, 0..usize::MAX, 28);
    let cases = [(&bench, Disk::default()), (&failing, full), (&other, Disk::default())];
    let runs = std::thread::scope(|threads| {
        let runs = cases.map(|(bench, disk)| {
            threads.spawn(move || {
                let session = Session { disk, ..session() };
                let code = run_at(&bench.folder, MAKE, &session);
                (code, session.disk.struck().is_some(), session.work.done(WorkKind::Rows) > 0)
            })
        });
        runs.map(|run| run.join().expect("ended"))
    });
    assert_eq!(runs, [(0, false, true), (MACHINE, true, true), (0, false, true)]);
}
