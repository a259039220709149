//! `print`: sheets into a folder, whole or not at all.

mod cards;
mod jobs;
mod plots;
mod prep;
mod target;
mod wheels;

use std::path::Path;

use serde::Serialize;

use super::args::{As, Look, Orientation, PrintArgs, PrintForm, What};
use super::kit::{self, Opened};
use super::prep as readings;
use super::wish::{Basis, Reader};
use super::world::{self, Content, NewFile, Replace};
use crate::data::{Fault, Kind, Severity, shortened};
use crate::draw::card::Ground;
use crate::draw::plot::Lie;
use crate::draw::{self, Paper};
use crate::export::{Exporter, Letters, Pdf, Resolution, to_png, to_svg};
use crate::formula::Steps;
use crate::gear::{PrintPrefs, Sides};
use crate::scene::{Correction, Page};
use crate::sheets::{PrepForm, RingStrip, RulerSheet, StripRuler};
use crate::units::{Length, parse, range};
use jobs::{Made, Skipped};

/// What was printed.
#[derive(Serialize)]
struct PrintAnswer {
    files: Vec<String>,
    written: Vec<Written>,
    sheets: Vec<Made>,
    skipped: Vec<Skipped>,
    /// The lines of focus targets.
    targets: Vec<target::Told>,
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
    /// What the correction is for: what 100 mm come out as, across and along.
    printed: [Length; 2],
    ground: Ground,
    /// Whether the figures of cards are large.
    large: bool,
    /// How plots and cards lie, where somebody said.
    lie: Option<Lie>,
}

/// Draws what is wanted and writes it.
pub(super) fn run(args: &PrintArgs) -> Result<(), Vec<Fault>> {
    let what = wanted_sheets(args);
    let needs_lens = what.iter().any(What::is_of_a_lens);
    let wants_prep = what.contains(&What::Prep);
    let opened = if needs_lens || !wants_prep {
        kit::open_for(&args.output, &args.setup)?
    } else {
        Some(readings::open(&args.output)?)
    };
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
    // What is wrong with the options of a lens is told once.
    let targets = if what.contains(&What::Target) && (!needs_lens || reader.faults.is_empty()) {
        target::collect(args, opened.as_ref(), &basis, &mut reader)
    } else {
        Vec::new()
    };
    let wishes = plots::wishes(args, &what, &mut reader);
    let unit = reader.unit;
    let ring = ring(args, &what, &mut reader);
    let asked = wants_prep.then(|| prep::asked(args, &what, opened.as_ref(), &mut reader));
    reader.done()?;
    let of_cards = cards::wishes(args, &what)?;
    let Some(prefs) = prefs else {
        return Err(Vec::new());
    };
    let reports = asked.flatten().map(prep::Asked::reports).transpose()?;
    let mut documents = Vec::new();
    let mut made = Vec::new();
    let mut skipped = Vec::new();
    let mut steps = Steps::new();
    let targets = target::draw(targets, &wishes.at, &prefs, &mut steps)?;
    for &what in &what {
        let before = made.len();
        let mut told = cards::Told {
            made: &mut made,
            skipped: &mut skipped,
        };
        let (name, title, pages) = match what {
            What::Tapes => {
                let pages = jobs::tapes(&jobs, &prefs, &mut made, &mut skipped)?;
                ("tapes", "Tapes", pages)
            }
            What::Cards => {
                let pages = cards::cards(&jobs, &of_cards, &prefs, &mut told);
                ("cards", "Cards", pages)
            }
            What::Hyperfocals => {
                let with = (&of_cards, &prefs);
                let pages = cards::hyperfocals(&jobs, opened.as_ref(), with, &mut told)?;
                ("hyperfocals", "Hyperfocal distances", pages)
            }
            What::Fields => {
                let with = (&of_cards, &prefs);
                let pages = cards::fields(&jobs, opened.as_ref(), with, &mut told)?;
                ("fields", "Fields of view", pages)
            }
            What::Conversions => {
                let with = (&of_cards, &prefs);
                let pages = cards::conversions(args, opened.as_ref(), with, unit, &mut told)?;
                ("conversions", "Conversions", pages)
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
            What::Prep => {
                let reports = reports.as_ref();
                let pages = reports.map(|reports| reports.draw(&prefs, &mut made));
                (
                    "prep",
                    "Prep report",
                    pages.transpose()?.unwrap_or_default(),
                )
            }
            What::StripRuler => {
                let pages = draw::strip_ruler::draw(&StripRuler::new(), &prefs.paper);
                let corrected = |page: Page| page.with_correction(prefs.correction);
                let pages = pages.into_iter().map(corrected).collect();
                ("strip-ruler", "Strip rulers", pages)
            }
            What::Ruler => {
                let (pages, codes) = ruler(ring, &prefs)?;
                documents.push(Document {
                    name: "ruler",
                    title: "Printer test",
                    pages,
                    codes,
                });
                continue;
            }
            What::Target => {
                let sheet = |told: &target::Told| Made::of("target", Some(&told.lens), &told.code);
                made.extend(targets.told.iter().map(sheet));
                documents.push(Document {
                    name: "target",
                    title: "Focus targets",
                    pages: targets.pages.clone(),
                    codes: targets.told.iter().map(|told| told.code.clone()).collect(),
                });
                continue;
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
    world::write_all(files, replacing(args.replace))?;
    let camera = opened.as_ref().and_then(Opened::camera_assumed);
    let camera = camera.filter(|_| needs_lens || !targets.told.is_empty());
    let answer = PrintAnswer {
        files: written.iter().map(|written| written.file.clone()).collect(),
        written,
        sheets: made,
        skipped,
        assumptions: camera
            .into_iter()
            .chain(jobs::assumptions(&jobs, &what, wishes.waves.as_ref()))
            .chain(targets.assumptions())
            .chain(reports.iter().flat_map(prep::Reports::assumptions))
            .collect(),
        targets: targets.told,
    };
    tell(args, &what, &answer, &steps)
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
    let paper = paper(args.paper.as_ref(), &kit, reader);
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
    let ground = match args.cards.look {
        Look::Light | Look::Large => Ground::Light,
        Look::Dark => Ground::Dark,
    };
    let lie = args.orientation.map(|orientation| lie(Some(orientation)));
    let [horizontal, vertical] = kit.printed_100mm;
    let correction = Correction::from_printed_100mm(horizontal, vertical)
        .map_err(|fault| {
            reader
                .faults
                .push(Fault::new(Kind::OutOfRange, fault.to_string()))
        })
        .ok();
    Some(Prefs {
        paper: paper?,
        sides: sides?,
        correction: correction?,
        printed: kit.printed_100mm,
        ground,
        large: args.cards.look == Look::Large,
        lie,
    })
}

/// The ring a printer is to be tested round.
fn ring(args: &PrintArgs, what: &[What], reader: &mut Reader) -> Option<Length> {
    let typed = args.ruler.ring.as_ref();
    if typed.is_some() && !what.contains(&What::Ruler) {
        let fault = Fault::new(Kind::Usage, "--ring is for the ruler, and none is printed");
        let fault = fault.at_flag("--ring").with_help("add ruler");
        reader.faults.push(fault);
    }
    reader.take("--ring", typed, |text| {
        parse::length(text, &range::TEST_RING)
    })
}

/// The printer test, and the strip round a ring where one was said.
fn ruler(ring: Option<Length>, prefs: &Prefs) -> Result<(Vec<Page>, Vec<String>), Vec<Fault>> {
    let sheet = RulerSheet::drawn_for(prefs.printed);
    let mut pages = vec![draw::ruler_sheet::draw(&sheet, &prefs.paper)];
    let mut codes = Vec::new();
    if let Some(ring) = ring {
        let [_, along] = prefs.printed;
        let strip = RingStrip::new(ring, along);
        let drawn = draw::ring_strip::draw(&strip, &prefs.paper);
        pages.extend(drawn.map_err(|short| vec![Fault::from(short)])?);
        codes.push(strip.code().to_string());
    }
    let corrected = |page: Page| page.with_correction(prefs.correction);
    Ok((pages.into_iter().map(corrected).collect(), codes))
}

/// The form for the lenses asked for, else for the whole kit.
fn prep_plan(
    args: &PrintArgs,
    opened: Option<&Opened>,
    prefs: &Prefs,
) -> Result<(Vec<Page>, Vec<String>), Vec<Fault>> {
    let opened = opened.ok_or_else(|| vec![readings::needs_a_kit()])?;
    let plan = readings::planned(&args.output, &args.setup.lens, opened)?;
    let form = PrepForm::new(&opened.kit, &plan);
    let pages =
        draw::prep_form::draw(&form, &prefs.paper).map_err(|narrow| vec![Fault::from(narrow)])?;
    let corrected = |page: Page| page.with_correction(prefs.correction);
    Ok((
        pages.into_iter().map(corrected).collect(),
        vec![form.code.to_string()],
    ))
}

/// The paper asked for, else the kit's.
pub(super) fn paper(
    typed: Option<&String>,
    kit: &PrintPrefs,
    reader: &mut Reader,
) -> Option<Paper> {
    let name = typed.unwrap_or(&kit.paper);
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
    paper.cloned()
}

/// How the paper of a plot lies.
pub(super) fn lie(typed: Option<Orientation>) -> Lie {
    match typed.unwrap_or_default() {
        Orientation::Landscape => Lie::Landscape,
        Orientation::Portrait => Lie::Portrait,
    }
}

/// What of ours may be written over, where that is asked for.
pub(super) const fn replacing(asked: bool) -> Replace {
    if asked {
        Replace::Carrying(MAKER_WORD)
    } else {
        Replace::Never
    }
}

/// The content of one file: all pages as a document, or one as a drawing or picture.
pub(super) fn content<'a>(form: PrintForm, title: &'a str, pages: &'a [Page]) -> Content<'a> {
    Box::new(move |out| match form {
        PrintForm::Pdf => {
            let mut pdf = Pdf::new(out, title)?;
            pages.iter().try_for_each(|page| pdf.page(page))?;
            pdf.finish()
        }
        PrintForm::Svg => pages
            .iter()
            .try_for_each(|page| out.write_all(to_svg(page, Letters::Text).as_bytes())),
        PrintForm::Png => pages
            .iter()
            .try_for_each(|page| out.write_all(&to_png(page, Resolution::PRINT)?)),
    })
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
        let title = document.title;
        let ending = match form {
            PrintForm::Pdf => {
                let name = format!("{}.pdf", document.name);
                let all = content(form, title, pages);
                add(name, pages.len(), &document.codes, all);
                continue;
            }
            PrintForm::Svg => "svg",
            PrintForm::Png => "png",
        };
        for (i, page) in pages.iter().enumerate() {
            let one = content(form, title, core::slice::from_ref(page));
            add(numbered(ending, i), 1, &[], one);
        }
    }
    files
}

/// What of an answer's assumptions no sheet says.
const SAID_HERE: [&str; 3] = [
    "camera_assumed",
    "marks_of_another_camera",
    "lenses_on_first_camera",
];

/// Talk to the terminal: what was left out, what was taken for granted, which
/// files were written. The answer itself is for programs.
fn tell(
    args: &PrintArgs,
    what: &[What],
    answer: &PrintAnswer,
    steps: &Steps,
) -> Result<(), Vec<Fault>> {
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
    for told in &answer.targets {
        for left_out in &told.left_out {
            say(&format!(
                "· target of lens {}, left out: {left_out}\n",
                told.lens
            ));
        }
    }
    let notes = answer.assumptions.iter();
    for note in notes.filter(|note| SAID_HERE.contains(&note.kind)) {
        say(&format!("· {}\n", note.message));
    }
    for file in &answer.files {
        say(&format!("{file}\n"));
    }
    // Plots, forms and reports are of no scale.
    let of_no_scale = |what: &What| matches!(what, What::Plots | What::Prep | What::PrepPlan);
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
        steps,
        String::new,
    )
}
