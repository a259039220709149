//! The plan of a prep day in words: a form to fill in at the chart.

use core::fmt::Write;

use super::table::{plain_table, remarks};
use crate::answers::{Planned, PlannedLens, PrepPlan};
use crate::units::Length;

/// A box to write a reading into.
const BOX: &str = "[________]";

/// A plan for people: what to read, lens by lens, with room for the readings.
#[must_use]
pub fn prep_plan(plan: &PrepPlan) -> String {
    let mut out = String::new();
    let named = |word: &str, name: &Option<String>| {
        name.as_ref()
            .map_or(String::new(), |name| format!(" {word}{name}"))
    };
    // Writing to a String cannot fail.
    let _ = writeln!(
        out,
        "prep plan, camera{}{}: what each lens's own scale says with the chart sharp\n",
        named("", &plan.camera),
        named("no. ", &plan.serial)
    );
    let settings: Vec<String> = (1..=plan.settings_each)
        .map(|number| format!("reading {number}"))
        .collect();
    let mut header = vec!["lens", "stop", "chart at"];
    header.extend(settings.iter().map(String::as_str));
    header.extend(["known to", "wanted"]);
    let rows = plan
        .lenses
        .iter()
        .flat_map(|lens| rows(lens, plan.settings_each));
    out.push_str(&plain_table(&header, &["lens", "wanted"], rows.collect()));
    out.push_str("\nknown to: two standard errors of the image-plane error, with this chart and those before it, in mm\n");
    for (title, lines) in [("how", &plan.how), ("when to stop", &plan.stop_when)] {
        if !lines.is_empty() {
            let _ = writeln!(out, "\n{title}");
        }
        for line in lines {
            let _ = writeln!(out, "→ {line}");
        }
    }
    out.push_str("\non paper: `markwright print prep-plan`; as lines for prep.csv: --as csv\n");
    out.push_str(&remarks(&plan.assumptions));
    out
}

fn rows(lens: &PlannedLens, settings: usize) -> Vec<Vec<String>> {
    let first = |words: String| vec![lens.label.clone(), lens.stop.clone(), words];
    if let Some(why) = lens.why_not() {
        let mut row = first("collimator".into());
        row.extend((0..settings).map(|_| "-".to_owned()));
        row.extend(["-".to_owned(), why.to_owned()]);
        return vec![row];
    }
    let row = |(at, planned): (usize, &Planned)| {
        let mut row = first(planned.taped_as.clone());
        if at > 0 {
            row[0] = String::new();
            row[1] = String::new();
        }
        row.extend((0..settings).map(|_| BOX.to_owned()));
        row.push(known_to(planned, lens.tolerated_error));
        row.push(if planned.if_undecided {
            "only if undecided".into()
        } else {
            "yes".into()
        });
        row
    };
    lens.readings.iter().enumerate().map(row).collect()
}

fn known_to(planned: &Planned, tolerated: Length) -> String {
    let two = planned.standard_error.to_mm() * 2.0;
    format!(
        "±{:.3} of {:.3}",
        libm::ceil(two * 1000.0) / 1000.0,
        libm::floor(tolerated.to_mm() * 1000.0) / 1000.0
    )
}
