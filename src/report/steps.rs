//! Depth steps in words.

use super::fitted::fitted_line;
use super::table::{Words, about_cautious, plain_table, remarks};
use crate::answers::{StepRow, StepsAnswer};
use crate::units::show::{Round, step_for};
use crate::units::{Length, Reach};

/// A chain of depth steps for people, from far to near.
#[must_use]
pub fn steps(answer: &StepsAnswer, words: Words) -> String {
    let stop = match answer.t_number {
        Some(t) => format!("T{:.2} (f/{:.2})", t.value(), answer.f_number.value()),
        None => format!("f/{:.2}", answer.f_number.value()),
    };
    let mut out = format!(
        "{} mm · {stop} · circle {:.4} mm ({:.5} in), {}\n",
        answer.focal_length.to_mm(),
        answer.circle.to_mm(),
        answer.circle.to_inches(),
        answer.circle_rule
    );
    out.push_str(&fitted_line(&answer.on_the_lens));
    let meet = match answer.chain {
        "touching" => "each far limit stands at the near limit before it",
        _ => "each focus stands at the near limit before it",
    };
    let about = if answer.cautious.is_some() {
        "≈ "
    } else {
        ""
    };
    let count = match answer.to_trust().len() {
        1 => "1 step".into(),
        more => format!("{more} steps"),
    };
    out.push_str(&format!(
        "{about}{count}, {meet}; all distances from the ⌀ mark (image plane)\n\n",
    ));
    let rows = answer
        .to_trust()
        .iter()
        .enumerate()
        .map(|(number, step)| row(about, number + 1, step, words))
        .collect();
    out.push_str(&plain_table(&["", "near", "FOCUS", "far"], &[], rows));
    out.push('\n');
    out.push_str(&remarks(&answer.assumptions));
    out.push_str(about_cautious(answer.cautious.is_some()));
    out
}

fn row(about: &str, number: usize, step: &StepRow, words: Words) -> Vec<String> {
    let (near, focus, far) = (step.near.reach(), step.focus.reach(), step.far.reach());
    let depth: Reach<Length> = match (near, far) {
        (Reach::At(near), Reach::At(far)) => Reach::At(far - near),
        _ => Reach::Infinity,
    };
    let by = step_for(focus, words.unit, depth);
    vec![
        number.to_string(),
        format!("{about}{}", words.rounded(near, by, Round::Up)),
        words.rounded(focus, by, Round::Nearest),
        words.rounded(far, by, Round::Down),
    ]
}
