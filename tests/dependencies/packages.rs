//! What the programs are built from: as Cargo resolves it, and as the lock files hold it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use cargo_metadata::{DependencyKind, Metadata, MetadataCommand, Package};
use serde::Deserialize;

/// Lock files of all workspaces: the office, and a board each.
pub(crate) const WORKSPACES: [&str; 4] =
    [".", "firmware/board-emu", "firmware/board-nrf52833", "firmware/board-rp2040"];

/// Platforms that the boards are built for, as `./check` does.
pub(crate) const BOARDS: [(&str, &str); 3] = [
    ("firmware/board-emu", "thumbv6m-none-eabi"),
    ("firmware/board-nrf52833", "thumbv7em-none-eabihf"),
    ("firmware/board-rp2040", "thumbv6m-none-eabi"),
];

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

/// A package as a lock file has it.
#[derive(Clone, Debug, Deserialize)]
pub(crate) struct Locked {
    pub(crate) name: String,
    pub(crate) version: String,
    pub(crate) source: Option<String>,
    pub(crate) checksum: Option<String>,
}

pub(crate) fn locked(workspace: &str) -> Vec<Locked> {
    #[derive(Deserialize)]
    struct Lock {
        package: Vec<Locked>,
    }
    let file = root().join(workspace).join("Cargo.lock");
    let lock: Lock = toml::from_str(&std::fs::read_to_string(file).unwrap()).unwrap();
    lock.package
}

/// What Cargo makes of a workspace on a platform. It may fetch crates that are not here yet, as any
/// build does.
pub(crate) fn resolved(workspace: &str, platform: &str) -> Metadata {
    MetadataCommand::new()
        .manifest_path(root().join(workspace).join("Cargo.toml"))
        .other_options(["--locked", "--filter-platform", platform].map(str::to_owned))
        .exec()
        .unwrap()
}

/// The platform that the tests run on.
pub(crate) fn here() -> String {
    let said = std::process::Command::new("rustc").arg("-vV").output().unwrap();
    let said = String::from_utf8(said.stdout).unwrap();
    said.lines().find_map(|line| line.strip_prefix("host: ")).unwrap().to_owned()
}

/// Crates of others that end up in a program: not those that only build it or test it.
pub(crate) fn shipped(metadata: &Metadata, program: &str) -> BTreeMap<(String, String), Package> {
    let resolve = metadata.resolve.as_ref().unwrap();
    let is = |name: &str| metadata.packages.iter().find(|one| *one.name == name).unwrap();
    let (mut waiting, mut seen) = (vec![is(program).id.clone()], Vec::new());
    let mut found = BTreeMap::new();
    while let Some(id) = waiting.pop() {
        if seen.contains(&id) {
            continue;
        }
        seen.push(id.clone());
        let package = &metadata[&id];
        if package.targets.iter().any(cargo_metadata::Target::is_proc_macro) {
            continue;
        }
        if package.source.is_some() {
            let name = (package.name.to_string(), package.version.to_string());
            found.insert(name, package.clone());
        }
        let node = resolve.nodes.iter().find(|node| node.id == id).unwrap();
        let normal = node
            .deps
            .iter()
            .filter(|dep| dep.dep_kinds.iter().any(|kind| kind.kind == DependencyKind::Normal));
        waiting.extend(normal.map(|dep| dep.pkg.clone()));
    }
    found
}
