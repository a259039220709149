//! The plots of each lens.

use super::Prefs;
use super::jobs::{Job, Made, Skipped};
use crate::cli::args::{PrintArgs, What};
use crate::cli::wish::Reader;
use crate::data::{Fault, Kind};
use crate::draw;
use crate::gear::{DepthSetup, Wanted};
use crate::scene::Page;
use crate::sheets::{MOST_FOCUSES, MOST_PLOT_STOPS, Plot, PlotWish, table_stops};
use crate::units::{FocusDistance, Stop, parse};

/// The smallest stop shown unasked, with what is engraved as 22 still under it.
const SMALLEST_STOP: f64 = 23.0;

/// What was asked of plots.
#[derive(Default)]
pub(super) struct Wishes {
    at: Vec<FocusDistance>,
    stops: Vec<Stop>,
}

/// Reads the options of plots; they are a fault where no plot is printed.
pub(super) fn wishes(args: &PrintArgs, what: &[What], reader: &mut Reader) -> Wishes {
    let flags = [
        ("--at", !args.at.is_empty()),
        ("--stops", !args.stops.is_empty()),
        ("--orientation", args.orientation.is_some()),
    ];
    if !what.contains(&What::Plots) {
        for (flag, _) in flags.iter().filter(|(_, given)| *given) {
            let message = format!("{flag} is for plots, and none are printed");
            let fault = Fault::new(Kind::Usage, message).at_flag(flag);
            reader.faults.push(fault.with_help("add plots"));
        }
        return Wishes::default();
    }
    let most = [
        ("--at", args.at.len(), MOST_FOCUSES),
        ("--stops", args.stops.len(), MOST_PLOT_STOPS),
    ];
    for (flag, given, most) in most {
        if given > most {
            let message = format!("{given} curves are more than one can tell apart");
            let fault = Fault::new(Kind::TooLarge, message).at_flag(flag);
            reader
                .faults
                .push(fault.with_help(format!("at most {most}; print twice")));
        }
    }
    let stop = |text: &String, reader: &mut Reader| {
        reader.take("--stops", Some(text), |text| parse::stop(text, None))
    };
    Wishes {
        at: reader.distances("--at", &args.at),
        stops: args
            .stops
            .iter()
            .filter_map(|text| stop(text, reader))
            .collect(),
    }
}

/// Both plots of each lens on pages; what cannot be made or drawn is noted.
pub(super) fn draw(
    jobs: &[Job],
    wishes: &Wishes,
    prefs: &Prefs,
    made: &mut Vec<Made>,
    skipped: &mut Vec<Skipped>,
) -> Vec<Page> {
    let mut pages = Vec::new();
    for job in jobs {
        for plot in [blur(job, wishes), limits(job, wishes)] {
            let drawn = plot.and_then(|plot| {
                let page = draw::plot::draw(&plot, &prefs.paper, prefs.lie)?;
                Ok((plot.code, page))
            });
            match drawn {
                Ok((code, page)) => {
                    made.push(Made::new("plot", job, code, None));
                    pages.push(page);
                }
                Err(fault) => skipped.push(Skipped::new("plot", &job.lens, fault)),
            }
        }
    }
    pages
}

fn wish(job: &Job, wishes: &Wishes) -> PlotWish {
    PlotWish {
        names: job.names.clone(),
        unit: job.unit,
        close_focus: job.close_focus,
        at: wishes.at.clone(),
    }
}

fn blur(job: &Job, wishes: &Wishes) -> Result<Plot, Fault> {
    let setup = job.wanted.depth_setup(&mut ()).map_err(Fault::from)?;
    Ok(Plot::blur(&setup, &wish(job, wishes))?)
}

fn limits(job: &Job, wishes: &Wishes) -> Result<Plot, Fault> {
    let stops = if wishes.stops.is_empty() {
        usual(job.lens.widest())
    } else {
        let mut stops = wishes.stops.clone();
        stops.sort_by(|one, other| one.number().total_cmp(&other.number()));
        stops.dedup();
        stops
    };
    let setups = stops
        .into_iter()
        .map(|stop| {
            let wanted = Wanted {
                stop: Some(stop),
                ..job.wanted.clone()
            };
            wanted.depth_setup(&mut ()).map_err(Fault::from)
        })
        .collect::<Result<Vec<DepthSetup>, Fault>>()?;
    let Some((widest, others)) = setups.split_first() else {
        return Err(Fault::new(Kind::Usage, "a stop is needed").at_flag("--stops"));
    };
    Ok(Plot::limits(widest, others, &wish(job, wishes))?)
}

/// Wide open and the full stops down to 22.
fn usual(widest: Stop) -> Vec<Stop> {
    let mut stops = table_stops(widest, widest, MOST_PLOT_STOPS);
    let shown = stops
        .iter()
        .take_while(|stop| stop.number() < SMALLEST_STOP)
        .count();
    stops.truncate(shown.max(1));
    stops
}
