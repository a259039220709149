//! Every key and column of a kit, written down once: how it is read, what it may
//! be, what is suggested for a slip of the pen, and what the documents say.

use Form::{
    Angle, Distance, Length, Name, Number, Numbers, OneOf, Other, Pair, Stop, Whole, Words,
};
use Need::{Free, Needed, Or};

use crate::units::range::{self, Range};

/// How a key's text is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// Words, kept as they are.
    Words,
    /// A name that must match another's.
    Name,
    /// A plain number, in the unit of its range.
    Number(&'static Range),
    /// A whole number.
    Whole(&'static Range),
    /// Several plain numbers.
    Numbers(&'static Range),
    /// Two plain numbers.
    Pair(&'static Range),
    /// A length with its unit.
    Length(&'static Range),
    /// An angle with its unit.
    Angle(&'static Range),
    /// A distance with its unit, or infinity where that can be.
    Distance,
    /// A stop.
    Stop,
    /// One of a few words.
    OneOf(&'static [&'static str]),
    /// Something else, in words.
    Other(&'static str),
}

impl Form {
    /// What a number of this form may be.
    #[must_use]
    pub const fn range(self) -> Option<&'static Range> {
        match self {
            Self::Number(range)
            | Self::Whole(range)
            | Self::Numbers(range)
            | Self::Pair(range)
            | Self::Length(range)
            | Self::Angle(range) => Some(range),
            Self::Words
            | Self::Name
            | Self::Distance
            | Self::Stop
            | Self::OneOf(_)
            | Self::Other(_) => None,
        }
    }
}

/// Whether a key must be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It must.
    Needed,
    /// It need not.
    Free,
    /// It need not; what is then taken.
    Or(&'static str),
}

/// One key of `kit.toml` or one column of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// How its text is read.
    pub form: Form,
    /// Whether it must be there.
    pub need: Need,
    /// What it means.
    pub meaning: &'static str,
    /// What one writes, for example.
    pub example: &'static str,
}

impl Key {
    /// Whether its absence is a fault.
    #[must_use]
    pub const fn is_needed(&self) -> bool {
        matches!(self.need, Need::Needed)
    }
}

/// Which keys of a section are read and checked although no sheet and no answer
/// uses them yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Waits {
    /// None: all are used.
    Nothing,
    /// These.
    These(&'static [&'static str]),
    /// The whole section.
    All,
}

/// The keys that stand together: a table of `kit.toml`, or a file's columns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// The file, `ID` standing for a lens's id.
    pub file: &'static str,
    /// The table within it, with brackets of its own where it is a list of them;
    /// empty for the file itself.
    pub heading: &'static str,
    /// What it is about.
    pub meaning: &'static str,
    /// What of it is not used yet.
    pub waits: Waits,
    /// Its keys, in the order documents give them.
    pub keys: &'static [Key],
}

impl Section {
    /// The words a key may hold; none where it holds something else.
    #[must_use]
    pub fn words_of(&self, name: &str) -> &'static [&'static str] {
        match self.key(name).map(|key| key.form) {
            Some(Form::OneOf(words)) => words,
            _ => &[],
        }
    }

    /// A key by its name.
    #[must_use]
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

macro_rules! section {
    ($(#[$doc:meta])* $id:ident, $file:literal, $heading:literal, $waits:expr, $meaning:literal;
     $($name:ident: $form:expr, $need:expr, $about:literal, $example:literal;)+) => {
        $(#[$doc])*
        pub const $id: Section = Section {
            file: $file,
            heading: $heading,
            meaning: $meaning,
            waits: $waits,
            keys: &[$(Key {
                name: stringify!($name),
                form: $form,
                need: $need,
                meaning: $about,
                example: $example,
            }),+],
        };
    };
}

const UNITS: Form = OneOf(&["feet", "metres"]);
const SENSE: Form = OneOf(&["clockwise", "counter-clockwise"]);
const GATE: Form = Other("width x height, with the unit `mm` or `in`");
const CIRCLE: Form = Other(
    "`0.025 mm`, `25 um`, `0.001 in`, `diagonal/1500`, `pixels:2/4096`, `lines:40/mm` or \
     `viewing:10m@12m` (screen width at viewing distance)",
);

section! {
    /// The top of `kit.toml`.
    KIT, "kit.toml", "", Waits::Nothing, "the kit as a whole";
    title: Words, Free, "printed on every sheet", "Night exteriors";
    units: UNITS, Or("metres"), "the unit sheets and answers are written in", "feet";
    prepared: Words, Or("sheets leave room to write it"), "when it was prepared, printed as it stands", "2031-04-02";
}

section! {
    /// `[recording]`, or `[camera.A]`, `[camera.B]` …
    RECORDING, "kit.toml", "recording", Waits::Nothing, "the camera; with several, or to give it a name, [camera.A], [camera.B] and so on hold the same keys";
    format: Name, Free, "a recording format, from `markwright formats`; this or gate is needed", "s35-3perf";
    gate: GATE, Free, "width by height of the recorded area, instead of a format", "24.89 x 18.66 mm";
    extraction: Number(&range::ASPECT), Or("the whole area"), "width over height of the part that will be seen", "2.39";
    hook_offset_mm: Number(&range::HOOK_OFFSET), Or("0"), "how far the tape hook sits beside the lens's axis", "0";
    serial: Words, Free, "the camera's serial number", "no. 7";
}

section! {
    /// `[sharpness]`, or `[camera.A.sharpness]`.
    SHARPNESS, "kit.toml", "sharpness", Waits::Nothing, "how sharp is sharp; [camera.A.sharpness] holds the same keys for one camera";
    circle: CIRCLE, Or("the format's custom, printed as assumed; with a gate diagonal/1500"), "the circle of confusion on the image plane", "0.025 mm";
    working_stop: Stop, Or("each lens's widest"), "the stop the shoot works at", "T2.8";
}

section! {
    /// `[follow]`.
    FOLLOW, "kit.toml", "follow", Waits::Nothing, "the follow focus, for turns of its knob and discs";
    drive_teeth: Whole(&range::TEETH), Free, "teeth of the gear that drives the lens's ring", "40";
    knob_ratio: Numbers(&range::KNOB_RATIO), Free, "knob turns per turn of the drive gear; a list for several speeds, each with a disc of its own", "1.0";
    knob_side: OneOf(&["left", "right"]), Free, "the side of the camera the knob is on; unsaid, discs count as for the left and say so", "left";
    reversed: OneOf(&["true", "false"]), Or("false"), "whether the knob turns against the drive gear, seen as docs/discs.md has it", "false";
    disc_outer: Length(&range::DIAMETER), Free, "outer diameter of the marking disc; unsaid, discs are 92 mm and say so", "92 mm";
    disc_inner: Length(&range::DIAMETER), Free, "diameter of the hole in the disc; unsaid, 38 mm", "38 mm";
}

section! {
    /// `[[hand_unit]]`.
    HAND_UNIT, "kit.toml", "[hand_unit]", Waits::Nothing, "a hand unit, for strips; the table may stand several times";
    name: Words, Needed, "what it is called", "hand unit 1";
    wheel_diameter: Length(&range::DIAMETER), Free, "diameter of the wheel a strip goes on", "60 mm";
    usable_deg: Number(&range::TRAVEL_ANGLE), Free, "how much of a turn is used: what the whole scale, infinity to close focus, is spread over", "290";
    sense: SENSE, Free, "the way it turns from infinity to close focus, seen on its face", "clockwise";
}

section! {
    /// `[front]`.
    FRONT, "kit.toml", "front", Waits::All, "what stands in front of the lens: matte box, filters, rods";
    back_diameter: Length(&range::DIAMETER), Free, "the lens front the matte box clips on", "114 mm";
    stages: Whole(&range::STAGES), Free, "how many filters it takes one behind the other", "2";
    filter: GATE, Free, "width by height of its filters", "101.6 x 143.5 mm";
    rods: OneOf(&["15mm-light", "15mm-studio", "19mm-studio"]), Free, "the rods: 60 mm, 100 mm or 104 mm apart", "15mm-light";
}

section! {
    /// `[print]`.
    PRINT, "kit.toml", "print", Waits::Nothing, "how sheets are printed";
    paper: Other("the id of a paper, from `markwright print --help`"), Or("a4"), "the paper", "a4";
    side: OneOf(&["left", "right", "both"]), Or("left"), "from which side of the camera tapes are read", "left";
    printed_100mm: Pair(&range::PRINTED_100MM), Or("[100.0, 100.0]"), "what the page's 100 mm rulers measured on paper: horizontal (along the short edge of an upright page), vertical (along its long edge)", "[100.0, 100.0]";
}

section! {
    /// `lenses.csv`.
    LENSES, "lenses.csv", "", Waits::These(&["front_diameter_mm", "mount"]), "one lens a line";
    id: Name, Needed, "what the lens is called here; its files are named after it", "40";
    label: Words, Or("the id"), "what sheets call it", "40 mm";
    serial: Words, Free, "its serial number", "no. 4";
    focal_mm: Other("number of millimetres, or two with `..` between them"), Needed, "focal length, or 25..250 for a zoom", "40";
    card_focals: Numbers(&range::FOCAL_LENGTH), Free, "the focal lengths of a zoom that get cards", "25 50 100 250";
    f_number: Number(&range::F_NUMBER), Free, "widest f-number; this or t_number is needed", "1.9";
    t_number: Number(&range::T_NUMBER), Free, "widest T-number; bare stops on this lens are then T", "2.1";
    transmittance: Number(&range::TRANSMITTANCE), Or("0.80, printed as assumed"), "the share of light that passes; f- and T-number give it", "0.85";
    close_focus: Distance, Needed, "nearest distance on the scale, from the image plane", "1'6\"";
    engraved: UNITS, Free, "the unit of its own scale; its own distances then need no unit", "feet";
    hiatus_mm: Number(&range::HIATUS), Or("0, and close figures are cautious"), "between the principal planes; may be below zero", "-15.6";
    entrance_pupil_mm: Number(&range::ENTRANCE_PUPIL), Free, "entrance pupil in front of the image plane at infinity focus, instead of hiatus_mm", "62";
    pupil_magnification: Number(&range::PUPIL_MAGNIFICATION), Or("1, told as assumed"), "exit pupil over entrance pupil", "1.2";
    sense: SENSE, Free, "the way the ring TURNS from infinity to close focus, seen from behind the camera; a tape needs it", "clockwise";
    ring_circumference_mm: Number(&range::CIRCUMFERENCE), Free, "round the ring, over what is stuck on already: what a strip wrapped once reads, less 0.3 mm for its own thickness", "283";
    ring_diameter_mm: Number(&range::DIAMETER), Free, "across the ring, instead of the circumference", "90";
    travel_deg: Number(&range::TRAVEL_ANGLE), Free, "the ring's turn from the infinity to the close-focus mark", "290";
    travel_mm: Number(&range::TRAVEL_LENGTH), Free, "the same along the bare ring, instead of travel_deg: what a strip reads, less its share of the 0.3 mm (0.3 mm x travel / circumference)", "228";
    beyond_inf_deg: Number(&range::TURN_BEYOND), Free, "how far the ring turns beyond the infinity mark", "2";
    beyond_near_deg: Number(&range::TURN_BEYOND), Free, "how far it turns beyond the close-focus mark", "3";
    stops: OneOf(&["both", "infinity", "near", "none"]), Free, "where it comes up against something hard", "both";
    witness: OneOf(&["rear", "front"]), Or("rear"), "which edge of a tape meets the witness mark", "rear";
    band_mm: Number(&range::BAND), Free, "the free width for a tape", "14";
    marks_diameter_mm: Number(&range::DIAMETER), Or("the ring itself"), "diameter of the surface marks were read on", "90";
    tape_thickness_mm: Number(&range::TAPE_THICKNESS), Or("0.10, office paper"), "thickness of the tape", "0.10";
    front_diameter_mm: Number(&range::DIAMETER), Free, "outer diameter of the lens front", "114";
    front_distance_mm: Number(&range::FRONT_DISTANCE), Free, "from the image plane to the front rim", "180";
    ring_teeth: Whole(&range::TEETH), Free, "teeth of the focus ring", "128";
    knob_travel_deg: Number(&range::TRAVEL_ANGLE), Free, "the knob's turn over the whole scale, measured; it wins over gears", "410";
    hand_unit_preset: Words, Free, "what the hand unit calls this lens", "P4";
    squeeze: Number(&range::SQUEEZE), Or("1"), "how much it squeezes the width", "2";
    anamorph: OneOf(&["front", "rear"]), Or("front"), "which part of it squeezes", "front";
    scale_from: OneOf(&["image-plane", "front"]), Or("image-plane"), "what its own scale counts from; front needs front_distance_mm", "image-plane";
    mount: Words, Free, "its mount", "54 mm bayonet";
    rear_filter_mm: Number(&range::REAR_FILTER), Free, "thickness of the filter behind it", "0.1";
}

section! {
    /// `marks/ID.csv`.
    MARKS, "marks/ID.csv", "", Waits::Nothing, "where distances stand on that lens's ring; one of the position columns";
    distance: Distance, Needed, "from the image plane, or inf", "5'6\"";
    position_mm: Numbers(&range::RING_ARC), Free, "along the surface it was read on, from any zero, either direction; repeats in one cell are averaged; empty: not read yet", "104.5";
    position_deg: Numbers(&range::RING_ANGLE), Free, "the same as an angle of the ring", "133.5";
    position_fraction: Numbers(&range::FRACTION), Free, "the same as a part of the whole travel", "0.46";
    position_counts: Numbers(&range::COUNTS), Free, "the same in steps of an encoder", "30146";
    kind: OneOf(&["engraved", "eye", "read"]), Or("read"), "engraved: the maker's mark; eye: found sharp on a chart at the taped distance; read: nobody said how", "eye";
    sd_deg: Number(&range::RING_SD), Free, "standard deviation of the position; unless said 0.3 for one setting of the ring, less as repeats are averaged, more where they differ by more than chance, and with kind eye what the tape may be off", "0.2";
    camera: Name, Or("any camera"), "the camera it was found on, as [camera.A] names it", "A";
}

section! {
    /// `zoom/ID.csv`.
    ZOOM, "zoom/ID.csv", "", Waits::Nothing, "what varies along a zoom; between its focal lengths a monotone cubic runs. Answers are for its longest unless `--focal` picks another, cards for `card_focals`";
    focal_mm: Number(&range::FOCAL_LENGTH), Needed, "the focal length", "50";
    hiatus_mm: Number(&range::HIATUS), Or("that of lenses.csv"), "between the principal planes", "40";
    entrance_pupil_mm: Number(&range::ENTRANCE_PUPIL), Or("that of lenses.csv"), "entrance pupil in front of the image plane at infinity focus", "210";
    pupil_magnification: Number(&range::PUPIL_MAGNIFICATION), Or("that of lenses.csv"), "exit pupil over entrance pupil", "1.1";
    f_number: Number(&range::F_NUMBER), Or("that of lenses.csv"), "widest f-number there", "2.8";
    t_number: Number(&range::T_NUMBER), Or("that of lenses.csv"), "widest T-number there", "3.1";
}

section! {
    /// `breathing/ID.csv`.
    BREATHING, "breathing/ID.csv", "", Waits::Nothing, "a lens whose focal length changes with focus: what a data sheet or a chart says of one or several settings, the closest among them";
    distance: Distance, Needed, "focus distance, from the image plane", "0.45m";
    magnification: Number(&range::MAGNIFICATION), Free, "image size over object size there; this or field_width_mm is needed", "0.105";
    field_width_mm: Number(&range::FRAMED_WIDTH), Free, "the width that fills the recorded width there", "237";
    entrance_pupil_mm: Number(&range::ENTRANCE_PUPIL), Or("the hiatus stays that of infinity focus"), "entrance pupil in front of the image plane at that focus", "52";
}

section! {
    /// `prep.csv`.
    PREP, "prep.csv", "", Waits::These(&["temperature", "note"]), "prep day: what each scale said when the chart was sharp";
    lens: Name, Needed, "the lens, by its id", "40";
    stop: Stop, Needed, "the stop", "T2.1";
    taped: Distance, Needed, "from the image plane to the chart, or inf", "6'";
    reading: Other("distances as the scale has them, a space between"), Free, "what the engraved scale said; repeats in one cell; this or reading_deg is needed", "5'11 6' 6'1";
    reading_deg: Numbers(&range::RING_ANGLE), Free, "the same as an angle of the ring: with the zero and the direction of marks in position_deg, else from the infinity mark toward close focus", "141.5 141.9";
    camera: Name, Free, "the camera", "A";
    taped_sd: Length(&range::TAPE_SD), Free, "standard deviation of the tape; unless said 5 mm under 1 m, 10 mm to 2 m, 25 mm beyond", "3mm";
    reading_sd_deg: Number(&range::RING_SD), Free, "standard deviation of one setting of the ring; unless said 0.3", "0.3";
    temperature: Words, Free, "the temperature", "20 °C";
    note: Words, Free, "anything else", "after lunch";
}

section! {
    /// `shots.csv`.
    SHOTS, "shots.csv", "", Waits::All, "the day's shots, a line a cue; lines of one shot stand together";
    shot: Words, Needed, "the shot", "12B";
    lens: Name, Needed, "the lens, by its id", "40";
    stop: Stop, Needed, "the stop", "T2.8";
    cue: Words, Needed, "who or what, and when", "she turns";
    distance: Distance, Needed, "from the image plane", "7'3\"";
    camera: Name, Free, "the camera", "A";
    day: Words, Free, "the day", "3";
    scene: Words, Free, "the scene", "12";
    seconds: Number(&range::SECONDS), Free, "how long the pull to this cue takes", "2.5";
    speed: Other("a length with its unit and `/s`, or a number and `km/h`"), Free, "how fast the subject goes along the axis", "1.2m/s";
    across: Length(&range::ASIDE), Free, "how far beside the axis the subject stands", "2'";
    attachment: Words, Free, "what is on the lens", "close-up +1";
    height: Length(&range::ASIDE), Free, "height of the lens", "4'6\"";
    tilt: Angle(&range::TILT), Free, "tilt of the camera, up above zero", "-10deg";
    shot_distance: Distance, Free, "the distance it was really shot at", "7'1\"";
    shot_stop: Stop, Free, "the stop it was really shot at", "T2.8 1/3";
    note: Words, Free, "anything; every column beginning with note is carried through", "matches 11";
}

/// Every section, in the order documents give them.
pub const ALL: &[Section] = &[
    KIT, RECORDING, SHARPNESS, FOLLOW, HAND_UNIT, FRONT, PRINT, LENSES, MARKS, ZOOM, BREATHING,
    PREP, SHOTS,
];

section! {
    /// `charts/card.toml`.
    CARD_LAYOUT, "card.toml", "", Waits::Nothing, "the depth card";
    margin_mm: Number(&range::CARD_MARGIN), Free, "kept free inside the edges of a card", "8";
    figure_mm: Number(&range::CARD_FIGURE), Free, "least height of focus distances", "5";
    limit_mm: Number(&range::CARD_OTHER), Free, "least height of limits, and of the distances of the table face", "4";
    other_mm: Number(&range::CARD_OTHER), Free, "least height of misses", "2.5";
    lines: Whole(&range::CARD_LINES), Free, "the most lines of a face", "12";
    stops: Whole(&range::CARD_STOPS), Free, "the most stops across", "5";
    columns: OneOf(&["limits", "misses"]), Free, "what stands in columns, a list", "[\"limits\"]";
    words: OneOf(&["morning", "gate", "title", "hyperfocal"]), Free, "what stands there that one may do without, a list", "[\"morning\"]";
}

section! {
    /// `charts/hyperfocals.toml`.
    HYPERFOCAL_LAYOUT, "hyperfocals.toml", "", Waits::Nothing, "the hyperfocal card of a set";
    margin_mm: Number(&range::CARD_MARGIN), Free, "kept free inside the edges of a card", "8";
    figure_mm: Number(&range::CARD_FIGURE), Free, "least height of hyperfocal distances and focal lengths", "5";
    limit_mm: Number(&range::CARD_OTHER), Free, "least height of near limits", "4";
    other_mm: Number(&range::CARD_OTHER), Free, "least height of places on the scale", "2.5";
    lines: Whole(&range::CARD_LINES), Free, "the most lines of a face", "12";
    stops: Whole(&range::CARD_STOPS), Free, "the most stops across", "5";
    columns: OneOf(&["near", "place"]), Free, "what stands in columns, a list", "[\"near\"]";
    words: OneOf(&["gate", "title"]), Free, "what stands there that one may do without, a list", "[\"gate\"]";
}

section! {
    /// `charts/fields.toml`.
    FIELD_LAYOUT, "fields.toml", "", Waits::Nothing, "the field cards";
    margin_mm: Number(&range::CARD_MARGIN), Free, "kept free inside the edges of a card", "8";
    figure_mm: Number(&range::CARD_FIGURE), Free, "least height of focus distances and focal lengths", "5";
    limit_mm: Number(&range::CARD_OTHER), Free, "least height of widths and heights", "4";
    other_mm: Number(&range::CARD_OTHER), Free, "least height of angles, and of heights on the card of a set", "2.5";
    lines: Whole(&range::CARD_LINES), Free, "the most lines of a face", "12";
    columns: OneOf(&["width", "height", "angle"]), Free, "what stands in columns, a list", "[\"width\"]";
    words: OneOf(&["gate", "title", "drawing"]), Free, "what stands there that one may do without, a list", "[\"gate\"]";
}

section! {
    /// `charts/conversions.toml`.
    CONVERSION_LAYOUT, "conversions.toml", "", Waits::Nothing, "the conversion card";
    margin_mm: Number(&range::CARD_MARGIN), Free, "kept free inside the edges of a card", "8";
    figure_mm: Number(&range::CARD_FIGURE), Free, "least height of the distances and stops one looks up", "5";
    limit_mm: Number(&range::CARD_OTHER), Free, "least height of what they are in the other unit", "4";
    other_mm: Number(&range::CARD_OTHER), Free, "least height of exact values of stops", "2.5";
    lines: Whole(&range::CARD_LINES), Free, "the most lines of a face", "12";
    columns: OneOf(&["feet_to_metres", "metres_to_feet", "stops"]), Free, "what stands in columns, a list", "[\"feet_to_metres\"]";
    words: OneOf(&["title"]), Free, "what stands there that one may do without, a list", "[\"title\"]";
}

/// The layouts of cards, in the order documents give them.
pub const LAYOUTS: &[Section] = &[
    CARD_LAYOUT,
    HYPERFOCAL_LAYOUT,
    FIELD_LAYOUT,
    CONVERSION_LAYOUT,
];

/// The bounds of a kit.
pub mod most {
    /// Lenses in a kit.
    pub const LENSES: usize = 10_000;
    /// Cameras in a kit.
    pub const CAMERAS: usize = 100;
    /// Marks of a lens, and rows of a zoom.
    pub const MARKS: usize = 1_000;
    /// Bytes in a file.
    pub const BYTES: usize = 16 * 1024 * 1024;
    /// Columns of a table.
    pub const COLUMNS: usize = 1_000;
    /// Faults told of one file.
    pub const FAULTS: usize = 200;
    /// Faults told of a kit.
    pub const FAULTS_OF_A_KIT: usize = 5_000;
}
