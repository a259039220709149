//! Writes depth cards of four invented lenses: `cards PAPER light|dark FILE`.

use std::error::Error;
use std::fs::File;
use std::io::BufWriter;

use markwright::draw::Paper;
use markwright::draw::card::{Ground, draw};
use markwright::export::{Exporter, Pdf};
use markwright::gear::{DepthSetup, Frame, LensFigures, Wanted};
use markwright::optics::{Branch, CircleRule, Gate, Pupil};
use markwright::scene::Correction;
use markwright::sheets::{Card, CardWish, Names};
use markwright::units::{BareUnit, Length, PupilMagnification, Ratio, Stop, StopKind, Unit, parse};

/// Focal length, label, close focus, unit, hiatus with pupil magnification, working stop.
type Row = (
    f64,
    &'static str,
    &'static str,
    Unit,
    Option<(f64, f64)>,
    Stop,
);

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(paper), Some(ground), Some(file)) =
        (arguments.next(), arguments.next(), arguments.next())
    else {
        return Err("usage: cards PAPER light|dark FILE, as in: cards a4 dark cards.pdf".into());
    };
    let paper = Paper::named(&paper).ok_or("no such paper; try a4 or letter")?;
    let ground = match ground.as_str() {
        "light" => Ground::Light,
        "dark" => Ground::Dark,
        _ => return Err("the ground is light or dark".into()),
    };
    let t = |number| Stop::new(StopKind::T, number);
    let rows: [Row; 4] = [
        (
            50.0,
            "Prime 50, set 2",
            "2'",
            Unit::Feet,
            Some((-15.6, 1.146)),
            t(2.8)?,
        ),
        (18.0, "Prime 18, set 2", "0.25m", Unit::Feet, None, t(4.0)?),
        (
            100.0,
            "Prime 100, set 2",
            "0.7m",
            Unit::Metres,
            Some((-31.0, 1.146)),
            t(2.8)?,
        ),
        (
            32.0,
            "Prime 32, set 2",
            "0.43m",
            Unit::Metres,
            None,
            t(2.8)?,
        ),
    ];
    let cards = rows.map(card).into_iter().collect::<Result<Vec<_>, _>>()?;
    for c in &cards {}
    let mut pdf = Pdf::new(BufWriter::new(File::create(file)?), "Cards")?;
    for page in draw(&cards, paper, ground, Correction::NONE)? {
        pdf.page(&page)?;
    }
    pdf.finish()?;
    Ok(())
}

fn card((focal, label, close, unit, build, stop): Row) -> Result<Card, Box<dyn Error>> {
    let setup = |stop| setup(focal, build, stop);
    let stops = [1.4, 2.0, 2.8, 4.0, 5.6].map(|number| {
        let stop = Stop::new(StopKind::T, number)?;
        setup(stop)
    });
    let wish = CardWish {
        names: Names {
            title: Some("The Salt Road".into()),
            focal: format!("{focal}"),
            widest: Some("T1.4".into()),
            id: None,
            label: Some(label.into()),
            serial: Some("2047".into()),
            camera: Some("A".into()),
            prepared: None,
        },
        unit,
        close_focus: parse::distance(close, BareUnit::Refused(None))?,
        stops: stops.into_iter().collect::<Result<Vec<_>, _>>()?,
    };
    Ok(Card::new(&setup(stop)?, wish)?)
}

fn setup(focal: f64, build: Option<(f64, f64)>, stop: Stop) -> Result<DepthSetup, Box<dyn Error>> {
    let gate = Gate::new(Length::mm(24.89), Length::mm(13.87))?;
    let magnification = build.map(|(_, pupil)| PupilMagnification::new(pupil));
    let wanted = Wanted {
        lens: LensFigures {
            focal_length: Length::mm(focal),
            pupil: build.map(|(hiatus, _)| Pupil::Hiatus(Length::mm(hiatus))),
            pupil_magnification: magnification.transpose()?,
            transmittance: None,
        },
        stop: Some(stop),
        frame: Some(Frame {
            name: "Super 35, 3 perforations".into(),
            gate,
            picture: gate,
            squeeze: Ratio::ONE,
            convention: Some(CircleRule::Fixed(Length::inches(0.001))),
            verified: true,
        }),
        circle: Some(CircleRule::Fixed(Length::mm(0.025))),
        branch: Branch::Far,
    };
    let setup = wanted.depth_setup(&mut ());
    setup.map_err(|reason| format!("no depth: {reason:?}").into())
}
