//! Writes a page of strip rulers and a printer test page: `strips PAPER FILE`.

use std::error::Error;
use std::fs::File;
use std::io::BufWriter;

use markwright::draw::{Paper, ruler_sheet, strip_ruler};
use markwright::export::{Exporter, Pdf};
use markwright::sheets::{RulerSheet, StripRuler};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(paper), Some(file)) = (arguments.next(), arguments.next()) else {
        return Err("usage: strips PAPER FILE, as in: strips a4 strips.pdf".into());
    };
    let paper = Paper::named(&paper).ok_or("no such paper; try a4 or letter")?;
    let mut pdf = Pdf::new(BufWriter::new(File::create(file)?), "Strip rulers")?;
    pdf.page(&strip_ruler::draw(&StripRuler::new(), paper))?;
    pdf.page(&ruler_sheet::draw(&RulerSheet, paper))?;
    pdf.finish()?;
    Ok(())
}
