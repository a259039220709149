//! `print`: sheets into a folder, whole or not at all.

mod jobs;
mod plots;
mod wheels;

use std::path::Path;

use serde::Serialize;

use super::args::{As, Look, Orientation, PrintArgs, PrintForm, What};
use super::kit::{self, Opened};
use super::prep;
use super::wish::{Basis, Reader};
use super::world::{self, Content, NewFile, Replace};
use crate::data::{Fault, Kind, Severity, shortened};
use crate::draw::card::Ground;
use crate::draw::plot::Lie;
use crate::draw::{self, Paper};
use crate::export::{Exporter, Letters, Pdf, Resolution, to_png, to_svg};
use crate::gear::{PrintPrefs, Sides};
use crate::scene::{Correction, Page};
use crate::sheets::{PrepForm, RulerSheet, StripRuler};
use jobs::{Made, Skipped};

/// What was printed.
#[derive(Serialize)]
struct PrintAnswer {
    files: Vec<String>,
    written: Vec<Written>,
    sheets: Vec<Made>,
    skipped: Vec<Skipped>,
    assumptions: Vec<crate::gear::Assumption>,
}

/// A file that was written.
#[derive(Serialize)]
struct Written {
    file: String,
    pages: usize,
    /// The codes of the sheets in it; none where a document is a file a page.
    codes: Vec<String>,
}

/// One document: its name, its pages and the codes of its sheets.
struct Document {
    name: &'static str,
    title: &'static str,
    pages: Vec<Page>,
    codes: Vec<String>,
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
    let needs_lens = what.iter().any(What::is_of_a_lens);
    let opened = kit::open_for(&args.output, &args.setup)?;
    let basis = opened
        .as_ref()
        .map_or_else(Basis::default, |opened| opened.basis(None));
    let mut reader = Reader::new(&args.output, &basis);
    let prefs = prefs(args, opened.as_ref(), &mut reader);
    let jobs = if needs_lens {
        jobs::collect(args, &what, opened.as_ref(), &basis, &mut reader)
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
        let before = made.len();
        let (name, title, pages) = match what {
            What::Tapes => {
                let pages = jobs::tapes(&jobs, &prefs, &mut made, &mut skipped)?;
                ("tapes", "Tapes", pages)
            }
            What::Cards => {
                let pages = jobs::cards(&jobs, &prefs, &mut made, &mut skipped);
                ("cards", "Cards", pages)
            }
            What::Discs => {
                let pages = wheels::discs(&jobs, opened.as_ref(), &prefs, &mut made, &mut skipped)?;
                ("discs", "Discs", pages)
            }
            What::Strips => {
                let pages =
                    wheels::strips(&jobs, opened.as_ref(), &prefs, &mut made, &mut skipped)?;
                ("strips", "Strips", pages)
            }
            What::Plots => {
                let pages = plots::draw(&jobs, &wishes, &prefs, &mut made, &mut skipped);
                ("plots", "Plots", pages)
            }
            What::PrepPlan => {
                let (pages, codes) = prep_plan(args, opened.as_ref(), &prefs)?;
                documents.push(Document {
                    name: "prep-plan",
                    title: "Prep plan",
                    pages,
                    codes,
                });
                continue;
            }
            What::StripRuler => {
                let pages = draw::strip_ruler::draw(&StripRuler::new(), &prefs.paper);
                let corrected = |page: Page| page.with_correction(prefs.correction);
                let pages = pages.into_iter().map(corrected).collect();
                ("strip-ruler", "Strip rulers", pages)
            }
            What::Ruler => {
                let page = draw::ruler_sheet::draw(&RulerSheet, &prefs.paper);
                let pages = vec![page.with_correction(prefs.correction)];
                ("ruler", "Printer test", pages)
            }
        };
        documents.push(Document {
            name,
            title,
            pages,
            codes: made[before..].iter().map(Made::code).collect(),
        });
    }
    // A lens asked for by name must be printed; in a whole set one may be wanting.
    let by_name = !args.setup.lens.is_empty() || args.setup.focal.is_some();
    documents.retain(|document| !document.pages.is_empty());
    if documents.is_empty() || (by_name && !skipped.is_empty()) {
        return Err(skipped.into_iter().map(Skipped::into_fault).collect());
    }
    let (files, written): (Vec<_>, Vec<_>) =
        files(&args.out, args.to, &documents).into_iter().unzip();
    let replace = if args.replace {
        Replace::Carrying(MAKER_WORD)
    } else {
        Replace::Never
    };
    world::write_all(files, replace)?;
    let camera = opened.as_ref().and_then(Opened::camera_assumed);
    let camera = camera.filter(|_| needs_lens);
    let answer = PrintAnswer {
        files: written.iter().map(|written| written.file.clone()).collect(),
        written,
        sheets: made,
        skipped,
        assumptions: camera
            .into_iter()
            .chain(jobs::assumptions(&jobs, &what, wishes.waves.as_ref()))
            .collect(),
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

/// The form for the lenses asked for, else for the whole kit.
fn prep_plan(
    args: &PrintArgs,
    opened: Option<&Opened>,
    prefs: &Prefs,
) -> Result<(Vec<Page>, Vec<String>), Vec<Fault>> {
    let opened = opened.ok_or_else(|| vec![prep::needs_a_kit()])?;
    let plan = prep::planned(&args.output, &args.setup.lens, opened)?;
    let form = PrepForm::new(&opened.kit, &plan);
    let pages =
        draw::prep_form::draw(&form, &prefs.paper).map_err(|narrow| vec![Fault::from(narrow)])?;
    let corrected = |page: Page| page.with_correction(prefs.correction);
    Ok((
        pages.into_iter().map(corrected).collect(),
        vec![form.code.to_string()],
    ))
}

/// The files of the documents, with what is told of each.
fn files<'a>(
    out: &Path,
    form: PrintForm,
    documents: &'a [Document],
) -> Vec<(NewFile<'a>, Written)> {
    let mut files = Vec::new();
    for document in documents {
        let mut add = |name: String, pages: usize, codes: &[String], content: Content<'a>| {
            let path = out.join(name);
            let written = Written {
                file: path.display().to_string(),
                pages,
                codes: codes.to_vec(),
            };
            files.push((NewFile { path, content }, written));
        };
        let numbered = |ending: &str, i: usize| format!("{}-{:02}.{ending}", document.name, i + 1);
        let pages = &document.pages;
        match form {
            PrintForm::Pdf => {
                let content: Content<'a> = Box::new(|out| {
                    let mut pdf = Pdf::new(out, document.title)?;
                    pages.iter().try_for_each(|page| pdf.page(page))?;
                    pdf.finish()
                });
                let name = format!("{}.pdf", document.name);
                add(name, pages.len(), &document.codes, content);
            }
            PrintForm::Svg => {
                for (i, page) in pages.iter().enumerate() {
                    let content: Content<'a> =
                        Box::new(|out| out.write_all(to_svg(page, Letters::Text).as_bytes()));
                    add(numbered("svg", i), 1, &[], content);
                }
            }
            PrintForm::Png => {
                for (i, page) in pages.iter().enumerate() {
                    let content: Content<'a> =
                        Box::new(|out| out.write_all(&to_png(page, Resolution::PRINT)?));
                    add(numbered("png", i), 1, &[], content);
                }
            }
        }
    }
    files
}

/// What of an answer's assumptions no sheet says.
const SAID_HERE: [&str; 2] = ["camera_assumed", "marks_of_another_camera"];

/// Talk to the terminal: what was left out, what was taken for granted, which
/// files were written. The answer itself is for programs.
fn tell(args: &PrintArgs, what: &[What], answer: &PrintAnswer) -> Result<(), Vec<Fault>> {
    let talks = !args.output.quiet && args.output.form != As::Json;
    let say = |text: &str| {
        if talks {
            world::remark(text, args.output.color);
        }
    };
    for skipped in &answer.skipped {
        let fault = Fault {
            severity: Severity::Warning,
            ..skipped.clone().into_fault()
        };
        say(&super::fail::in_words(&fault));
    }
    let notes = answer.assumptions.iter();
    for note in notes.filter(|note| SAID_HERE.contains(&note.kind)) {
        say(&format!("· {}\n", note.message));
    }
    for file in &answer.files {
        say(&format!("{file}\n"));
    }
    let of_no_scale = |what: &What| matches!(what, What::Plots | What::PrepPlan);
    say(if what.iter().all(of_no_scale) {
        "check against a tape before use\n"
    } else {
        "print at 100 % (\"actual size\"), measure the page's ruler, then cut; check against a tape \
         before use\n"
    });
    super::answer_in_columns(
        &args.output,
        answer,
        (&Made::COLUMNS, &answer.sheets),
        &crate::formula::Steps::new(),
        String::new,
    )
}
