//! `hornrule due --sheets`: a sheet for each farmer, in the farm's own language.

use std::path::Path;

use super::super::Failure;
use super::super::folder::Folder;
use super::super::paper::PaperOptions;
use hornrule_facts::Practice;
use hornrule_herd::Database;
use hornrule_papers::due;
use hornrule_questions::due::DueList;

/// Writes them into a folder, which is made where it is not there.
pub(super) fn write(
    folder: &Path,
    herd: &Database,
    list: &DueList,
    (paper, practice): (&PaperOptions, &Practice),
) -> Result<(), Failure> {
    let pdf = cfg!(feature = "pdf");
    let mut folder = Folder::at(folder.to_owned(), pdf)?;
    let farms = herd.herds()?;
    for (id, list) in list.by_farm() {
        let Some(farm) = farms.iter().find(|farm| farm.herd == id) else { continue };
        let words = paper.words(&farm.settings).with_trial_ways(herd.trial_ways()?);
        let of = (Some(farm.name.as_str()), practice);
        let page = due::page(&list, &words, paper.paper(&farm.settings), of);
        let name = format!("due-{}-{}", id.number(), slug(&farm.name));
        folder.page(&name, &page, true)?;
        let file = folder.path().join(name);
        println!("sheet     {}", file.with_extension("html").display());
        if pdf {
            println!("sheet     {}", file.with_extension("pdf").display());
        }
    }
    Ok(())
}

/// A farm's name as a part of a file's name: letters and digits, and a dash for all else.
fn slug(name: &str) -> String {
    let dashed = name.chars().map(|c| if c.is_alphanumeric() { c } else { '-' });
    dashed.collect::<String>().to_lowercase()
}
