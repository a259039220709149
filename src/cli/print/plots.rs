//! The plots of each lens.

use super::Prefs;
use super::jobs::{Job, Made, Skipped};
use crate::cli::args::{PrintArgs, What};
use crate::cli::wish::Reader;
use crate::data::{Fault, Kind};
use crate::draw;
use crate::gear::{DepthSetup, Wanted, Waves};
use crate::scene::Page;
use crate::sheets::{MOST_FOCUSES, MOST_PLOT_STOPS, Plot, PlotWish, table_stops};
use crate::units::{FocusDistance, Stop, parse};

/// The smallest stop shown unasked, with what is engraved as 22 still under it.
const SMALLEST_STOP: f64 = 23.0;

/// What was asked of plots.
#[derive(Default)]
pub(super) struct Wishes {
    /// Focus distances, or where targets stand.
    pub(super) at: Vec<FocusDistance>,
    stops: Vec<Stop>,
    /// A wanted contrast: the plot is then that of contrast through focus.
    pub(super) waves: Option<Waves>,
}

/// Reads the options of plots; they are a fault where no plot is printed.
pub(super) fn wishes(args: &PrintArgs, what: &[What], reader: &mut Reader) -> Wishes {
    let cards = what.iter().any(|what| what.is_card());
    let targets = what.contains(&What::Target);
    let flags = [
        ("--at", !args.at.is_empty() && !targets),
        ("--stops", !args.stops.is_empty()),
        ("--orientation", args.orientation.is_some() && !cards),
        ("--contrast", args.waves.contrast.is_some()),
        ("--wavelength", args.waves.wavelength.is_some()),
    ];
    if !what.contains(&What::Plots) {
        for (flag, _) in flags.iter().filter(|(_, given)| *given) {
            let message = format!("{flag} is for plots, and none are printed");
            let fault = Fault::new(Kind::Usage, message).at_flag(flag);
            reader.faults.push(fault.with_help("add plots"));
        }
        return Wishes {
            at: reader.distances("--at", &args.at),
            ..Wishes::default()
        };
    }
    let by_contrast = args.waves.contrast.is_some();
    if !by_contrast && args.waves.wavelength.is_some() {
        let message = "--wavelength is for the plot of contrast, and no contrast is wanted";
        let fault = Fault::new(Kind::Usage, message).at_flag("--wavelength");
        reader
            .faults
            .push(fault.with_help("add --contrast, as 0.3@40/mm"));
    }
    if by_contrast && args.at.len() > 1 && args.stops.len() > 1 {
        let message = "contrast is plotted at several focus distances or several stops, not both";
        let fault = Fault::new(Kind::Usage, message).at_flag("--stops");
        reader
            .faults
            .push(fault.with_help("one --at with --stops, or print twice"));
    }
    let most_stops = if by_contrast {
        MOST_FOCUSES
    } else {
        MOST_PLOT_STOPS
    };
    let most = [
        ("--at", args.at.len(), MOST_FOCUSES),
        ("--stops", args.stops.len(), most_stops),
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
        waves: reader.waves(&args.waves),
    }
}

/// The plots of each lens on pages: blur and limits, which rest on a circle, or
/// under a wanted contrast that alone; what cannot be made or drawn is noted.
pub(super) fn draw(
    jobs: &[Job],
    wishes: &Wishes,
    prefs: &Prefs,
    made: &mut Vec<Made>,
    skipped: &mut Vec<Skipped>,
) -> Vec<Page> {
    let mut pages = Vec::new();
    for job in jobs.iter().filter(|job| job.is_for(What::Plots)) {
        let plots = match &wishes.waves {
            None => on_a_circle(job, wishes),
            Some(waves) => vec![contrast(job, wishes, waves)],
        };
        for plot in plots {
            let drawn = plot.and_then(|plot| {
                let page = draw::plot::draw(&plot, &prefs.paper, prefs.lie.unwrap_or_default())?;
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

/// Blur, and limits where the lens reaches infinity, to which their axes go.
fn on_a_circle(job: &Job, wishes: &Wishes) -> Vec<Result<Plot, Fault>> {
    let mut plots = vec![blur(job, wishes)];
    let setup = job.wanted.depth_setup(&mut ());
    let farthest = setup.ok().and_then(|setup| setup.setup.lens.farthest());
    if farthest.is_none() {
        plots.push(limits(job, wishes));
    }
    plots
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
        in_order(&wishes.stops)
    };
    let setups = setups(&job.wanted, &stops)?;
    let (widest, others) = setups.split_first().ok_or_else(no_stop)?;
    Ok(Plot::limits(widest, others, &wish(job, wishes))?)
}

fn contrast(job: &Job, wishes: &Wishes, waves: &Waves) -> Result<Plot, Fault> {
    let wanted = Wanted {
        waves: Some(waves.clone()),
        ..job.wanted.clone()
    };
    let stops = if wishes.stops.is_empty() {
        wanted.stop.into_iter().collect()
    } else {
        in_order(&wishes.stops)
    };
    let setups = setups(&wanted, &stops)?;
    let (widest, others) = setups.split_first().ok_or_else(no_stop)?;
    let plot = Plot::contrast(widest, others, &wish(job, wishes))?;
    plot.ok_or_else(|| Fault::new(Kind::Usage, "a contrast is needed").at_flag("--contrast"))
}

/// The stops from the widest to the darkest, each once.
fn in_order(stops: &[Stop]) -> Vec<Stop> {
    let mut stops = stops.to_vec();
    stops.sort_by(|one, other| one.number().total_cmp(&other.number()));
    stops.dedup();
    stops
}

fn setups(wanted: &Wanted, stops: &[Stop]) -> Result<Vec<DepthSetup>, Fault> {
    let at = |&stop: &Stop| {
        let wanted = Wanted {
            stop: Some(stop),
            ..wanted.clone()
        };
        wanted.depth_setup(&mut ()).map_err(Fault::from)
    };
    stops.iter().map(at).collect()
}

fn no_stop() -> Fault {
    Fault::new(Kind::Usage, "a stop is needed").at_flag("--stops")
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
