//! Makes the closed list of texts from the English files: one variant a message, its blanks as fields.
//!
//! ```text
//! src/words/en/*.ftl --(ids, blanks)--> OUT_DIR/say.rs: enum Say, TEXTS
//! ```
//!
//! So a text that is asked for and not there, or a blank that is left empty, does not compile. The
//! files named `codes.ftl` are left out: their ids are made from the numbers of the code tables.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs};

const LANGUAGES: [&str; 2] = ["en", "de"];
const CODES: &str = "codes.ftl";

/// A message: its blanks in the order of the alphabet, and its text for the documentation.
#[derive(Default)]
struct Message {
    blanks: Vec<String>,
    text: String,
}

fn main() -> Result<(), Box<dyn Error>> {
    let words = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?).join("src/words");
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed={}", words.display());
    let mut messages = BTreeMap::new();
    let mut texts = String::new();
    for language in LANGUAGES {
        let files = files(&words.join(language))?;
        writeln!(texts, "pub(super) const {}: &[&str] = &[", language.to_uppercase())?;
        for file in &files {
            println!("cargo::rerun-if-changed={}", file.display());
            writeln!(texts, "    include_str!({:?}),", file.display().to_string())?;
            if language == LANGUAGES[0] && !file.ends_with(CODES) {
                read(&fs::read_to_string(file)?, &mut messages);
            }
        }
        texts.push_str("];\n");
    }
    let out = PathBuf::from(env::var("OUT_DIR")?).join("say.rs");
    fs::write(out, format!("{texts}{}", say(&messages)?))?;
    Ok(())
}

fn files(folder: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|end| end == "ftl") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}

/// A message begins in the first column and goes on in indented lines.
fn read(text: &str, messages: &mut BTreeMap<String, Message>) {
    let mut current: Option<String> = None;
    for line in text.lines() {
        if line.starts_with(|c: char| c.is_ascii_lowercase()) {
            current = line.split_once('=').map(|(id, _)| id.trim().to_owned());
        } else if !line.starts_with([' ', '\t', '}', '[', '*']) {
            current = None;
        }
        let Some(id) = &current else { continue };
        let message = messages.entry(id.clone()).or_default();
        message.text.push_str(line.split_once(" = ").map_or(line.trim(), |(_, text)| text));
        message.text.push(' ');
        for part in line.split('$').skip(1) {
            let blank: String =
                part.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
            if !message.blanks.contains(&blank) {
                message.blanks.push(blank);
            }
        }
        message.blanks.sort();
    }
}

/// "cows-seen" becomes "CowsSeen".
fn variant(id: &str) -> String {
    let capital = |part: &str| {
        let mut letters = part.chars();
        letters.next().map_or_else(String::new, |first| {
            format!("{}{}", first.to_ascii_uppercase(), letters.as_str())
        })
    };
    id.split('-').map(capital).collect()
}

fn say(messages: &BTreeMap<String, Message>) -> Result<String, std::fmt::Error> {
    let (mut variants, mut ids, mut fills) = (String::new(), String::new(), String::new());
    for (id, message) in messages {
        let (name, blanks) = (variant(id), message.blanks.join(", "));
        // A variant's brackets are no link.
        let doc = message.text.trim().replace('[', "\\[").replace(']', "\\]");
        writeln!(variants, "    #[doc = {doc:?}]")?;
        if message.blanks.is_empty() {
            writeln!(variants, "    {name},")?;
            writeln!(ids, "            Self::{name} => {id:?},")?;
            writeln!(fills, "            Self::{name} => {{}}")?;
            continue;
        }
        writeln!(variants, "    {name} {{")?;
        for blank in &message.blanks {
            writeln!(
                variants,
                "        #[doc = \"Fills `{blank}`.\"]\n        {blank}: Blank<'a>,"
            )?;
        }
        writeln!(variants, "    }},")?;
        writeln!(ids, "            Self::{name} {{ .. }} => {id:?},")?;
        writeln!(fills, "            Self::{name} {{ {blanks} }} => {{")?;
        for blank in &message.blanks {
            writeln!(fills, "                args.set({blank:?}, {blank});")?;
        }
        writeln!(fills, "            }}")?;
    }
    let all: Vec<String> = messages
        .iter()
        .map(|(id, message)| format!("({id:?}, {:?}, &{:?})", variant(id), message.blanks))
        .collect();
    Ok(format!(
        "/// Every text that a page may say, with its blanks.\n\
         #[derive(Clone, Debug)]\npub enum Say<'a> {{\n{variants}}}\n\n\
         impl<'a> Say<'a> {{\n    fn id(&self) -> &'static str {{\n        match self {{\n{ids}        }}\n    }}\n\n\
             fn fill(self, args: &mut FluentArgs<'a>) {{\n        match self {{\n{fills}        }}\n    }}\n}}\n\n\
         /// Id, variant and blanks of each.\n#[cfg(test)]\npub(super) const ALL: &[(&str, &str, &[&str])] = &[{}];\n",
        all.join(", ")
    ))
}
