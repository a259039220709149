//! Lenses and cameras that are asked for by name, and those a kit has.

use super::fault::{Fault, Kind, shortened};
use super::nearest::nearest;
use crate::gear::{Assumption, Kit};

/// The refusal of a lens the kit does not have.
pub(crate) fn no_such_lens(kit: &Kit, id: &str) -> Fault {
    let lenses = kit.lenses.iter();
    let known: Vec<&str> = lenses.map(|(lens, _)| lens.id().as_str()).collect();
    let help = match nearest(id, &known) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("the kit has {}", known.join(", ")),
    };
    let message = format!("no lens of this kit is called \"{}\"", shortened(id));
    Fault::new(Kind::UnknownId, message).with_help(help)
}

/// The refusal of a camera the kit does not have.
pub(crate) fn no_camera(kit: &Kit, name: &str) -> Fault {
    let names = kit.cameras.iter();
    let known: Vec<&str> = names.filter_map(|camera| camera.name.as_deref()).collect();
    let message = format!("no camera of this kit is called \"{}\"", shortened(name));
    let help = if known.is_empty() {
        "the kit has one camera without a name: leave --camera out".to_owned()
    } else {
        format!("choose one of {}", known.join(", "))
    };
    Fault::new(Kind::UnknownId, message)
        .at_flag("--camera")
        .with_help(help)
}

/// What is to be said where nobody chose and the first camera, of this name, is
/// taken; nothing where there is no other.
pub(crate) fn camera_assumed(kit: &Kit, first: &str) -> Option<Assumption> {
    let others = kit.cameras.iter().skip(1);
    let others: Vec<&str> = others.filter_map(|other| other.name.as_deref()).collect();
    if others.is_empty() {
        return None;
    }
    Some(Assumption::new(
        "camera_assumed",
        format!(
            "camera {first} is assumed, the first in kit.toml: choose another with --camera {}",
            others.join(" or --camera ")
        ),
    ))
}
