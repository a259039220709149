//! The depth answer in words.

use core::fmt::Write;

use super::head::{about, apart, setup_line};
use super::ranges::ranges;
use super::table::{Words, about_cautious, decimals, plain_table, remarks};
use crate::answers::{DepthAnswer, DepthRow};
use crate::optics::Limiting;
use crate::units::show::{Round, exact_distance, step_for};
use crate::units::{Length, Reach, show};

/// A depth answer for people: figures rounded to the safe side.
#[must_use]
pub fn depth(answer: &DepthAnswer, words: Words) -> String {
    let mut out = setup_line(&answer.premises);
    if let Some(hyperfocal) = answer.hyperfocal_to_trust() {
        let hyperfocal = words.up(Reach::At(hyperfocal), Reach::Infinity);
        let mark = about(answer.cautious_hyperfocal.is_some());
        // Writing to a String cannot fail.
        let _ = writeln!(out, "hyperfocal {mark}{hyperfocal}");
    }
    let _ = writeln!(out, "all distances from the ⌀ mark (image plane)\n");
    if !answer.rows.is_empty() {
        let by_marks = answer.rows.iter().any(|row| row.mark.is_some());
        let header = [
            "ring at",
            "near",
            "FOCUS",
            "far",
            "may miss by",
            "magnification",
        ];
        let header = if by_marks { &header[..] } else { &header[1..] };
        let rows = answer.rows.iter().map(|r| row(r, words)).collect();
        out.push_str(&plain_table(header, &[], rows));
        out.push('\n');
    }
    out.push_str(&beside(&answer.rows, words));
    for (row, waves) in answer.rows.iter().filter_map(|row| Some((row, row.waves?))) {
        let limit = match waves.limit {
            Limiting::Defocus => "defocus limits",
            Limiting::Diffraction => "diffraction limits",
        };
        let best = waves.in_focus.map_or(String::new(), |best| {
            format!(
                ", contrast in focus {}",
                decimals(best.value(), 2, Round::Down)
            )
        });
        let _ = writeln!(
            out,
            "focused at {}: {limit}; circle {:.4} mm, Airy disc {:.4} mm{best}",
            words.exact(row.focus.reach()),
            waves.circle.to_mm(),
            waves.airy.to_mm(),
        );
    }
    for row in answer.rows.iter().filter(|row| !row.objects.is_empty()) {
        let _ = writeln!(out, "focused at {}:", exact_distance(row.focus, words.unit));
        for object in &row.objects {
            let _ = writeln!(
                out,
                "  at {}: blur {:.3} mm, {:.1} circles{}, {}",
                exact_distance(object.object, words.unit),
                object.blur.to_mm().abs(),
                object.blur_circles,
                of_width(object.blur_of_width),
                side(object.blur)
            );
        }
    }
    out.push_str(&remarks(&answer.assumptions));
    out.push_str(about_cautious(
        answer.rows.iter().any(|row| row.cautious.is_some()),
    ));
    out.push_str(&ranges(&answer.ranges, words));
    out
}

/// A blur as a share of the picture, where there is one.
pub(super) fn of_width(share: Option<f64>) -> String {
    share.map_or(String::new(), |share| {
        format!(", {:.2} % of the width", 100.0 * share)
    })
}

fn side(blur: Length) -> &'static str {
    if blur.to_mm() < 0.0 {
        "in front of the focus"
    } else {
        "behind the focus"
    }
}

fn row(row: &DepthRow, words: Words) -> Vec<String> {
    let focus = row.focus.reach();
    let (near, far) = row.limits_to_trust();
    let (near, far) = (near.reach(), far.reach());
    let step = step_for(focus, words.unit, apart(near, far));
    let mark = about(row.cautious.is_some());
    let miss = |length: Reach<Length>| match length {
        Reach::At(length) => show::rounded(length, step, Round::Down),
        Reach::Infinity => "∞".into(),
    };
    let ring = row.mark.map(|mark| words.exact(mark.reach()));
    let figures = [
        format!("{mark}{}", words.rounded(near, step, Round::Up)),
        match row.mark {
            // It was worked out, whatever figure it comes to.
            Some(_) => words.rounded(focus, step, Round::Nearest),
            None => words.exact_within(focus, apart(near, far)),
        },
        words.rounded(far, step, Round::Down),
        format!("−{} +{}", miss(apart(near, focus)), miss(apart(focus, far))),
        format!("{:.4}", row.magnification.value()),
    ];
    ring.into_iter().chain(figures).collect()
}

/// Limits of another kind beside the rows': side to side, from the close-up
/// lens, in the bare half of the frame; each in a table of its own.
fn beside(rows: &[DepthRow], words: Words) -> String {
    let side_to_side = |row: &DepthRow| {
        let horizontal = row.horizontal?;
        let (near, far) = (horizontal.near.reach(), horizontal.far.reach());
        Some((near, row.focus.reach(), far))
    };
    let from_close_up = |row: &DepthRow| {
        let from = row.from_close_up?;
        Some((from.near, from.focus, from.far))
    };
    let bare_half = |row: &DepthRow| {
        let half = row.bare_half?;
        Some((half.near.reach(), half.focus.reach(), half.far.reach()))
    };
    let mut out = String::new();
    for (title, limits) in [
        (
            "side to side",
            rows.iter().filter_map(side_to_side).collect::<Vec<_>>(),
        ),
        (
            "from the close-up lens",
            rows.iter().filter_map(from_close_up).collect(),
        ),
        (
            "the half of the frame left bare, from the ⌀ mark",
            rows.iter().filter_map(bare_half).collect(),
        ),
    ] {
        if limits.is_empty() {
            continue;
        }
        let line = |(near, focus, far)| {
            let depth = apart(near, far);
            let step = step_for(focus, words.unit, depth);
            vec![
                words.rounded(near, step, Round::Up),
                words.exact_within(focus, depth),
                words.rounded(far, step, Round::Down),
            ]
        };
        let lines = limits.into_iter().map(line).collect();
        out.push_str(&format!("{title}\n"));
        out.push_str(&plain_table(&["near", "FOCUS", "far"], &[], lines));
        out.push('\n');
    }
    out
}
