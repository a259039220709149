//! What is on a lens, in words.

use crate::gear::{Fitted, FittedFigures, behind_in_words, close_up_in_words};
use crate::optics::{Anamorph, BreathingRow};
use crate::units::Length;

/// A line that names what is on the lens; nothing for a plain one.
#[must_use]
pub(super) fn fitted_line(figures: &FittedFigures) -> String {
    let fitted = &figures.fitted;
    let mut parts = Vec::new();
    parts.extend(fitted.squeeze.map(|squeeze| {
        let part = match squeeze.part {
            Anamorph::Front => "front",
            Anamorph::Rear => "rear",
        };
        format!("squeeze {} ({part})", squeeze.ratio.value())
    }));
    if !fitted.breathing.is_empty() {
        let rows: Vec<String> = fitted.breathing.iter().map(row).collect();
        parts.push(format!("breathing by {}", rows.join(", ")));
    }
    if !fitted.behind.is_empty() {
        let behind: Vec<String> = fitted.behind.iter().map(behind_in_words).collect();
        parts.push(format!("behind it {}", behind.join(", then ")));
    }
    parts.extend(before(fitted));
    if let Some(itself) = figures.lens_itself {
        parts.push(format!("{} by itself", mm(itself.focal_length)));
    }
    if parts.is_empty() {
        String::new()
    } else {
        format!("on the lens: {}\n", parts.join("; "))
    }
}

fn before(fitted: &Fitted) -> Option<String> {
    let lenses: Vec<String> = fitted.front.iter().map(close_up_in_words).collect();
    let over = if fitted.half {
        ", over half the frame"
    } else {
        ""
    };
    (!lenses.is_empty())
        .then(|| format!("before it {} from the ⌀ mark{over}", lenses.join(" and ")))
}

fn row(row: &BreathingRow) -> String {
    format!("{} at {}", row.magnification, mm(row.distance))
}

fn mm(length: Length) -> String {
    format!("{} mm", length.to_mm())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gear::{close_up, extender, filter, tube};

    #[test]
    fn what_is_on_the_lens_is_named_in_its_order() {
        let figures = FittedFigures {
            fitted: Fitted {
                behind: vec![
                    tube("10mm").unwrap(),
                    extender("0.71-8mm").unwrap(),
                    filter("1mm").unwrap(),
                ],
                front: vec![close_up("+1/2@190mm").unwrap()],
                half: true,
                ..Fitted::default()
            },
            ..FittedFigures::default()
        };
        assert_eq!(
            fitted_line(&figures),
            "on the lens: behind it 10 mm tube, then 0.71× reducer (−8 mm), then 1 mm filter \
             (n 1.5168); before it close-up +0.5 at 190 mm from the ⌀ mark, over half the frame\n"
        );
        assert_eq!(fitted_line(&FittedFigures::default()), "");
    }
}
