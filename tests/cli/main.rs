//! The command as a program calls it: keys, exit codes, where words go.

mod faults;
mod run;

mod arithmetic;
mod cameras;
mod cards;
mod contract;
mod corrected;
mod driven;
mod hold;
mod kinds;
mod kit;
mod lenses;
mod path_faults;
mod paths;
mod plots;
mod prep;
mod prep_plan;
mod put;
mod rack;
mod report;
mod ring;
mod steps;
mod take;
mod talk;
mod taped;
mod target;
mod waves;
