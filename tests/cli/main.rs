//! The command as a program calls it: keys, exit codes, where words go.

mod faults;
mod run;

mod arithmetic;
mod contract;
mod kit;
mod plots;
mod ring;
