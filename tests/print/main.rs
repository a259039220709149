//! Reads our own pages back and measures them.

mod card;
mod checks;
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
mod reader;
mod ring_strip;
mod tape;
mod target;
