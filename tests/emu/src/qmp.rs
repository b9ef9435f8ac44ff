//! QEMU's machine protocol: one JSON object per line.

use std::io::{BufRead, BufReader, Write};
use std::os::unix::net::UnixStream;
use std::path::Path;

use serde_json::{Value, json};

/// A session.
#[derive(Debug)]
pub(crate) struct Qmp {
    reader: BufReader<UnixStream>,
}

impl Qmp {
    pub(crate) fn new(stream: UnixStream) -> Self {
        let mut qmp = Self { reader: BufReader::new(stream) };
        qmp.line();
        qmp.ask("qmp_capabilities", json!({}));
        qmp
    }

    fn line(&mut self) -> Value {
        let mut line = String::new();
        let length = self.reader.read_line(&mut line).unwrap();
        assert!(length > 0, "QEMU hung up");
        serde_json::from_str(&line).unwrap()
    }

    /// Sends a command and waits for the answer; events in between are ignored.
    pub(crate) fn ask(&mut self, command: &str, arguments: Value) -> Value {
        let question = json!({ "execute": command, "arguments": arguments });
        writeln!(self.reader.get_mut(), "{question}").unwrap();
        loop {
            let mut answer = self.line();
            assert!(answer.get("error").is_none(), "{command}: {answer}");
            if let Some(value) = answer.get_mut("return") {
                return value.take();
            }
        }
    }

    /// Saves memory as the processor sees it. (`pmemsave` sees different memory, all zeros.)
    pub(crate) fn save(&mut self, from: u32, length: u32, file: &Path) {
        let file = file.to_str().unwrap();
        self.ask("memsave", json!({ "val": from, "size": length, "filename": file }));
    }
}
