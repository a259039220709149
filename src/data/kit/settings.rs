//! `kit.toml`: the kit as a whole, its cameras and how sheets are printed.

use ::toml::de::DeValue;

use super::follow;
use super::toml::{Source, Table};
use crate::data::fault::{Fault, Kind, Place, shortened};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::data::formats;
use crate::data::keys::{KIT, PRINT, RECORDING, SHARPNESS, most};
use crate::gear::{
    Camera, Follow, Front, HandUnit, Kit, Lens, LensId, Marks, PrepRow, PrintPrefs, ShotRow, Sides,
    circle_rule,
};
use crate::optics::{CircleRule, Gate};
use crate::units::{AspectRatio, Length, Stop, Unit, parse};

/// What `kit.toml` says, as far as it could be read.
pub(super) struct Settings {
    title: Option<String>,
    pub units: Option<Unit>,
    prepared: Option<String>,
    cameras: Vec<Option<Camera>>,
    /// The cameras' names, of those too that could not be read.
    names: Vec<String>,
    follow: Option<Follow>,
    hand_units: Vec<HandUnit>,
    front: Option<Front>,
    print: PrintPrefs,
}

/// How sharp is sharp.
#[derive(Clone, Copy, Default)]
struct Sharpness {
    circle: Option<CircleRule>,
    working_stop: Option<Stop>,
}

/// The tables of the file beside its own keys.
const TABLES: [&str; 7] = [
    "recording",
    "camera",
    "sharpness",
    "follow",
    "hand_unit",
    "front",
    "print",
];

/// Reads `kit.toml`.
pub(super) fn read(text: &str, faults: &mut Faults) -> Option<Settings> {
    let source = Source::new("kit.toml", text);
    let parsed = source.parse(faults);
    let top = Table {
        table: parsed.get_ref(),
        place: Place {
            line: Some(1),
            column: Some(1),
            ..Place::in_file("kit.toml")
        },
    };
    let fields = source.fields(&top, &KIT, &TABLES, faults);
    let units = fields.choice(
        "units",
        &[("feet", Unit::Feet), ("metres", Unit::Metres)],
        faults,
    );
    if !fields.has("units") {
        let message = "units is not said: sheets and answers will be in metres";
        faults.push(
            Fault::warning(Kind::Missing, message)
                .with_help("units = \"feet\" or units = \"metres\"")
                .at(Place {
                    key: Some("units".into()),
                    ..top.place.clone()
                }),
        );
    }
    let sharpness = match source.table(top.table, "sharpness", faults) {
        Some(table) => read_sharpness(&source, &table, faults),
        None => Sharpness::default(),
    };
    let (names, cameras) = read_cameras(&source, &top, sharpness, faults);
    let follow = source
        .table(top.table, "follow", faults)
        .map(|table| follow::follow(&source, &table, faults));
    let hand_units = source.tables(top.table, "hand_unit", faults);
    let hand_units = hand_units
        .iter()
        .filter_map(|table| follow::hand_unit(&source, table, faults))
        .collect();
    let front = source
        .table(top.table, "front", faults)
        .map(|table| follow::front(&source, &table, faults));
    let print = match source.table(top.table, "print", faults) {
        Some(table) => read_print(&source.fields(&table, &PRINT, &[], faults), faults),
        None => PrintPrefs::default(),
    };
    Some(Settings {
        title: fields.words("title"),
        units,
        prepared: fields.words("prepared"),
        cameras,
        names,
        follow,
        hand_units,
        front,
        print,
    })
}

fn read_sharpness(source: &Source<'_>, table: &Table<'_>, faults: &mut Faults) -> Sharpness {
    let fields = source.fields(table, &SHARPNESS, &[], faults);
    Sharpness {
        circle: fields.read("circle", faults, circle_rule),
        working_stop: fields.read("working_stop", faults, |text| parse::stop(text, None)),
    }
}

/// The only camera's table, or those of cameras with names.
fn read_cameras(
    source: &Source<'_>,
    top: &Table<'_>,
    sharpness: Sharpness,
    faults: &mut Faults,
) -> (Vec<String>, Vec<Option<Camera>>) {
    let only = source.table(top.table, "recording", faults);
    let named = source.table(top.table, "camera", faults);
    match (only, named) {
        (Some(only), None) => {
            let fields = source.fields(&only, &RECORDING, &[], faults);
            (
                Vec::new(),
                vec![read_camera(None, &fields, sharpness, faults)],
            )
        }
        (Some(_), Some(named)) => {
            let message = "[recording] is the only camera; several stand in [camera.A] and so on";
            faults.push(Fault::new(Kind::Duplicate, message).at(named.place));
            (Vec::new(), Vec::new())
        }
        (None, None) => {
            let fault = Fault::new(Kind::Missing, "no camera: [recording] is missing")
                .at(Place {
                    key: Some("recording".into()),
                    ..Place::in_file("kit.toml")
                })
                .with_help(
                    "add [recording] with format = \"s35-3perf\", from `markwright formats`",
                );
            faults.push(fault);
            (Vec::new(), Vec::new())
        }
        (None, Some(named)) => read_named_cameras(source, &named, sharpness, faults),
    }
}

/// `[camera.A]`, `[camera.B]` and so on; at least one.
fn read_named_cameras(
    source: &Source<'_>,
    top: &Table<'_>,
    sharpness: Sharpness,
    faults: &mut Faults,
) -> (Vec<String>, Vec<Option<Camera>>) {
    let (mut names, mut cameras) = (Vec::new(), Vec::new());
    for (key, value) in source.in_order(top.table) {
        let at = key.span().start;
        let name: &str = key.get_ref().as_ref();
        let place = source.place(at, Some(name));
        if cameras.len() >= most::CAMERAS {
            let message = format!("more than {} cameras", most::CAMERAS);
            faults.push(Fault::new(Kind::TooLarge, message).at(place));
            break;
        }
        if RECORDING.key(name).is_some() && !matches!(value.get_ref(), DeValue::Table(_)) {
            let message = format!("{name} stands under [camera], which is no camera");
            let help = "write [recording] for the only camera, [camera.A] for one of several";
            faults.push(Fault::new(Kind::Usage, message).at(place).with_help(help));
            cameras.push(None);
            continue;
        }
        let Some(table) = source.as_table(name, at, value.get_ref(), faults) else {
            cameras.push(None);
            continue;
        };
        check_camera_name(name, &names, place, faults);
        let fields = source.fields(&table, &RECORDING, &["sharpness"], faults);
        let own = match source.table(table.table, "sharpness", faults) {
            Some(table) => read_sharpness(source, &table, faults),
            None => Sharpness::default(),
        };
        let sharpness = Sharpness {
            circle: own.circle.or(sharpness.circle),
            working_stop: own.working_stop.or(sharpness.working_stop),
        };
        names.push(name.to_owned());
        cameras.push(read_camera(Some(name), &fields, sharpness, faults));
    }
    if cameras.is_empty() {
        let fault = Fault::new(Kind::Missing, "no camera stands under [camera]")
            .at(top.place.clone())
            .with_help("write [recording] for the only camera, [camera.A] for one of several");
        faults.push(fault);
    }
    (names, cameras)
}

/// Names of cameras are printed and typed, as ids of lenses are.
fn check_camera_name(name: &str, others: &[String], place: Place, faults: &mut Faults) {
    let same = |other: &&String| other.to_lowercase() == name.to_lowercase();
    if LensId::new(name).is_err() {
        let message = format!("\"{}\" cannot name a camera", shortened(name));
        let help = "call it A, B … or by a short word of letters and digits";
        faults.push(
            Fault::new(Kind::OutOfRange, message)
                .at(place)
                .with_help(help),
        );
    } else if let Some(other) = others.iter().find(same) {
        let message = format!("camera {name} and camera {other} differ by capitals only");
        faults.push(Fault::new(Kind::Duplicate, message).at(place));
    }
}

fn read_camera(
    name: Option<&str>,
    fields: &Fields,
    sharpness: Sharpness,
    faults: &mut Faults,
) -> Option<Camera> {
    fields.either("format", "gate", faults);
    let frame = match (fields.get("format"), fields.get("gate")) {
        (Some(format), _) => match formats::named(&format.text) {
            Ok(frame) => Some(frame),
            Err(fault) => {
                faults.push(fault.at(format.place.clone()));
                None
            }
        },
        (None, Some(_)) => fields.read("gate", faults, formats::custom),
        (None, None) => {
            let message = "neither format nor gate says what the camera records";
            let help = "format = \"s35-3perf\" or gate = \"24.89 x 18.66 mm\"".to_owned();
            fields.fault("format", Kind::Missing, message, Some(help), faults);
            None
        }
    };
    let extraction = fields.number_as("extraction", faults, AspectRatio::new);
    let hook_offset = fields.mm("hook_offset_mm", faults);
    let frame = match extraction {
        Some(ratio) => frame?.extracted(ratio),
        None => frame?,
    };
    if let Some(rule) = sharpness.circle
        && let Err(reason) = rule.circle(frame.gate, frame.picture(None, &mut ()), &mut ())
    {
        let message = format!("the circle on {}: {reason}", frame.name);
        fields.fault("format", Kind::from(&reason), message, None, faults);
    }
    Some(Camera {
        name: name.map(str::to_owned),
        frame,
        hook_offset: hook_offset.unwrap_or(Length::ZERO),
        circle: sharpness.circle,
        working_stop: sharpness.working_stop,
        serial: fields.words("serial"),
    })
}

fn read_print(fields: &Fields, faults: &mut Faults) -> PrintPrefs {
    let usual = PrintPrefs::default();
    let sides = [
        ("left", Sides::Left),
        ("right", Sides::Right),
        ("both", Sides::Both),
    ];
    let printed = fields.numbers("printed_100mm", faults);
    let printed = printed.and_then(|figures| match figures[..] {
        [across, up] => Some([Length::mm(across), Length::mm(up)]),
        _ => {
            let message = "two figures are wanted: along the short edge, along the long edge";
            let help = Some("write it like [100.0, 100.0]".into());
            fields.fault("printed_100mm", Kind::NotADistance, message, help, faults);
            None
        }
    });
    #[cfg(feature = "scene")]
    check_paper(fields, faults);
    PrintPrefs {
        paper: fields.words("paper").unwrap_or(usual.paper),
        side: fields.choice("side", &sides, faults).unwrap_or(usual.side),
        printed_100mm: printed.unwrap_or(usual.printed_100mm),
    }
}

/// A paper must be one of those that are drawn on.
#[cfg(feature = "scene")]
fn check_paper(fields: &Fields, faults: &mut Faults) {
    use crate::draw::Paper;
    let Some(field) = fields.get("paper") else {
        return;
    };
    if Paper::named(&field.text.to_lowercase()).is_none() {
        let known: Vec<&str> = Paper::all().iter().map(Paper::id).collect();
        let message = format!("no paper is called \"{}\"", shortened(&field.text));
        let help = Some(format!("choose one of {}", known.join(", ")));
        fields.fault("paper", Kind::UnknownId, message, help, faults);
    }
}

impl Settings {
    /// The cameras' names; none where the only camera has none.
    pub fn camera_names(&self) -> Vec<String> {
        self.names.clone()
    }

    /// What the cameras record, as far as they could be read.
    pub fn gates(&self) -> Vec<Gate> {
        let cameras = self.cameras.iter().flatten();
        cameras.map(|camera| camera.frame.gate).collect()
    }

    /// The kit, if everything it needs could be read.
    pub fn kit(
        self,
        lenses: Vec<(Lens, Option<Marks>)>,
        prep: Vec<PrepRow>,
        shots: Vec<ShotRow>,
    ) -> Option<Kit> {
        let cameras: Option<Vec<Camera>> = self.cameras.into_iter().collect();
        Some(Kit {
            title: self.title.unwrap_or_default(),
            units: self.units.unwrap_or(Unit::Metres),
            prepared: self.prepared,
            cameras: cameras.filter(|cameras| !cameras.is_empty())?,
            follow: self.follow,
            hand_units: self.hand_units,
            front: self.front,
            print: self.print,
            lenses,
            prep,
            shots,
        })
    }
}
