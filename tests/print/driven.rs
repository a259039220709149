//! Lenses with what drives them, read from a kit as a user writes it.

use std::fmt::Write as _;

use markwright::data::{MemoryFiles, kit};
use markwright::draw::disc::{self, NoRoom};
use markwright::gear::{CircleOn, Fitted, Kit, Sense, Side, Wanted};
use markwright::optics::{Branch, CircleRule};
use markwright::scale::LensLaw;
use markwright::scene::{Correction, Page};
use markwright::sheets::{Disc, Names, NoDisc, NoStrip, Strip};
use markwright::units::{Length, Stop, StopKind, Unit};

use super::lenses::Lens;
use super::pages::paper;

/// A lens, a follow focus and a hand unit; what is `None` is not written.
#[derive(Clone, Debug)]
pub struct Driven {
    pub lens: Lens,
    pub ring_teeth: Option<u32>,
    pub drive_teeth: Option<u32>,
    pub ratios: Vec<f64>,
    pub knob_travel: Option<f64>,
    pub side: Option<Side>,
    pub reversed: bool,
    pub outer: Option<f64>,
    pub inner: Option<f64>,
    /// Degrees of ring beyond infinity and close focus.
    pub beyond: (Option<f64>, Option<f64>),
    /// Whether the lens's distances are written down as engraved marks.
    pub engraved: bool,
    pub wheel: Option<f64>,
    pub usable: Option<f64>,
    pub wheel_sense: Option<Sense>,
    pub preset: Option<String>,
}

impl Driven {
    /// The 50 mm lens of the tapes with 110 teeth on 40: 2.75 turns for one.
    pub fn fifty() -> Self {
        Self {
            lens: Lens::fifty(),
            ring_teeth: Some(110),
            drive_teeth: Some(40),
            ratios: vec![1.0],
            knob_travel: None,
            side: Some(Side::Left),
            reversed: false,
            outer: Some(92.0),
            inner: Some(38.0),
            beyond: (None, None),
            engraved: true,
            wheel: Some(60.0),
            usable: Some(290.0),
            wheel_sense: Some(Sense::Clockwise),
            preset: Some("P4".into()),
        }
    }

    /// The same lens on a gear that makes less than a turn of the knob of it.
    pub fn single() -> Self {
        Self {
            ratios: vec![0.4],
            ..Self::fifty()
        }
    }

    /// Knob turns for a turn of the ring at a speed, from 0.
    pub fn gearing(&self, speed: usize) -> f64 {
        let first = self.ratios.first().copied().unwrap_or(1.0);
        let ratio = self.ratios.get(speed).copied().unwrap_or(1.0);
        match (self.knob_travel, self.ring_teeth, self.drive_teeth) {
            (Some(knob), ..) => knob / self.lens.travel * ratio / first,
            (None, Some(ring), Some(drive)) => f64::from(ring) / f64::from(drive) * ratio,
            _ => panic!("no gearing"),
        }
    }

    /// The kit, in its files.
    pub fn kit(&self) -> Kit {
        let mut toml = String::from("title = \"Night Harbour\"\n");
        let unit = match self.lens.unit {
            Unit::Feet => "feet",
            Unit::Metres => "metres",
        };
        let _ = writeln!(toml, "units = \"{unit}\"");
        toml.push_str("[recording]\nformat = \"s35-3perf\"\n[follow]\n");
        let mut line = |key: &str, value: Option<String>| {
            if let Some(value) = value {
                let _ = writeln!(toml, "{key} = {value}");
            }
        };
        let mm = |value: Option<f64>| value.map(|value| format!("\"{value} mm\""));
        line("drive_teeth", self.drive_teeth.map(|it| it.to_string()));
        line(
            "knob_ratio",
            Some(format!("{:?}", self.ratios)).filter(|_| !self.ratios.is_empty()),
        );
        let side = self.side.map(|side| match side {
            Side::Left => "\"left\"",
            Side::Right => "\"right\"",
        });
        line("knob_side", side.map(str::to_owned));
        line("reversed", Some(self.reversed.to_string()));
        line("disc_outer", mm(self.outer));
        line("disc_inner", mm(self.inner));
        line("[[hand_unit]]\nname", Some("\"hand unit 1\"".into()));
        line("wheel_diameter", mm(self.wheel));
        line("usable_deg", self.usable.map(|it| it.to_string()));
        line(
            "sense",
            self.wheel_sense.map(|it| format!("\"{}\"", it.name())),
        );
        let lens = &self.lens;
        let each = [
            ("id", Some("X".to_owned())),
            (
                "label",
                lens.names.label.as_ref().map(|it| format!("\"{it}\"")),
            ),
            ("focal_mm", Some(lens.focal.to_string())),
            ("f_number", Some("1.3".into())),
            ("close_focus", Some(format!("{}mm", lens.close_focus))),
            ("sense", Some(lens.sense.name().to_owned())),
            ("travel_deg", Some(lens.travel.to_string())),
            ("ring_diameter_mm", lens.diameter.map(|it| it.to_string())),
            ("tape_thickness_mm", Some(lens.thickness.to_string())),
            ("beyond_inf_deg", self.beyond.0.map(|it| it.to_string())),
            ("beyond_near_deg", self.beyond.1.map(|it| it.to_string())),
            ("ring_teeth", self.ring_teeth.map(|it| it.to_string())),
            ("knob_travel_deg", self.knob_travel.map(|it| it.to_string())),
            ("hand_unit_preset", self.preset.clone()),
        ];
        let given = each.iter().filter(|column| column.1.is_some());
        let names: Vec<&str> = given.clone().map(|column| column.0).collect();
        let cells: Vec<&str> = given.filter_map(|column| column.1.as_deref()).collect();
        let lenses = format!("{}\n{}\n", names.join(","), cells.join(","));
        let mut files = MemoryFiles::new()
            .with("kit.toml", toml)
            .with("lenses.csv", lenses);
        if self.engraved {
            files = files.with("marks/X.csv", self.marks());
        }
        let read = kit::read(&files);
        let (kit, _) = read.unwrap_or_else(|faults| panic!("{faults:?}: {self:?}"));
        kit
    }

    /// Engraved marks where a helicoid has them.
    fn marks(&self) -> String {
        let lens = &self.lens;
        let ends = [f64::INFINITY, lens.close_focus];
        let mut distances: Vec<f64> = lens.engraved.iter().copied().chain(ends).collect();
        distances.sort_by(|one, other| other.total_cmp(one));
        distances.dedup();
        let rows = distances.iter().map(|&distance| {
            let written = if distance.is_infinite() {
                "inf".to_owned()
            } else {
                format!("{distance}mm")
            };
            let turn = lens.travel * super::measure::share(lens, distance);
            format!("{written},{turn},engraved\n")
        });
        format!("distance,position_deg,kind\n{}", rows.collect::<String>())
    }

    fn wanted(&self, kit: &Kit) -> Wanted {
        Wanted {
            lens: kit.lenses[0].0.figures(),
            stop: Some(Stop::new(StopKind::F, self.lens.stop).expect("a stop")),
            frame: None,
            circle: Some(CircleRule::Fixed(Length::mm(self.lens.circle))),
            branch: Branch::Far,
            circle_on: CircleOn::Sensor,
            fitted: Fitted::default(),
            waves: None,
            notes: Vec::new(),
        }
    }

    /// Its discs, one a speed, or why there are none.
    pub fn discs(&self) -> Result<Vec<Disc>, NoDisc> {
        let kit = self.kit();
        let (lens, marks) = &kit.lenses[0];
        let law = LensLaw::of(lens, marks.as_ref(), None).expect("a law");
        let setup = self.wanted(&kit).depth_setup(&mut ()).expect("a setup");
        let names: &Names = &self.lens.names;
        let of = (lens, marks.as_ref());
        Disc::all(
            of,
            &law,
            &setup,
            kit.follow.as_ref(),
            (names, self.lens.unit),
        )
    }

    /// Its strip, or why there is none.
    pub fn strip(&self) -> Result<Strip, NoStrip> {
        let kit = self.kit();
        let (lens, marks) = &kit.lenses[0];
        let law = LensLaw::of(lens, marks.as_ref(), None).expect("a law");
        let setup = self.wanted(&kit).depth_setup(&mut ()).expect("a setup");
        let names = (self.lens.names.clone(), self.lens.unit);
        Strip::new(
            (lens, marks.as_ref()),
            &law,
            &setup,
            &kit.hand_units[0],
            names,
        )
    }

    /// The pages of its discs.
    pub fn pages(&self, id: &str) -> Result<Vec<Page>, NoRoom> {
        let discs = self.discs().expect("a gearing");
        disc::draw(&discs, paper(id), Correction::NONE)
    }
}
