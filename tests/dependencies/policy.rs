//! Licences, where crates come from, and crates in several versions.

use std::collections::{BTreeMap, BTreeSet};

use serde::Deserialize;

use crate::packages::{BOARDS, WORKSPACES, here, locked, resolved};
use crate::spdx;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Policy {
    licence: Vec<Licence>,
    duplicate: Vec<Duplicate>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Licence {
    id: String,
    why: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Duplicate {
    #[serde(rename = "crate")]
    name: String,
    versions: Vec<String>,
    why: String,
}

fn policy() -> Policy {
    let policy: Policy = toml::from_str(include_str!("policy.toml")).unwrap();
    let reasons = policy.licence.iter().map(|one| &one.why);
    let mut reasons = reasons.chain(policy.duplicate.iter().map(|one| &one.why));
    assert!(reasons.all(|why| why.len() > 10), "each entry says why");
    policy
}

#[test]
fn licences_are_allowed() {
    let policy = policy();
    let known = |name: &str| policy.licence.iter().any(|one| one.id == name);
    let here = here();
    let office = [(".", here.as_str())];
    let mut used = BTreeSet::new();
    let mut looked = 0;
    for (workspace, platform) in office.into_iter().chain(BOARDS) {
        for package in resolved(workspace, platform).packages {
            let about = format!("{workspace}: {} {}", package.name, package.version);
            let expression = package.license.unwrap_or_else(|| panic!("{about} names no licence"));
            used.extend(expression.split([' ', '/', '(', ')']).map(str::to_owned));
            let allowed = spdx::allowed(&expression, &known);
            assert_eq!(allowed, Ok(true), "{about} is under {expression}");
            looked += 1;
        }
    }
    assert!(looked > 500, "{looked} packages");
    for one in &policy.licence {
        let words = one.id.split(' ').all(|word| used.contains(word));
        assert!(words, "nothing is under {} any more", one.id);
    }
    eprintln!("{looked} packages");
}

#[test]
fn every_crate_comes_from_the_one_registry() {
    // Read once from Cargo itself: what it calls the default registry.
    let here = here();
    let registry = resolved(".", &here)
        .packages
        .into_iter()
        .filter_map(|package| package.source)
        .find(cargo_metadata::Source::is_crates_io)
        .unwrap();
    for workspace in WORKSPACES {
        for package in locked(workspace) {
            let about = format!("{workspace}: {} {}", package.name, package.version);
            match package.source {
                None => assert!(package.name.starts_with("hornrule"), "{about} is a local crate"),
                Some(source) => {
                    assert_eq!(source, registry.repr, "{about} comes from elsewhere");
                    let sum = package.checksum.unwrap_or_default();
                    assert_eq!(sum.len(), 64, "{about} has no checksum");
                }
            }
        }
    }
}

#[test]
fn several_versions_of_a_crate_have_a_reason() {
    let policy = policy();
    let reasoned: BTreeMap<&str, BTreeSet<&str>> = policy
        .duplicate
        .iter()
        .map(|one| (one.name.as_str(), one.versions.iter().map(String::as_str).collect()))
        .collect();
    assert_eq!(reasoned.len(), policy.duplicate.len(), "a crate stands twice in the list");
    let mut seen: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for workspace in WORKSPACES {
        let mut versions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for package in locked(workspace) {
            versions.entry(package.name).or_default().insert(series(&package.version));
        }
        for (name, versions) in versions.into_iter().filter(|(_, versions)| versions.len() > 1) {
            let listed = reasoned.get(name.as_str());
            let all = listed.is_some_and(|ours| versions.iter().all(|one| ours.contains(&**one)));
            assert!(all, "{workspace}: {name} in {versions:?}; mend that, or say why it may be");
            seen.entry(name).or_default().extend(versions);
        }
    }
    for (name, versions) in reasoned {
        let still: BTreeSet<&str> =
            seen.get(name).into_iter().flatten().map(String::as_str).collect();
        assert_eq!(versions, still, "{name} is no longer there in all these versions");
    }
}

/// What Cargo holds to be compatible: "1", "0.32". An update within it needs no new reason.
fn series(version: &str) -> String {
    let mut parts = version.split(['.', '+']);
    let first = parts.next().unwrap();
    match (first, parts.next()) {
        ("0", Some(second)) => format!("0.{second}"),
        _ => first.to_owned(),
    }
}
