//! `marks take`: the take-down at the bench, line by line.

use std::path::Path;

use super::args::{As, TakeArgs, TypedCount, TypedUnit};
use super::world::{self, Folder, Kept};
use super::{answer_in_columns, fail, kit};
use crate::data::take::{Heard, Session, TakeAnswer, Wish};
use crate::data::{Fault, Files, Kind};
use crate::formula::Steps;
use crate::gear::PositionUnit;
use crate::report::{self, Words};
use crate::units::Unit;

/// Care at the bench, where somebody sits there (trade practice: tapes are
/// tripped over, lasers look into eyes).
const CARE: &str = "\
keep the tape off walkways and never tape near moving vehicles; no laser at eyes or into an
optical finder; local rules and qualified people decide
";

/// Hears lines until they end; each is saved before the next is heard.
pub(super) fn run(args: &TakeArgs) -> Result<(), Vec<Fault>> {
    let one = |fault: Fault| vec![fault];
    let folder = kit::to_write_in(args.output.kit.as_ref(), "marks take").map_err(one)?;
    let files = Folder::new(&folder);
    let mut session = Session::open(&files, wish(args))?;
    let content = files.read(session.file()).map_err(one)?;
    if content.as_deref() != session.content() {
        return Err(one(Fault::machine(format!(
            "{} was changed while it was read",
            session.file()
        ))));
    }
    let mut kept = Kept::new(folder.join(session.file()), content).map_err(one)?;
    let talk = Talk {
        args,
        typed: world::is_typed(),
        words: Words {
            unit: session.unit(),
        },
    };
    talk.begin(&session);
    loop {
        talk.ask(&session);
        let Some(line) = world::next_line().map_err(one)? else {
            talk.leave();
            break;
        };
        let heard = session.hear(&line);
        if let Heard::Took(_) | Heard::Undid(_) = heard {
            kept.write(session.content()).map_err(one)?;
        }
        if talk.reply(&session, &heard) {
            break;
        }
    }
    talk.end(&folder, &session)
}

fn wish(args: &TakeArgs) -> Wish<'_> {
    Wish {
        lens: &args.lens,
        camera: args.output.camera.as_deref(),
        scale: args.scale,
        unit: args.count.map(|count| match count {
            TypedCount::Mm => PositionUnit::Mm,
            TypedCount::Deg => PositionUnit::Deg,
        }),
        stop: args.stop.as_deref(),
        shown_in: args.output.units.map(|unit| match unit {
            TypedUnit::Feet => Unit::Feet,
            TypedUnit::Metres => Unit::Metres,
        }),
    }
}

/// What is said on the way: to standard error, and to programs nothing.
struct Talk<'a> {
    args: &'a TakeArgs,
    /// Whether somebody types.
    typed: bool,
    words: Words,
}

impl Talk<'_> {
    fn say(&self, text: &str) {
        if self.args.output.form != As::Json && !self.args.output.quiet {
            world::remark(text, self.args.output.color);
        }
    }

    /// Faults of a line are told to people however quiet it is to be.
    fn tell(&self, fault: &Fault) {
        if self.args.output.form != As::Json {
            world::remark(&fail::in_words(fault), self.args.output.color);
        }
    }

    fn begin(&self, session: &Session<'_>) {
        let answer = session.answer();
        kit::tell(session.kit_warnings(), &self.args.output);
        let camera = match &answer.camera {
            Some(camera) => format!(" on camera {camera}"),
            None => String::new(),
        };
        let what = match &answer.stop {
            Some(stop) => format!("what its scale reads at {stop}"),
            None => "marks found by eye".to_owned(),
        };
        let label = session.lens().label();
        let file = &answer.file;
        self.say(&format!("{label}{camera}: {what}, into {file}\n"));
        // With the table they are told at the end.
        for note in answer.assumptions.iter().filter(|_| self.typed) {
            self.say(&format!("· {}\n", note.message));
        }
        if self.typed {
            self.say(CARE);
            self.help(session);
        }
    }

    fn help(&self, session: &Session<'_>) {
        self.say(&format!(
            "{}\nundo takes the last line back · list · help · done\n",
            session.how()
        ));
    }

    fn ask(&self, session: &Session<'_>) {
        if self.typed {
            self.say(&format!("take {} > ", session.lens().id()));
        }
    }

    /// The input ended behind the prompt.
    fn leave(&self) {
        if self.typed {
            self.say("\n");
        }
    }

    /// Says what was understood; whether that was all.
    fn reply(&self, session: &Session<'_>, heard: &Heard) -> bool {
        match heard {
            Heard::Nothing => {}
            Heard::Took(taken) => {
                let said = report::taken(taken, &session.answer(), self.words);
                self.say(&format!("saved  {said}"));
                for warning in &taken.warnings {
                    self.say(&fail::in_words(warning));
                }
            }
            Heard::Refused(faults) => {
                for fault in faults {
                    self.tell(fault);
                }
            }
            Heard::Undid(taken) => {
                let said = report::taken_back(taken, &session.answer(), self.words);
                self.say(&format!("taken back  {said}"));
            }
            Heard::NothingToUndo => self.say("nothing of this session is left to take back\n"),
            Heard::List => {
                let listed = report::take(&session.answer(), self.words);
                self.say(if listed.is_empty() {
                    "nothing was taken yet\n"
                } else {
                    &listed
                });
            }
            Heard::Help => self.help(session),
            Heard::Done => return true,
        }
        false
    }

    /// The answer, what to do next, and whether all is well.
    fn end(&self, folder: &Path, session: &Session<'_>) -> Result<(), Vec<Fault>> {
        let answer = session.answer();
        let output = &self.args.output;
        let rows = report::take_rows(&answer);
        answer_in_columns(output, &answer, (COLUMNS, &rows), &Steps::new(), || {
            report::take(&answer, self.words)
        })?;
        let mut faults = Vec::new();
        if let Err(found) = kit::read(folder) {
            faults = found;
        }
        let next = match (&faults[..], self.args.scale) {
            ([_, ..], _) => String::new(),
            (_, true) => format!("; next: markwright prep --kit {}", folder.display()),
            (_, false) => format!(
                "; next: markwright print tapes --kit {} --lens {}",
                folder.display(),
                answer.lens
            ),
        };
        self.say(&format!(
            "{} taken into {}, {} taken back, {} refused{next}\n",
            answer.taken.len(),
            answer.file,
            answer.undone,
            answer.refused.len()
        ));
        if !self.typed {
            faults.extend(refused(&answer));
        }
        if faults.is_empty() {
            Ok(())
        } else {
            Err(faults)
        }
    }
}

/// The columns of the table for spreadsheets.
const COLUMNS: &[&str] = &[
    "distance_mm",
    "readings",
    "mean",
    "spread",
    "spread_deg",
    "line",
    "file_line",
];

/// So many lines that were refused are named.
const MOST_NAMED: usize = 20;

/// What is told at the end of lines that nobody sat at.
fn refused(answer: &TakeAnswer) -> Option<Fault> {
    let lines = answer
        .refused
        .iter()
        .map(|refused| refused.line.to_string());
    let lines: Vec<String> = lines.collect();
    let message = match &lines[..] {
        [] => return None,
        [only] => format!("line {only} of the input was refused, and nothing of it is written"),
        all => {
            let (named, rest) = all.split_at(all.len().min(MOST_NAMED));
            let more = match rest.len() {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            format!(
                "lines {}{more} of the input were refused, and nothing of them is written",
                named.join(", ")
            )
        }
    };
    let kind = answer.refused.first().and_then(|one| one.faults.first());
    let help = kind.map(|fault| format!("line {}: {}", lines[0], fault.message));
    let fault = Fault::new(Kind::Usage, message);
    Some(Fault { help, ..fault })
}
