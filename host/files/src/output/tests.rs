use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use super::*;

const MAGIC: &[u8; 16] = b"SQLite format 3\0";

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// A file that begins as a database does.
fn database(folder: &Path, name: &str) -> PathBuf {
    let file = folder.join(name);
    fs::write(&file, [MAGIC.as_slice(), &[7; 4080]].concat()).unwrap();
    file
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut all: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    all.sort();
    all
}

#[test]
fn a_file_is_written_and_replaced_whole() {
    let folder = folder();
    let file = folder.path().join("page.html");
    write(&file, b"one").unwrap();
    write(&file, b"two").unwrap();
    assert_eq!(fs::read(&file).unwrap(), b"two");
    assert!(matches!(write_new(&file, b"three"), Err(OutputError::Exists { .. })));
    append(&file, b", three").unwrap();
    assert_eq!(fs::read(&file).unwrap(), b"two, three");
    assert_eq!(names(folder.path()), ["page.html"], "nothing is left beside it");
}

#[test]
fn no_database_is_written_over() {
    let folder = folder();
    let ours = database(folder.path(), "ours.db");
    let theirs = database(folder.path(), "theirs.db");
    protect(&ours);
    protect(&folder.path().join("not-yet.db"));
    fs::write(folder.path().join("ours.db-wal"), "waits").unwrap();
    fs::hard_link(&theirs, folder.path().join("second-name.csv")).unwrap();
    fs::hard_link(folder.path().join("ours.db-wal"), folder.path().join("log.csv")).unwrap();
    let before = names(folder.path());
    for (name, open) in [
        ("ours.db", true),
        ("ours.db-wal", true),
        ("ours.db-shm", true),
        ("ours.db-journal", true),
        ("not-yet.db", true),
        ("not-yet.db-wal", true),
        ("log.csv", true),
        ("theirs.db", false),
        ("theirs.db-wal", false),
        ("theirs.db-journal", false),
        ("second-name.csv", false),
    ] {
        let file = folder.path().join(name);
        for refused in
            [write(&file, b"x"), append(&file, b"x"), check(&file), Stream::open(&file).map(drop)]
        {
            let error = refused.unwrap_err();
            let told = matches!(error, OutputError::OpenDatabase { .. });
            assert!(told || matches!(error, OutputError::Database { .. }), "{name}: {error}");
            assert_eq!(told, open, "{name}: {error}");
        }
    }
    assert_eq!(names(folder.path()), before);
    assert!(fs::read(&theirs).unwrap().starts_with(MAGIC));
    // A log that lost its database is one too.
    let stray = folder.path().join("stray");
    fs::write(&stray, [&[0x37, 0x7F, 0x06, 0x82][..], &[0; 28]].concat()).unwrap();
    assert!(matches!(write(&stray, b"x"), Err(OutputError::Database { .. })));
}

#[test]
fn only_files_are_written() {
    let folder = folder();
    let told = |path: &Path| write(path, b"x").unwrap_err().to_string();
    assert!(told(folder.path()).contains("is a folder"));
    assert!(told(&folder.path().join("new/")).contains("is a folder"));
    assert!(told(Path::new("")).contains("names no file"));
    assert!(told(Path::new("-")).contains("names no file"));
    assert!(told(&folder.path().join("none/page.html")).contains("folder exists"));
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    assert!(matches!(super::folder(&file), Err(OutputError::NotAFolder { .. })));
    super::folder(&folder.path().join("a/b")).unwrap();
    assert!(folder.path().join("a/b").is_dir());
}

/// A database that appears under the name while the bytes are being written stays.
#[test]
fn what_appears_meanwhile_stays() {
    let folder = folder();
    let file = folder.path().join("day.session");
    let place = place(&file).unwrap();
    let mut part = part(&place, &file).unwrap();
    part.write_all(b"a page").unwrap();
    database(folder.path(), "day.session");
    assert!(matches!(settle(part, &place, &file), Err(OutputError::Database { .. })));
    assert!(fs::read(&file).unwrap().starts_with(MAGIC));
    assert_eq!(names(folder.path()), ["day.session"]);
}

#[test]
fn a_stream_has_its_name_at_once_or_replaces_at_the_end() {
    let folder = folder();
    let file = folder.path().join("day.session");
    let mut stream = Stream::open(&file).unwrap();
    stream.write_all(b"first").unwrap();
    assert_eq!(fs::read(&file).unwrap(), b"first");
    stream.finish().unwrap();
    let mut stream = Stream::open(&file).unwrap();
    stream.write_all(b"second").unwrap();
    assert_eq!(fs::read(&file).unwrap(), b"first");
    stream.finish().unwrap();
    assert_eq!(fs::read(&file).unwrap(), b"second");
}

#[test]
fn a_kept_file_never_takes_a_name_that_is_taken() {
    let folder = folder();
    let (file, kept) = (folder.path().join("one"), folder.path().join("kept"));
    fs::write(&file, "one").unwrap();
    keep_as(&file, &kept).unwrap();
    fs::write(&file, "changed").unwrap();
    let again = keep_as(&file, &kept).unwrap_err();
    assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};
    use std::os::unix::net::UnixListener;

    use super::*;

    fn mode(file: &Path) -> u32 {
        fs::metadata(file).unwrap().permissions().mode() & 0o777
    }

    #[test]
    fn modes_are_kept_and_private_files_are_private() {
        let folder = folder();
        let file = folder.path().join("page.html");
        fs::write(&file, "old").unwrap();
        fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
        write(&file, b"new").unwrap();
        assert_eq!(mode(&file), 0o640);
        fs::set_permissions(&file, fs::Permissions::from_mode(0o444)).unwrap();
        assert!(matches!(write(&file, b"newer"), Err(OutputError::ReadOnly { .. })));
        assert_eq!(fs::read(&file).unwrap(), b"new");
        let herd = folder.path().join("herd.db");
        assert!(create_private(&herd).unwrap() && !create_private(&herd).unwrap());
        assert_eq!(mode(&herd), 0o600);
        assert_eq!(mode(private_beside(&herd).unwrap().path()), 0o600);
    }

    #[test]
    fn links_are_followed_to_the_file_and_never_to_a_database() {
        let folder = folder();
        let (file, link) = (folder.path().join("page.html"), folder.path().join("link.html"));
        fs::write(&file, "old").unwrap();
        symlink(&file, &link).unwrap();
        write(&link, b"new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&file).unwrap(), b"new");
        let herd = database(folder.path(), "herd.db");
        symlink(&herd, folder.path().join("out.csv")).unwrap();
        let refused = write(&folder.path().join("out.csv"), b"x");
        assert!(matches!(refused, Err(OutputError::Database { .. })));
        symlink(folder.path().join("gone"), folder.path().join("nowhere")).unwrap();
        let refused = write(&folder.path().join("nowhere"), b"x");
        assert!(matches!(refused, Err(OutputError::LinkToNothing { .. })));
        assert!(!folder.path().join("gone").exists());
    }

    #[test]
    fn devices_and_sockets_are_refused() {
        let folder = folder();
        let told = |path: &Path| write(path, b"x").unwrap_err().to_string();
        assert!(told(Path::new("/dev/null")).contains("is a device"));
        let socket = folder.path().join("socket");
        let _listens = UnixListener::bind(&socket).unwrap();
        assert!(told(&socket).contains("is a socket"));
    }

    #[test]
    fn a_full_disk_is_named() {
        let full = io::Error::from(io::ErrorKind::StorageFull);
        let told = OutputError::io(Path::new("out/page.html"))(full).to_string();
        assert!(told.contains("the disk that out/page.html is on is full"), "{told}");
    }
}
