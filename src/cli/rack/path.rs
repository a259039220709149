//! The path of a subject, as it is meant.

use crate::cli::args::RackArgs;
use crate::cli::wish::Reader;
use crate::data::{Fault, Kind};
use crate::scale::{PathEnd, PathFault, SubjectPath};
use crate::units::{FocusDistance, Length, Unit, parse, range, show};

impl Reader {
    /// The path that was typed, worded in a unit where it cannot be.
    pub(super) fn path(&mut self, args: &RackArgs, unit: Unit) -> Option<SubjectPath> {
        let typed = &args.path;
        let from = self.distance("--from", Some(&args.from));
        let to = self.distance("--to", args.to.as_ref());
        let passing = self.on_a_path("--passing", typed.passing.as_ref());
        let frame_at = self.on_a_path("--frame-at", typed.frame_at.as_ref());
        let centre = self.on_a_path("--circling", typed.circling.as_ref());
        let radius = self.take("--radius", typed.radius.as_ref(), |text| {
            parse::length(text, &range::DISTANCE)
        });
        let on_axis = typed.passing.is_none() && typed.circling.is_none();
        if typed.before_passing && on_axis {
            let message = "along the axis a subject passes nothing";
            let fault = Fault::new(Kind::Usage, message).at_flag("--before-passing");
            self.faults
                .push(fault.with_help("leave it out, or add --passing or --circling"));
        }
        if on_axis {
            return Some(SubjectPath::along_axis(from?, to?));
        }
        if typed.frame_at.is_some() && frame_at.is_none() {
            return None;
        }
        let passes = !typed.before_passing;
        let path = if typed.passing.is_some() {
            let closest = passing?;
            let to = match args.to {
                Some(_) => to?,
                None => FocusDistance::at(closest).ok()?,
            };
            SubjectPath::passing(closest, frame_at, (from?, to), passes)
        } else {
            let on_centre = typed.frame_on_centre;
            SubjectPath::circling(centre?, radius?, on_centre, (from?, to?), passes)
        };
        let path = path.map_err(|reason| self.faults.push(no_path(reason, on_path(args), unit)));
        path.ok()
    }

    /// A distance that is not infinity.
    fn on_a_path(&mut self, flag: &str, text: Option<&String>) -> Option<Length> {
        let distance = self.distance(flag, text)?;
        let finite = distance.reach().finite();
        if finite.is_none() {
            let fault = Fault::new(Kind::NotFinite, "no subject goes by at infinity");
            self.faults.push(fault.at_flag(flag));
        }
        finite
    }
}

/// The flag that says which path it is.
const fn on_path(args: &RackArgs) -> &'static str {
    if args.path.passing.is_some() {
        "--passing"
    } else {
        "--circling"
    }
}

fn no_path(reason: PathFault, flag: &str, unit: Unit) -> Fault {
    let shown = |length: Length| show::exact(length, unit);
    let (line, goes) = if flag == "--passing" {
        ("line", "--passing is its closest distance")
    } else {
        ("circle", "--circling is the distance of its centre")
    };
    match reason {
        PathFault::Infinite(end) => {
            let message = "a subject on its way is nowhere at infinity";
            let fault = Fault::new(Kind::NotFinite, message).at_flag(flag_of(end));
            fault.with_help("a distance such as 20m")
        }
        PathFault::OffPath {
            end,
            nearest,
            farthest,
        } => {
            let range = match farthest {
                Some(farthest) => format!("from {} to {}", shown(nearest), shown(farthest)),
                None => format!("{} or more", shown(nearest)),
            };
            let message = format!(
                "no place of this {line} is so far from the image-plane mark: its places are \
                 {range} away"
            );
            let fault = Fault::new(Kind::OutOfRange, message).at_flag(flag_of(end));
            fault.with_help(format!(
                "{goes}; both ends are taped straight from the mark"
            ))
        }
        PathFault::FrameInsideClosest { closest } => {
            let message = format!(
                "no place of this line is so near: its places are {} or more away",
                shown(closest)
            );
            let fault = Fault::new(Kind::OutOfRange, message).at_flag("--frame-at");
            fault.with_help("how far the subject is from the mark in the middle of the frame")
        }
        PathFault::CircleRoundCamera { centre } => {
            let message = format!(
                "the camera would stand on this circle or within it: its radius must be under {}",
                shown(centre)
            );
            let fault = Fault::new(Kind::OutOfRange, message).at_flag("--radius");
            fault.with_help("one that circles the camera itself stays at one distance")
        }
        PathFault::NoWay => {
            let message = "the subject would end where it begins";
            let fault = Fault::new(Kind::Usage, message).at_flag("--to");
            fault.with_help("without --before-passing it goes past the closest point")
        }
    }
}

const fn flag_of(end: PathEnd) -> &'static str {
    match end {
        PathEnd::From => "--from",
        PathEnd::To => "--to",
    }
}
