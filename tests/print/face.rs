//! What stands on a tape's face, so that it finds its way back to its lens when
//! the words under it are cut off.

use markwright::units::Unit;

use super::lenses::Lens;
use super::measure::Piece;

/// What a tape's face does not say of what it must: label, serial number,
/// camera, date or blank, what stands behind it, code, arrow, unit.
pub fn lacking(lens: &Lens, pieces: &[Piece]) -> Vec<&'static str> {
    let said: Vec<String> = pieces
        .iter()
        .flat_map(|piece| &piece.words)
        .flat_map(|(words, _)| words.split(" · "))
        .map(one_blank)
        .collect();
    let says = |words: &str| {
        let words = one_blank(words);
        // What is too long ends in an ellipsis.
        let cut = |said: &str| {
            let kept = said.strip_suffix('…');
            kept.is_some_and(|kept| words.starts_with(kept.trim_end()))
        };
        said.iter().any(|said| *said == words || cut(said))
    };
    let names = &lens.names;
    let focal = [names.focal.clone(), format!("{} mm", names.focal)];
    // The focal length is there already; letters we have not are shown as boxes.
    let is_more = |label: &&String| !label.trim().is_empty() && !focal.contains(label);
    let can_be_read = |words: &&String| words.is_ascii() && !words.trim().is_empty();
    let label = names.label.as_ref().filter(is_more);
    let label = label.or(names.id.as_ref()).filter(can_be_read);
    let serial = names.serial.as_ref().filter(can_be_read);
    let camera = names.camera.as_ref().filter(|_| lens.measured.is_some());
    let standing = if lens.measured.is_some() {
        "measured"
    } else {
        "COMPUTED"
    };
    let is_code = |said: &String| {
        let may_be = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit();
        said.chars().count() == 6 && said.chars().all(may_be)
    };
    let units = match lens.unit {
        Unit::Feet => ["ft", "feet", "large figures: feet"],
        Unit::Metres => ["m", "metres", "large figures: metres"],
    };
    let has_signs = lens.unit == Unit::Feet && said.iter().any(|said| said.contains(['′', '″']));
    let arrow = |piece: &Piece| piece.fills.iter().any(|corners| corners.len() == 7);
    let camera_is_named =
        |camera: &String| says(&format!("camera {camera} only")) || says(&format!("{camera} only"));
    let found = [
        ("label", label.is_none_or(|label| says(label))),
        (
            "serial",
            serial.is_none_or(|serial| says(&format!("no. {serial}"))),
        ),
        ("camera", camera.is_none_or(camera_is_named)),
        (
            "date",
            match &names.prepared {
                Some(date) => says(date),
                None => says("date …………") || says("date ……"),
            },
        ),
        ("standing", says(standing)),
        ("code", said.iter().any(is_code)),
        ("arrow", pieces.iter().any(arrow)),
        (
            "unit",
            has_signs || said.iter().any(|said| units.contains(&said.as_str())),
        ),
    ];
    let missing = found.into_iter().filter(|(_, there)| !there);
    missing.map(|(what, _)| what).collect()
}

/// Words with single blanks.
fn one_blank(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether a tape is so small that its face may lack something: where a ring
/// under 5 cm leaves no room beside the scale, under 8 mm there is one row, and
/// a postcard cuts it to pieces.
pub fn is_tiny(lens: &Lens, paper: &str) -> bool {
    let low = lens.band.is_some_and(|band| band < 8.0);
    let round = lens.diameter.is_some_and(|diameter| diameter < 50.0);
    low || round || ["a6", "4x6"].contains(&paper)
}
