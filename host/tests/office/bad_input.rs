//! What can go wrong at the command line: each with its exit code, a sentence that names what and
//! which, and nothing lost.

use std::fs;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::thread::{self, JoinHandle};

use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::message::{Hello, Request, Response};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{Boot, Deframer, DeviceId, LogId, Seq, Uptime};

use crate::kit::{DATABASE, FILE, HANDHELD, PORT, fails, hornrule};

/// Something on TCP that answers in its own way. Gives the address and what to wait for.
fn peer(answer: impl FnOnce(TcpStream) + Send + 'static) -> (String, JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("tcp:{}", listener.local_addr().unwrap());
    let thread = thread::spawn(move || answer(listener.accept().unwrap().0));
    (address, thread)
}

/// A whole frame with any version byte, answering request 1.
fn frame_of_version(version: u8) -> Vec<u8> {
    let mut plain = vec![version, 0x52, 1, 0, 3];
    plain.extend(CRC.checksum(&plain).to_le_bytes());
    // COBS by hand: the only zero is the id's high byte, and versions and checksums used here
    // have none.
    assert_eq!(plain.iter().filter(|byte| **byte == 0).count(), 1);
    let mut wire = vec![0];
    for run in plain.split(|byte| *byte == 0) {
        wire.push(u8::try_from(run.len() + 1).unwrap());
        wire.extend_from_slice(run);
    }
    wire.push(0);
    wire
}

/// Answers `Hello` truly, and everything else by `then`.
fn greeting(mut stream: TcpStream, then: impl Fn(&mut TcpStream, RequestId, Request) -> bool) {
    let mut deframer = Deframer::<64>::new();
    let mut byte = [0u8; 1];
    while stream.read(&mut byte).is_ok_and(|length| length == 1) {
        let Some(Ok(frame)) = deframer.push(byte[0]) else { continue };
        let (id, request) = (frame.id, frame.message::<Request>().unwrap());
        let goes_on = match request {
            Request::Hello => {
                let hello = Hello {
                    device: DeviceId(5),
                    log: LogId(6),
                    firmware: [0, 1, 0],
                    boot: Boot(1),
                    first: Seq(1),
                    next: Seq(100),
                    released: Seq(0),
                };
                answer(&mut stream, id, &Response::Hello(hello));
                true
            }
            Request::Now => {
                answer(&mut stream, id, &Response::Now { boot: Boot(1), uptime: Uptime(9) });
                true
            }
            other => then(&mut stream, id, other),
        };
        if !goes_on {
            return;
        }
    }
}

fn answer(stream: &mut TcpStream, id: RequestId, response: &Response<'_>) {
    let mut line = [0u8; 2048];
    let bytes = frame::encode(id, response, &mut line).unwrap();
    stream.write_all(bytes).unwrap();
}

#[test]
fn a_port_that_is_not_there() {
    let folder = tempfile::tempdir().unwrap();
    fails(folder.path(), &["pull", "--port", "no-such-port"], PORT, &["no-such-port", "ports"]);
    // Nobody listens on port 1 of this computer.
    fails(folder.path(), &["pull", "--port", "tcp:127.0.0.1:1"], PORT, &["tcp:127.0.0.1:1"]);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "no database was made");
}

#[cfg(unix)]
#[test]
fn a_port_that_somebody_has() {
    use hornrule_board_sim::wire::{Pty, Wire};
    let folder = tempfile::tempdir().unwrap();
    let pty = Pty::open().unwrap();
    let _theirs = hornrule_line::port::Serial::open(&pty.address()).unwrap();
    fails(folder.path(), &["pull", "--port", &pty.address()], PORT, &["in use", &pty.address()]);
}

#[test]
fn something_else_at_the_other_end() {
    let folder = tempfile::tempdir().unwrap();
    for talk in ["OK\r\nready\r\n", "\0\0hello\0there\0"] {
        let (address, thread) = peer(move |mut stream| {
            let mut buffer = [0u8; 64];
            while stream.read(&mut buffer).is_ok_and(|length| length > 0) {
                if stream.write_all(talk.as_bytes()).is_err() {
                    return;
                }
            }
        });
        fails(folder.path(), &["pull", "--port", &address], HANDHELD, &["not a hornrule handheld"]);
        thread.join().unwrap();
    }
}

#[test]
fn nobody_answers() {
    let folder = tempfile::tempdir().unwrap();
    let (address, thread) = peer(|mut stream| {
        let mut buffer = [0u8; 64];
        while stream.read(&mut buffer).is_ok_and(|length| length > 0) {}
    });
    fails(folder.path(), &["pull", "--port", &address], HANDHELD, &["nothing answers"]);
    thread.join().unwrap();
}

#[test]
fn a_line_that_echoes() {
    let folder = tempfile::tempdir().unwrap();
    let (address, thread) = peer(|mut stream| {
        let mut buffer = [0u8; 64];
        while let Ok(length @ 1..) = stream.read(&mut buffer) {
            if stream.write_all(&buffer[..length]).is_err() {
                return;
            }
        }
    });
    fails(folder.path(), &["pull", "--port", &address], HANDHELD, &["echoes"]);
    thread.join().unwrap();
}

#[test]
fn an_older_and_a_newer_wire() {
    let folder = tempfile::tempdir().unwrap();
    for (version, update) in [(2u8, "update the program"), (200, "update the program")] {
        let (address, thread) = peer(move |mut stream| {
            let mut buffer = [0u8; 64];
            while stream.read(&mut buffer).is_ok_and(|length| length > 0) {
                if stream.write_all(&frame_of_version(version)).is_err() {
                    return;
                }
            }
        });
        let says = [format!("version {version}"), update.to_owned()];
        let says: Vec<&str> = says.iter().map(String::as_str).collect();
        fails(folder.path(), &["pull", "--port", &address], HANDHELD, &says);
        thread.join().unwrap();
    }
    // Version 0 would be older; its own zero byte makes another COBS run.
    let error = hornrule_line::pull::PullError::Version { theirs: 0, ours: 1, older: "handheld" };
    assert!(error.to_string().contains("update the handheld"));
}

#[test]
fn unplugged_in_the_middle() {
    let folder = tempfile::tempdir().unwrap();
    let (address, thread) = peer(|stream| greeting(stream, |_, _, _| false));
    let says = ["port failed", "pull again"];
    fails(folder.path(), &["pull", "--port", &address], PORT, &says);
    thread.join().unwrap();
}

#[test]
fn it_stops_answering_in_the_middle() {
    let folder = tempfile::tempdir().unwrap();
    let (address, thread) = peer(|stream| greeting(stream, |_, _, _| true));
    fails(folder.path(), &["pull", "--port", &address], HANDHELD, &["stopped answering"]);
    thread.join().unwrap();
}

#[test]
fn databases_that_cannot_be_used_are_left_as_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let csv = folder.path().join("cows.csv");
    fs::write(&csv, "number\n12\n").unwrap();
    let import = |db: &str| {
        vec!["--db", db, "herd", "import", "cows.csv", "--herd", "Alder Brook", "--yes"]
            .into_iter()
            .map(str::to_owned)
            .collect::<Vec<String>>()
    };
    let run = |db: &str, says: &[&str]| {
        let words = import(db);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        fails(folder.path(), &words, DATABASE, says);
    };
    // A folder that is none.
    run("cows.csv/herd.db", &["cows.csv/herd.db", "folder"]);
    run("no/such/folder/herd.db", &["no/such/folder/herd.db", "folder"]);
    // A file of something else.
    run("cows.csv", &["cows.csv", "not a database"]);
    assert_eq!(fs::read_to_string(&csv).unwrap(), "number\n12\n");
    // Another program's database, and one of a newer hornrule.
    let sqlite = |name: &str, pragma: &str| {
        let conn = rusqlite::Connection::open(folder.path().join(name)).unwrap();
        conn.execute_batch(&format!("CREATE TABLE t (x); {pragma}")).unwrap();
    };
    sqlite("theirs.db", "PRAGMA application_id = 7;");
    run("theirs.db", &["theirs.db", "another program"]);
    assert!(
        hornrule(folder.path(), &import("ours.db").iter().map(String::as_str).collect::<Vec<_>>())
            .status
            .success()
    );
    let conn = rusqlite::Connection::open(folder.path().join("ours.db")).unwrap();
    conn.pragma_update(None, "user_version", 99).unwrap();
    drop(conn);
    run("ours.db", &["ours.db", "99", "update"]);
    fails(folder.path(), &["--db", "none.db", "report", "visit"], DATABASE, &["none.db"]);
}

#[test]
fn a_database_that_another_program_holds() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("cows.csv"), "number\n12\n").unwrap();
    let words = ["--db", "held.db", "herd", "import", "cows.csv", "--herd", "Alder Brook", "--yes"];
    assert!(hornrule(folder.path(), &words).status.success());
    let holder = rusqlite::Connection::open(folder.path().join("held.db")).unwrap();
    holder.execute_batch("BEGIN IMMEDIATE").unwrap();
    fails(folder.path(), &words, DATABASE, &["held.db", "in use"]);
}

#[test]
fn herd_lists_with_a_mistake_are_not_imported() {
    let folder = tempfile::tempdir().unwrap();
    for (list, says) in [
        ("number,born\n12,2021-04-30\n13,yesterday\n", &["line 3", "born", "yesterday"][..]),
        ("number\n12\nx7\n", &["line 3", "number", "x7"]),
        ("number\n12\n12\n", &["line 3", "12", "line 2"]),
        ("cow\n12\n", &["number"]),
        ("", &["empty"]),
    ] {
        fs::write(folder.path().join("cows.csv"), list).unwrap();
        let words = ["herd", "import", "cows.csv", "--herd", "Alder Brook"];
        fails(folder.path(), &words, FILE, &[&["cows.csv"], says].concat());
        assert!(!folder.path().join("hornrule.db").exists(), "{list}");
    }
    let missing = ["herd", "import", "none.csv", "--herd", "Alder Brook"];
    fails(folder.path(), &missing, 1, &["none.csv"]);
}

#[test]
fn stories_and_sessions_with_a_mistake_name_the_line() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("day.story"), "power on\nkeys COW 5 MOO\n").unwrap();
    let words = ["handheld", "--flash", "f", "--story", "day.story"];
    fails(folder.path(), &words, FILE, &["day.story", "line 2", "MOO"]);
    fs::write(folder.path().join("day.session"), "hornrule session 1\n> 00\n< zz\n").unwrap();
    let words = ["pull", "--port", "replay:day.session"];
    fails(folder.path(), &words, FILE, &["day.session", "line 3"]);
    fs::write(folder.path().join("flash"), "short").unwrap();
    fails(folder.path(), &["handheld", "--flash", "flash"], 1, &["flash", "not a flash"]);
}

#[test]
fn words_that_are_no_command() {
    let folder = tempfile::tempdir().unwrap();
    for words in [&["moo"][..], &["pull", "--port"], &["report", "visit", "--day", "tomorrow"]] {
        assert_eq!(hornrule(folder.path(), words).status.code(), Some(2), "{words:?}");
    }
}
