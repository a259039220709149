//! `field`: what the frame takes in, and how to frame a width.

use super::args::FieldArgs;
use super::wish::{Asked, branch, needs_a_lens};
use super::{answer, answer_in_columns, kit};
use crate::answers::{self, Unanswerable};
use crate::data::{Fault, Kind};
use crate::formula::Steps;
use crate::gear::Assumption;
use crate::optics::{Gate, OutOfReach, desqueezed};
use crate::report::{self, Words};
use crate::units::{FocusDistance, Length, Reach, parse, range};

/// Answers in angles and sizes, or with the distance or focal length for a width.
pub(super) fn run(args: &FieldArgs) -> Result<(), Vec<Fault>> {
    let opened = kit::open_for(&args.output, &args.setup)?;
    let Asked {
        mut reader,
        mut basis,
        lens,
    } = Asked::new(&args.output, &args.setup, opened.as_ref());
    if args.setup.format.is_some() {
        // A field needs nothing else of a camera.
        basis.camera_note = None;
    }
    let frame = reader.frame(&args.setup, &basis);
    let wanted = reader.wanted(&args.setup, &basis);
    let mut at = reader.distances("--at", &args.at);
    let mut steps = Steps::new();
    let taped = reader.taped(&args.tape, opened.as_ref(), &mut steps);
    at.extend(taped.iter().map(|taped| taped.focus));
    let plane = reader.distance("--plane", args.plane.as_ref());
    let width = reader.take("--width", args.width.as_ref(), |text| {
        parse::length(text, &range::FRAMED_WIDTH)
    });
    let hiatus = reader.take("--hiatus", args.setup.hiatus.as_ref(), |text| {
        parse::length(text, &range::HIATUS)
    });
    let typed = args.at.iter().chain(&args.plane).chain(&args.width);
    let typed = typed.chain(args.tape.typed());
    let words = Words {
        unit: reader.output_unit(typed),
    };
    let fitted = reader.fitted(&args.setup, &basis);
    reader.done()?;
    let Some(frame) = frame else {
        return Err(vec![
            Fault::new(Kind::Usage, "a format or gate is needed")
                .at_flag("--format")
                .with_help("add --format s35-3perf or --format 24.89x13.87mm"),
        ]);
    };
    let picture = frame.picture(fitted.squeeze, &mut steps);
    if let (Some(width), None) = (width, &wanted) {
        let by_lens = WithWhichLens {
            picture: desqueezed(picture, fitted.squeeze, &mut steps),
            width,
            hiatus,
            camera_note: basis.camera_note,
        };
        return by_lens.answer(args, &at, words, &mut steps);
    }
    let wanted = wanted.ok_or_else(|| vec![needs_a_lens()])?;
    // With what voids its scale a lens focuses elsewhere than it reads.
    let by_its_scale = lens.filter(|_| !wanted.fitted.voids_the_scale());
    if let Some((lens, _)) = by_its_scale {
        kit::within_reach(lens, &at)?;
    }
    let mut setup = wanted
        .setup(&mut steps)
        .map_err(|reason| vec![reason.into()])?;
    setup.assumptions.extend(taped.map(|taped| taped.note));
    if let Some(width) = width {
        if !at.is_empty() {
            return Err(vec![both_given()]);
        }
        let found = answers::focus_for_width(&setup, picture, width, &mut steps)
            .map_err(|reason| vec![not_framed(reason)])?;
        if let Some((lens, _)) = by_its_scale {
            kit::within_reach(lens, &[found.focus])?;
        }
        let rows = std::slice::from_ref(&found);
        return answer(&args.output, &found, rows, &steps, || {
            report::width(&found, words)
        });
    }
    // A plane alone is the plane in focus.
    let at: Vec<FocusDistance> = if at.is_empty() {
        plane.into_iter().collect()
    } else {
        at
    };
    let found = answers::field(&setup, picture, &at, plane, &mut steps)
        .map_err(|reason| vec![reason.into()])?;
    let rows = (report::csv::FIELD, &found.rows[..]);
    answer_in_columns(&args.output, &found, rows, &steps, || {
        report::field(&found, words)
    })
}

/// A width that must do without a lens.
struct WithWhichLens {
    picture: Gate,
    width: Length,
    hiatus: Option<Length>,
    camera_note: Option<Assumption>,
}

impl WithWhichLens {
    fn answer(
        self,
        args: &FieldArgs,
        at: &[FocusDistance],
        words: Words,
        steps: &mut Steps,
    ) -> Result<(), Vec<Fault>> {
        let [distance] = at else {
            return Err(vec![
                Fault::new(Kind::Usage, "--width needs a lens, or one distance")
                    .at_flag("--width")
                    .with_help(
                        "add --focal 50mm (which distance?) or --at 3m (which focal length?)",
                    ),
            ]);
        };
        let Reach::At(distance) = distance.reach() else {
            return Err(vec![
                Fault::new(Kind::NotFinite, "a width has no size at infinity").at_flag("--at"),
            ]);
        };
        let mut found = answers::focal_length_for_width(
            self.picture,
            self.width,
            distance,
            self.hiatus,
            branch(&args.setup),
            steps,
        )
        .map_err(|reason| vec![not_framed(reason)])?;
        found.assumptions.extend(self.camera_note);
        let rows = std::slice::from_ref(&found);
        answer(&args.output, &found, rows, steps, || {
            report::width(&found, words)
        })
    }
}

/// Why a width cannot be framed, and what would change that.
fn not_framed(reason: Unanswerable) -> Fault {
    let help = match reason {
        Unanswerable::OutOfReach(OutOfReach::Inside4f { .. }) => {
            "narrower than the picture itself is larger than life: add --macro"
        }
        Unanswerable::WiderThanLife { .. } => "leave out --macro",
        _ => return reason.into(),
    };
    Fault::from(reason).at_flag("--width").with_help(help)
}

fn both_given() -> Fault {
    Fault::new(
        Kind::Usage,
        "--width with a lens asks for the distance, but --at gives one",
    )
    .at_flag("--width")
    .with_help("leave out --at (which distance?) or the lens (which focal length?)")
}
