//! Makes the closed list of texts from the English files: one variant a message, its blanks as
//! fields.
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

use fluent_syntax::{ast, parser};

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
                read(&fs::read_to_string(file)?, &mut messages)?;
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

/// Reads a file with the language's own parser: each message, its blanks, and its text as written.
fn read(text: &str, messages: &mut BTreeMap<String, Message>) -> Result<(), Box<dyn Error>> {
    let resource = parser::parse(text).map_err(|(_, errors)| format!("{errors:?}"))?;
    for entry in &resource.body {
        let ast::Entry::Message(one) = entry else { continue };
        let message = messages.entry(one.id.name.to_owned()).or_default();
        let Some(value) = &one.value else { continue };
        blanks(value, &mut message.blanks);
        message.blanks.sort();
        message.text = written(text, one.id.name);
    }
    Ok(())
}

/// The names of the blanks in a pattern, each once.
fn blanks(pattern: &ast::Pattern<&str>, found: &mut Vec<String>) {
    for element in &pattern.elements {
        let ast::PatternElement::Placeable { expression } = element else { continue };
        match expression {
            ast::Expression::Inline(inline) => of_inline(inline, found),
            ast::Expression::Select { selector, variants } => {
                of_inline(selector, found);
                variants.iter().for_each(|variant| blanks(&variant.value, found));
            }
        }
    }
}

fn of_inline(inline: &ast::InlineExpression<&str>, found: &mut Vec<String>) {
    match inline {
        ast::InlineExpression::VariableReference { id }
            if !found.iter().any(|name| name == id.name) =>
        {
            found.push(id.name.to_owned());
        }
        ast::InlineExpression::Placeable { expression } => {
            if let ast::Expression::Inline(inline) = &**expression {
                of_inline(inline, found);
            }
        }
        _ => {}
    }
}

/// The first line of a message's text, for the documentation of its variant; its id where the text
/// begins on a line of its own.
fn written(text: &str, id: &str) -> String {
    let start = format!("{id} = ");
    text.lines().find_map(|line| line.strip_prefix(&start)).unwrap_or(id).to_owned()
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
