//! The plot beside a rack's answer.

use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::answers::RackAnswer;
use crate::cli::args::{PlotArgs, PrintForm};
use crate::cli::kit::Opened;
use crate::cli::print::{content, lie, paper, replacing};
use crate::cli::wish::Reader;
use crate::cli::world::{self, NewFile};
use crate::data::{Fault, Kind, shortened};
use crate::draw::Paper;
use crate::draw::plot::{Lie, draw};
use crate::gear::PrintPrefs;
use crate::sheets::Plot;

/// A plot that was written.
#[derive(Serialize)]
pub(super) struct Plotted {
    pub(super) file: String,
    code: String,
}

/// A rack's answer with the plot that was written beside it.
#[derive(Serialize)]
pub(super) struct WithPlot<'a> {
    #[serde(flatten)]
    pub(super) answer: &'a RackAnswer,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) plot: Option<&'a Plotted>,
}

/// Where and how a plot is to be written.
pub(super) struct Wanted {
    file: PathBuf,
    form: PrintForm,
    paper: Paper,
    lie: Lie,
    replace: bool,
}

impl Wanted {
    /// What was typed of a plot, if one is wanted.
    pub(super) fn read(
        typed: &PlotArgs,
        opened: Option<&Opened>,
        reader: &mut Reader,
    ) -> Option<Self> {
        let file = typed.file.as_ref()?;
        let kit = opened.map_or_else(PrintPrefs::default, |opened| opened.kit.print.clone());
        let paper = paper(typed.paper.as_ref(), &kit, reader);
        let form = form_of(file);
        if form.is_none() {
            let message = format!(
                "\"{}\" does not say what is to be drawn",
                shortened(&file.display().to_string())
            );
            let fault = Fault::new(Kind::Usage, message).at_flag("--plot");
            reader
                .faults
                .push(fault.with_help("a name that ends in .pdf, .svg or .png"));
        }
        Some(Self {
            file: file.clone(),
            form: form?,
            paper: paper?,
            lie: lie(typed.orientation),
            replace: typed.replace,
        })
    }

    /// Draws a plot and writes it.
    pub(super) fn write(&self, plot: &Plot) -> Result<Plotted, Vec<Fault>> {
        let page = draw(plot, &self.paper, self.lie).map_err(|reason| vec![reason.into()])?;
        let pages = [page];
        let file = NewFile {
            path: self.file.clone(),
            content: content(self.form, &plot.title, &pages),
        };
        let refused = |fault: Fault| {
            if fault.kind != Kind::Exists {
                return fault;
            }
            let help = if self.replace {
                "move it away or give --plot another name; it is left as it is"
            } else {
                "give --plot another name, or add --replace to write over a plot of ours"
            };
            fault.at_flag("--plot").with_help(help)
        };
        world::write_all(vec![file], replacing(self.replace))
            .map_err(|faults| faults.into_iter().map(refused).collect::<Vec<_>>())?;
        Ok(Plotted {
            file: self.file.display().to_string(),
            code: plot.code.to_string(),
        })
    }
}

fn form_of(file: &Path) -> Option<PrintForm> {
    let ending = file.extension()?.to_str()?.to_lowercase();
    match ending.as_str() {
        "pdf" => Some(PrintForm::Pdf),
        "svg" => Some(PrintForm::Svg),
        "png" => Some(PrintForm::Png),
        _ => None,
    }
}
