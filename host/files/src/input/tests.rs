use std::fs;

use super::*;

#[test]
fn a_file_is_read_as_far_as_it_may_be() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("list.csv");
    fs::write(&file, "\u{feff}number\n12\n").unwrap();
    assert_eq!(text(&file, LIST).unwrap(), "number\n12\n");
    assert!(matches!(read(&file, 5), Err(InputError::TooLarge { most: 5, .. })));
    fs::write(&file, b"number\n\xFF\n").unwrap();
    assert!(matches!(text(&file, LIST), Err(InputError::NotText { line: 2, .. })));
    assert!(read(&folder.path().join("none"), LIST).unwrap_err().is_missing());
    let told = read(folder.path(), LIST).unwrap_err().to_string();
    assert!(told.contains("is a folder"), "{told}");
}

#[cfg(unix)]
#[test]
fn a_device_is_not_read_for_ever() {
    let told = read(Path::new("/dev/zero"), LIST).unwrap_err().to_string();
    assert!(told.contains("is a device"), "{told}");
}

#[test]
fn a_line_has_an_end() {
    let mut from: &[u8] = b"one\r\n\ntwo";
    assert_eq!(line(&mut from).unwrap().as_deref(), Some("one"));
    assert_eq!(line(&mut from).unwrap().as_deref(), Some(""));
    assert_eq!(line(&mut from).unwrap().as_deref(), Some("two"));
    assert_eq!(line(&mut from).unwrap(), None);
    let long = vec![b'x'; LINE + 1];
    assert!(line(&mut &long[..]).is_err());
    assert_eq!(line(&mut &long[1..]).unwrap().unwrap().len(), LINE);
    assert!(line(&mut &b"\xFF\n"[..]).is_err());
}
