//! `print`: sheets into a folder, whole or not at all.

mod jobs;
mod plots;

use std::path::Path;

use serde::Serialize;

use super::args::{As, Look, Orientation, PrintArgs, PrintForm, What};
use super::kit::{self, Opened};
use super::wish::{Basis, Reader};
use super::world::{self, NewFile, Replace};
use crate::data::{Fault, Kind, Severity, shortened};
use crate::draw::card::Ground;
use crate::draw::plot::Lie;
use crate::draw::{self, Paper};
use crate::export::{Exporter, Letters, Pdf, Resolution, to_png, to_svg};
use crate::gear::{PrintPrefs, Sides};
use crate::scene::{Correction, Page};
use crate::sheets::{RulerSheet, StripRuler};
use jobs::{Made, Skipped};

/// What was printed.
#[derive(Serialize)]
struct PrintAnswer {
    files: Vec<String>,
    sheets: Vec<Made>,
    skipped: Vec<Skipped>,
    assumptions: Vec<crate::gear::Assumption>,
}

/// One document: its name and its pages.
struct Document {
    name: &'static str,
    title: &'static str,
    pages: Vec<Page>,
}

/// How everything is to be drawn.
struct Prefs {
    paper: Paper,
    sides: Sides,
    correction: Correction,
    ground: Ground,
    lie: Lie,
}

/// Draws what is wanted and writes it.
pub(super) fn run(args: &PrintArgs) -> Result<(), Vec<Fault>> {
    let what = wanted_sheets(args);
    let needs_lens = what
        .iter()
        .any(|what| matches!(what, What::Tapes | What::Cards | What::Plots));
    let opened = kit::open(&args.output)?;
    let basis = opened
        .as_ref()
        .map_or_else(Basis::default, |opened| opened.basis(None));
    let mut reader = Reader::new(&args.output, &basis);
    let prefs = prefs(args, opened.as_ref(), &mut reader);
    let jobs = if needs_lens {
        jobs::collect(args, opened.as_ref(), &basis, &mut reader)
    } else {
        Vec::new()
    };
    let wishes = plots::wishes(args, &what, &mut reader);
    reader.done()?;
    let Some(prefs) = prefs else {
        return Err(Vec::new());
    };
    let mut documents = Vec::new();
    let mut made = Vec::new();
    let mut skipped = Vec::new();
    for &what in &what {
        documents.push(match what {
            What::Tapes => {
                let pages = jobs::tapes(&jobs, &prefs, &mut made, &mut skipped)?;
                Document {
                    name: "tapes",
                    title: "Tapes",
                    pages,
                }
            }
            What::Cards => {
                let pages = jobs::cards(&jobs, &prefs, &mut made, &mut skipped);
                Document {
                    name: "cards",
                    title: "Cards",
                    pages,
                }
            }
            What::Plots => {
                let pages = plots::draw(&jobs, &wishes, &prefs, &mut made, &mut skipped);
                Document {
                    name: "plots",
                    title: "Plots",
                    pages,
                }
            }
            What::StripRuler => {
                let page = draw::strip_ruler::draw(&StripRuler::new(), &prefs.paper);
                let pages = vec![page.with_correction(prefs.correction)];
                Document {
                    name: "strip-ruler",
                    title: "Strip rulers",
                    pages,
                }
            }
            What::Ruler => {
                let page = draw::ruler_sheet::draw(&RulerSheet, &prefs.paper);
                let pages = vec![page.with_correction(prefs.correction)];
                Document {
                    name: "ruler",
                    title: "Printer test",
                    pages,
                }
            }
        });
    }
    // A lens asked for by name must be printed; in a whole set one may be wanting.
    let by_name = !args.setup.lens.is_empty() || args.setup.focal.is_some();
    documents.retain(|document| !document.pages.is_empty());
    if documents.is_empty() || (by_name && !skipped.is_empty()) {
        return Err(skipped.into_iter().map(Skipped::into_fault).collect());
    }
    let files = files(&args.out, args.to, &documents);
    let names = files
        .iter()
        .map(|file| file.path.display().to_string())
        .collect();
    let replace = if args.replace {
        Replace::Carrying(MAKER_WORD)
    } else {
        Replace::Never
    };
    world::write_all(files, replace)?;
    let answer = PrintAnswer {
        files: names,
        sheets: made,
        skipped,
        assumptions: jobs::assumptions(&jobs),
    };
    tell(args, &what, &answer)
}

/// The word every file of ours carries, whatever its version.
const MAKER_WORD: &str = "markwright ";

fn wanted_sheets(args: &PrintArgs) -> Vec<What> {
    let mut what = args.what.clone();
    if what.is_empty() {
        what = vec![What::Tapes, What::Cards];
    }
    what.sort();
    what.dedup();
    what
}

fn prefs(args: &PrintArgs, opened: Option<&Opened>, reader: &mut Reader) -> Option<Prefs> {
    let kit = opened.map_or_else(PrintPrefs::default, |opened| opened.kit.print.clone());
    let name = args.paper.as_ref().unwrap_or(&kit.paper);
    let paper = Paper::named(&name.trim().to_lowercase());
    if paper.is_none() {
        let known: Vec<&str> = Paper::all().iter().map(Paper::id).collect();
        let message = format!("no paper is called \"{}\"", shortened(name));
        reader.faults.push(
            Fault::new(Kind::UnknownId, message)
                .at_flag("--paper")
                .with_help(format!("choose one of {}", known.join(", "))),
        );
    }
    let sides = match args.side.as_deref() {
        None => Some(kit.side),
        Some("left") => Some(Sides::Left),
        Some("right") => Some(Sides::Right),
        Some("both") => Some(Sides::Both),
        Some(other) => {
            let message = format!("\"{}\" is no side of a camera", shortened(other));
            reader.faults.push(
                Fault::new(Kind::Usage, message)
                    .at_flag("--side")
                    .with_help("choose left, right or both"),
            );
            None
        }
    };
    let ground = match args.look {
        Look::Light => Ground::Light,
        Look::Dark => Ground::Dark,
    };
    let lie = match args.orientation.unwrap_or_default() {
        Orientation::Landscape => Lie::Landscape,
        Orientation::Portrait => Lie::Portrait,
    };
    let [horizontal, vertical] = kit.printed_100mm;
    let correction = Correction::from_printed_100mm(horizontal, vertical)
        .map_err(|fault| {
            reader
                .faults
                .push(Fault::new(Kind::OutOfRange, fault.to_string()))
        })
        .ok();
    Some(Prefs {
        paper: paper?.clone(),
        sides: sides?,
        correction: correction?,
        ground,
        lie,
    })
}

fn files<'a>(out: &Path, form: PrintForm, documents: &'a [Document]) -> Vec<NewFile<'a>> {
    let mut files = Vec::new();
    for document in documents {
        let numbered =
            |ending: &str, i: usize| out.join(format!("{}-{:02}.{ending}", document.name, i + 1));
        match form {
            PrintForm::Pdf => files.push(NewFile {
                path: out.join(format!("{}.pdf", document.name)),
                content: Box::new(|out| {
                    let mut pdf = Pdf::new(out, document.title)?;
                    document.pages.iter().try_for_each(|page| pdf.page(page))?;
                    pdf.finish()
                }),
            }),
            PrintForm::Svg => {
                files.extend(document.pages.iter().enumerate().map(|(i, page)| NewFile {
                    path: numbered("svg", i),
                    content: Box::new(|out| out.write_all(to_svg(page, Letters::Text).as_bytes())),
                }))
            }
            PrintForm::Png => {
                files.extend(document.pages.iter().enumerate().map(|(i, page)| NewFile {
                    path: numbered("png", i),
                    content: Box::new(|out| out.write_all(&to_png(page, Resolution::PRINT)?)),
                }))
            }
        }
    }
    files
}

fn tell(args: &PrintArgs, what: &[What], answer: &PrintAnswer) -> Result<(), Vec<Fault>> {
    if args.output.form == As::Text && !args.output.quiet {
        for skipped in &answer.skipped {
            let fault = Fault {
                severity: Severity::Warning,
                ..skipped.clone().into_fault()
            };
            world::remark(&super::fail::in_words(&fault), args.output.color);
        }
    }
    let words = || {
        let mut out = String::new();
        for file in &answer.files {
            out.push_str(&format!("{file}\n"));
        }
        // Plots are of no scale.
        out.push_str(if what == [What::Plots] {
            "check against a tape before use\n"
        } else {
            "print at 100 % (\"actual size\"), measure the page's ruler, then cut; check against a \
             tape before use\n"
        });
        out
    };
    super::answer(
        &args.output,
        answer,
        &answer.sheets,
        &crate::formula::Steps::new(),
        words,
    )
}
