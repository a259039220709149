//! The `markwright` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    markwright::cli::run(std::env::args_os())
}
