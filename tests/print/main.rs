//! Reads our own pages back and measures them.

mod card;
mod checks;
mod disc;
mod disc_many;
mod disc_measure;
mod driven;
mod face;
mod formats;
mod lenses;
mod many;
mod measure;
mod outside;
mod pages;
mod pictures;
mod plot;
mod prep_form;
mod prep_report;
mod reader;
mod ring_strip;
mod sets;
mod strip;
mod tape;
mod target;
