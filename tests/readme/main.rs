//! README.md does what it says, and DEVELOPERS.md lists what is there.

mod kit;

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

fn read(name: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// The commands of the README's `sh` blocks, `cargo install` left out.
fn commands() -> Vec<String> {
    let readme = read("README.md");
    let blocks = readme
        .split("```sh\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap());
    blocks
        .flat_map(str::lines)
        .flat_map(|line| line.split(" && "))
        .map(str::trim)
        .filter(|line| !line.is_empty() && !line.starts_with("cargo "))
        .map(str::to_owned)
        .collect()
}

/// Splits a shell line: words, with double quotes and `\"` inside them.
fn words(line: &str) -> Vec<String> {
    let (mut out, mut word, mut quoted) = (Vec::new(), String::new(), false);
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' => quoted = !quoted,
            '\\' if quoted && letters.peek() == Some(&'"') => word.extend(letters.next()),
            ' ' if !quoted => out.push(std::mem::take(&mut word)),
            other => word.push(other),
        }
    }
    out.push(word);
    out.retain(|word| !word.is_empty());
    out
}

#[test]
fn every_command_of_the_readme_runs() {
    let folder = tempfile::tempdir().unwrap();
    let commands = commands();
    assert!(
        commands.len() >= 8,
        "only {} commands found",
        commands.len()
    );
    for line in commands {
        let words = words(&line);
        // What is echoed into a command is its input.
        let (input, words) = match words.iter().position(|word| word == "|") {
            Some(at) if words[0] == "echo" => (words[1..at].join(" "), &words[at + 1..]),
            _ => (String::new(), &words[..]),
        };
        assert_eq!(words[0], "markwright", "{line}");
        let mut child = Command::new(env!("CARGO_BIN_EXE_markwright"))
            .args(&words[1..])
            .current_dir(folder.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A command that wants no input may have ended.
        let _ = writeln!(child.stdin.take().unwrap(), "{input}");
        let run = child.wait_with_output().unwrap();
        let talk = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(run.status.success(), "{line}\n{talk}");
        let silent = run.stdout.is_empty() && talk.is_empty();
        assert!(!silent, "{line} says nothing");
    }
}

#[test]
fn the_readme_opens_with_the_job_a_picture_and_a_command() {
    let readme = read("README.md");
    let line_of = |mark: &str| {
        readme
            .lines()
            .position(|line| line.starts_with(mark))
            .unwrap()
            + 1
    };
    assert!(line_of("![") < line_of("```sh"));
    assert!(line_of("```sh") <= 15);
    let picture = readme
        .split("](")
        .nth(1)
        .unwrap()
        .split(')')
        .next()
        .unwrap();
    assert!(
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join(picture)
            .is_file(),
        "{picture}"
    );
}

#[test]
fn every_link_leads_somewhere() {
    for document in [
        "README.md",
        "DEVELOPERS.md",
        "sensors/README.md",
        "charts/README.md",
    ] {
        let text = read(document);
        for link in text
            .split("](")
            .skip(1)
            .map(|rest| rest.split(')').next().unwrap())
        {
            if !link.contains("://") {
                let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(document);
                assert!(
                    path.parent().unwrap().join(link).exists(),
                    "{document}: {link}"
                );
            }
        }
    }
}

#[test]
fn the_list_of_folders_is_the_list_of_folders() {
    let developers = read("DEVELOPERS.md");
    let listed: Vec<&str> = developers
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .filter_map(|line| line.split("/`").next())
        .collect();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for folder in &listed {
        assert!(root.join(folder).is_dir(), "{folder} is not there");
    }
    for entry in fs::read_dir(root.join("src")).unwrap() {
        let entry = entry.unwrap();
        if entry.path().is_dir() {
            let name = format!("src/{}", entry.file_name().to_string_lossy());
            assert!(
                listed.contains(&name.as_str()),
                "{name} is not listed in DEVELOPERS.md"
            );
        }
    }
}
