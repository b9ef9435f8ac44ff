//! A folder of papers: pages as HTML and PDF, and what stands beside them.

use std::path::{Path, PathBuf};

use super::{Failure, paper};
use hornrule_facts::Herd;
use hornrule_files::{input, output};
use hornrule_papers::page::Page;

/// A folder, how its pages are written, and what became of its files.
pub(super) struct Folder {
    path: PathBuf,
    pdf: bool,
    /// Files written.
    pub(super) written: u32,
    /// Files that held the same bytes before.
    pub(super) as_before: u32,
}

impl Folder {
    /// The folder; made where it is missing. `pdf` asks for PDF beside HTML.
    pub(super) fn at(path: PathBuf, pdf: bool) -> Result<Self, Failure> {
        output::folder(&path)?;
        Ok(Self { path, pdf, written: 0, as_before: 0 })
    }

    /// Where it is.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Puts a page in, under a name without its ending; `for_print` has a PDF where PDF is asked for.
    pub(super) fn page(&mut self, name: &str, page: &Page, for_print: bool) -> Result<(), Failure> {
        self.file(&format!("{name}.html"), page.render_html().as_bytes())?;
        if self.pdf && for_print {
            self.file(&format!("{name}.pdf"), &paper::pdf(page)?)?;
        }
        Ok(())
    }

    /// Puts a file in; one that has these bytes already is left alone.
    pub(super) fn file(&mut self, name: &str, bytes: &[u8]) -> Result<(), Failure> {
        let file = self.path.join(name);
        if input::read(&file, input::BY_PROGRAM).is_ok_and(|there| there == bytes) {
            self.as_before += 1;
            return Ok(());
        }
        output::write(&file, bytes)?;
        self.written += 1;
        Ok(())
    }
}

/// The name of a farm's own folder among those of all farms: small letters and digits, the rest as
/// "-", so that no name leads out of the folder; with the herd's number where two would share one.
pub(super) fn name_of(farm: &Herd, all: &[Herd]) -> String {
    let plain = |name: &str| -> String {
        let dash = |c: char| if c.is_alphanumeric() { c } else { '-' };
        name.to_lowercase().chars().map(dash).collect()
    };
    let name = plain(&farm.name);
    if all.iter().any(|other| other.herd != farm.herd && plain(&other.name) == name) {
        format!("{name}-{}", farm.herd.0)
    } else {
        name
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_facts::{FarmSettings, HerdId};

    #[test]
    fn a_farms_folder_is_its_own_and_stays_inside() {
        let farm = |herd, name: &str| Herd {
            herd: HerdId(herd),
            name: name.to_owned(),
            farm: None,
            zone: "UTC".to_owned(),
            settings: FarmSettings::default(),
        };
        let names = ["Larch Meadow", "../Höfe", "a b", "A-B", "..", "CON/x"];
        let all: Vec<Herd> = (1..).zip(names).map(|(herd, name)| farm(herd, name)).collect();
        let folders: Vec<String> = all.iter().map(|farm| name_of(farm, &all)).collect();
        assert_eq!(folders, ["larch-meadow", "---höfe", "a-b-3", "a-b-4", "--", "con-x"]);
    }

    #[test]
    fn the_same_bytes_are_left_alone() {
        let there = tempfile::tempdir().unwrap();
        let mut folder = Folder::at(there.path().join("a/b"), false).unwrap();
        for bytes in ["x", "x", "y"] {
            folder.file("f.csv", bytes.as_bytes()).unwrap();
        }
        assert_eq!((folder.written, folder.as_before), (2, 1));
    }
}
