//! Runs the built command.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// What a run gave.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// The answer as JSON; the run must have gone well.
    pub fn json(&self) -> Value {
        assert_eq!(self.code, 0, "{}", self.err);
        serde_json::from_str(&self.out).unwrap_or_else(|_| panic!("no JSON: {}", self.out))
    }

    /// The one error as JSON; standard output must be empty.
    pub fn error(&self) -> Value {
        assert!(self.code == 2 || self.code == 3, "exit {}", self.code);
        assert_eq!(self.out, "", "standard output is empty on an error");
        let value: Value = serde_json::from_str(&self.err).unwrap();
        value["error"].clone()
    }
}

fn ran(output: Output) -> Ran {
    Ran {
        code: output.status.code().expect("it ended by itself"),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// Runs in an empty folder, where no kit is.
pub fn markwright(args: &[&str]) -> Ran {
    let folder = tempfile::tempdir().unwrap();
    markwright_in(folder.path(), args)
}

/// Runs in a folder.
pub fn markwright_in(folder: &Path, args: &[&str]) -> Ran {
    let mut command = Command::new(env!("CARGO_BIN_EXE_markwright"));
    ran(command.args(args).current_dir(folder).output().unwrap())
}

/// Runs in a folder with lines on its standard input.
pub fn markwright_hears(folder: &Path, args: &[&str], input: &[u8]) -> Ran {
    let mut child = Command::new(env!("CARGO_BIN_EXE_markwright"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // It may end before it has heard everything.
    let _ = child.stdin.take().unwrap().write_all(input);
    ran(child.wait_with_output().unwrap())
}

/// The same with `--as json`.
pub fn in_json(args: &[&str]) -> Ran {
    markwright(&[args, &["--as", "json"]].concat())
}
