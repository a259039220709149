//! Depth steps in words.

use super::head::{about, apart, setup_line};
use super::table::{Words, about_cautious, plain_table, remarks};
use crate::answers::{StepRow, StepsAnswer};
use crate::units::show::{Round, step_for};

/// A chain of depth steps for people, from far to near.
#[must_use]
pub fn steps(answer: &StepsAnswer, words: Words) -> String {
    let mut out = setup_line(&answer.premises);
    let meet = match answer.chain {
        "touching" => "each far limit stands at the near limit before it",
        _ => "each focus stands at the near limit before it",
    };
    let about = about(answer.cautious.is_some());
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
    let by = step_for(focus, words.unit, apart(near, far));
    vec![
        number.to_string(),
        format!("{about}{}", words.rounded(near, by, Round::Up)),
        words.rounded(focus, by, Round::Nearest),
        words.rounded(far, by, Round::Down),
    ]
}
