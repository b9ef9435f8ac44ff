//! The README's commands, run, and their output, compared.

use std::fs;
use std::path::Path;

#[test]
fn readme_commands_do_what_it_shows() {
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().join("README.md");
    let folder = tempfile::tempdir().unwrap();
    // A copy with a folder `README.in` beside it: the commands run there and leave nothing behind.
    let copy = folder.path().join("README.md");
    fs::copy(readme, &copy).unwrap();
    fs::create_dir(folder.path().join("README.in")).unwrap();
    trycmd::TestCases::new()
        .register_bin("hornrule", Path::new(env!("CARGO_BIN_EXE_hornrule")))
        .case(copy);
}
