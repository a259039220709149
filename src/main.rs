//! The `markwright` command.

fn main() {}
