//! Every key and column of a kit, written down once: what is accepted, what is
//! suggested for a slip of the pen, and what the documents say.

/// How a key's text is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Words, kept as they are.
    Words,
    /// A name that must match another file's.
    Name,
    /// A figure, a quantity, or one of a few words.
    Figure,
}

/// One key of `kit.toml` or one column of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// How its text is read.
    pub form: Form,
    /// Whether it must be there.
    pub required: bool,
    /// What it means.
    pub meaning: &'static str,
    /// What one writes, for example.
    pub example: &'static str,
}

/// The keys that stand together: a table of `kit.toml`, or a file's columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Section {
    /// The file, `ID` standing for a lens's id.
    pub file: &'static str,
    /// The table within it; empty for the file itself.
    pub heading: &'static str,
    /// What it is about.
    pub meaning: &'static str,
    /// Its keys, in the order documents give them.
    pub keys: &'static [Key],
}

impl Section {
    /// A key by its name.
    #[must_use]
    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}

macro_rules! section {
    ($(#[$doc:meta])* $id:ident, $file:literal, $heading:literal, $meaning:literal;
     $($name:ident $form:ident $need:ident $about:literal, $example:literal;)+) => {
        $(#[$doc])*
        pub const $id: Section = Section {
            file: $file,
            heading: $heading,
            meaning: $meaning,
            keys: &[$(Key {
                name: stringify!($name),
                form: Form::$form,
                required: section!(@ $need),
                meaning: $about,
                example: $example,
            }),+],
        };
    };
    (@ needed) => { true };
    (@ free) => { false };
}

section! {
    /// The top of `kit.toml`.
    KIT, "kit.toml", "", "the kit as a whole";
    title Words free "printed on every sheet", "Night exteriors";
    units Figure free "the unit of output: feet or metres; metres unless said", "feet";
    prepared Words free "when it was prepared, printed as it stands; else sheets leave room for it", "2031-04-02";
}

section! {
    /// `[recording]`, or `[camera.A]`, `[camera.B]` …
    RECORDING, "kit.toml", "recording", "the camera; with several, [camera.A], [camera.B] and so on hold the same keys";
    format Name free "a recording format, from `markwright formats`; or give gate", "s35-3perf";
    gate Figure free "width by height of the recorded area, instead of a format", "24.89 x 18.66 mm";
    extraction Figure free "width over height of the part that will be seen", "2.39";
    hook_offset_mm Figure free "how far the tape hook sits beside the lens's axis", "0";
    serial Words free "the camera's serial number", "no. 7";
}

section! {
    /// `[sharpness]`, or `[camera.A.sharpness]`.
    SHARPNESS, "kit.toml", "sharpness", "how sharp is sharp";
    circle Figure free "the circle of confusion, in any form --circle takes", "0.025 mm";
    working_stop Figure free "the stop the shoot works at", "T2.8";
}

section! {
    /// `[follow]`.
    FOLLOW, "kit.toml", "follow", "the follow focus";
    drive_teeth Figure free "teeth of the gear that drives the lens's ring", "40";
    knob_ratio Figure free "knob turns per turn of the drive gear; a list for two speeds", "1.0";
    knob_side Figure free "the side of the camera the knob is on: left or right", "left";
    reversed Figure free "whether the knob turns against the drive gear: true or false", "false";
    disc_outer Figure free "outer diameter of the marking disc", "92 mm";
    disc_inner Figure free "diameter of the hole in the disc", "38 mm";
}

section! {
    /// `[[hand_unit]]`.
    HAND_UNIT, "kit.toml", "hand_unit", "a hand unit; the table may stand several times";
    name Words needed "what it is called", "hand unit 1";
    wheel_diameter Figure free "diameter of the wheel a strip goes on", "60 mm";
    usable_deg Figure free "how much of a turn is used", "290";
    sense Figure free "the way it turns from infinity to close focus: clockwise or counter-clockwise", "clockwise";
}

section! {
    /// `[front]`.
    FRONT, "kit.toml", "front", "what stands in front of the lens: matte box, filters, rods";
    back_diameter Figure free "the lens front the matte box clips on", "114 mm";
    stages Figure free "how many filters it takes one behind the other", "2";
    filter Figure free "width by height of its filters", "101.6 x 143.5 mm";
    rods Figure free "15mm-light (60 mm apart), 15mm-studio (100 mm apart) or 19mm-studio (104 mm apart)", "15mm-light";
}

section! {
    /// `[print]`.
    PRINT, "kit.toml", "print", "how sheets are printed";
    paper Words free "the paper; a4 unless said", "a4";
    side Figure free "from which side of the camera tapes are read: left, right or both", "left";
    printed_100mm Figure free "what the page's 100 mm rulers measured on paper: horizontal, vertical", "[100.0, 100.0]";
}

section! {
    /// `lenses.csv`.
    LENSES, "lenses.csv", "", "one lens a line";
    id Name needed "what the lens is called here; its files are named after it", "40";
    label Words free "what sheets call it; the id unless said", "40 mm";
    serial Words free "its serial number", "no. 4";
    focal_mm Figure needed "focal length, or 25..250 for a zoom", "40";
    card_focals Figure free "the focal lengths of a zoom that get cards", "25 50 100 250";
    f_number Figure free "widest f-number; this or t_number is needed", "1.9";
    t_number Figure free "widest T-number", "2.1";
    transmittance Figure free "the share of light that passes; f- and T-number give it", "0.85";
    close_focus Figure needed "nearest distance on the scale, from the image plane", "1'6\"";
    engraved Figure free "the unit of its own scale: feet or metres; then its own distances need no unit", "feet";
    hiatus_mm Figure free "between the principal planes; may be below zero", "-15.6";
    entrance_pupil_mm Figure free "entrance pupil in front of the image plane at infinity focus, instead of hiatus_mm", "62";
    pupil_magnification Figure free "exit pupil over entrance pupil", "1.2";
    sense Figure free "the way the ring TURNS from infinity to close focus, seen from behind the camera: clockwise or counter-clockwise", "clockwise";
    ring_circumference_mm Figure free "a strip wrapped once round the ring, over what is stuck on already", "283";
    ring_diameter_mm Figure free "across the ring, instead of the circumference", "90";
    travel_deg Figure free "the ring's turn from the infinity to the close-focus mark", "290";
    travel_mm Figure free "the same along the ring, instead of travel_deg", "228";
    beyond_inf_deg Figure free "how far the ring turns beyond the infinity mark", "2";
    beyond_near_deg Figure free "how far it turns beyond the close-focus mark", "3";
    stops Figure free "where it comes up against something: both, infinity, near or none", "both";
    witness Figure free "which edge of a tape meets the witness mark: rear or front; rear unless said", "rear";
    band_mm Figure free "the free width for a tape", "14";
    marks_diameter_mm Figure free "diameter of the surface marks were read on", "90";
    tape_thickness_mm Figure free "thickness of the tape; 0.10 (office paper) unless said", "0.10";
    front_diameter_mm Figure free "outer diameter of the lens front", "114";
    front_distance_mm Figure free "from the image plane to the front rim", "180";
    ring_teeth Figure free "teeth of the focus ring", "128";
    knob_travel_deg Figure free "the knob's turn over the whole scale, measured; it wins over gears", "410";
    hand_unit_preset Words free "what the hand unit calls this lens", "P4";
    squeeze Figure free "how much it squeezes the width", "2";
    anamorph Figure free "which part of it squeezes: front or rear", "front";
    scale_from Figure free "what its own scale counts from: image-plane or front; image-plane unless said", "image-plane";
    mount Words free "its mount", "54 mm bayonet";
    rear_filter_mm Figure free "thickness of the filter behind it", "0.1";
}

section! {
    /// `marks/ID.csv`.
    MARKS, "marks/ID.csv", "", "where distances stand on that lens's ring; one of the position columns";
    distance Figure needed "from the image plane", "5'6\"";
    position_mm Figure free "along the surface it was read on, from any zero, either direction; empty: not read yet", "104.5";
    position_deg Figure free "the same as an angle of the ring", "133.5";
    position_fraction Figure free "the same as a part of the whole travel", "0.46";
    position_counts Figure free "the same in steps of an encoder", "30146";
    kind Figure free "engraved (the maker's mark) or eye (found sharp on a chart at the taped distance); empty: read, nobody said how", "eye";
    sd_deg Figure free "standard deviation of the position", "0.2";
    camera Name free "the camera it was found on", "A";
}

section! {
    /// `zoom/ID.csv`.
    ZOOM, "zoom/ID.csv", "", "what varies along a zoom";
    focal_mm Figure needed "the focal length", "50";
    hiatus_mm Figure free "between the principal planes", "40";
    entrance_pupil_mm Figure free "entrance pupil in front of the image plane at infinity focus", "210";
    pupil_magnification Figure free "exit pupil over entrance pupil", "1.1";
    f_number Figure free "widest f-number there", "2.8";
    t_number Figure free "widest T-number there", "3.1";
}

section! {
    /// `prep.csv`.
    PREP, "prep.csv", "", "prep day: what each scale said when the chart was sharp";
    lens Name needed "the lens", "40";
    stop Figure needed "the stop", "T2.1";
    taped Figure needed "from the image plane to the chart, or inf", "6'";
    reading Figure free "what the engraved scale said; repeats in one cell", "5'11 6' 6'1";
    reading_deg Figure free "the same as an angle of the ring", "141.5 141.9";
    camera Name free "the camera", "A";
    taped_sd Figure free "standard deviation of the tape", "3mm";
    reading_sd_deg Figure free "standard deviation of a reading", "0.3";
    temperature Words free "the temperature", "20 °C";
    note Words free "anything else", "after lunch";
}

section! {
    /// `shots.csv`.
    SHOTS, "shots.csv", "", "the day's shots, a line a cue; lines of one shot stand together";
    shot Words needed "the shot", "12B";
    lens Name needed "the lens", "50";
    stop Figure needed "the stop", "T2.8";
    cue Words needed "who or what, and when", "she turns";
    distance Figure needed "from the image plane", "7'3\"";
    camera Name free "the camera", "A";
    day Words free "the day", "3";
    scene Words free "the scene", "12";
    seconds Figure free "how long the pull to this cue takes", "2.5";
    speed Figure free "how fast the subject goes along the axis", "1.2m/s";
    across Figure free "how far beside the axis the subject stands", "2'";
    attachment Words free "what is on the lens", "close-up +1";
    height Figure free "height of the lens", "4'6\"";
    tilt Figure free "tilt of the camera, up above zero", "-10deg";
    shot_distance Figure free "the distance it was really shot at", "7'1\"";
    shot_stop Figure free "the stop it was really shot at", "T2.8 1/3";
    note Words free "anything; every column beginning with note is carried through", "matches 11";
}

/// Every section, in the order documents give them.
pub const ALL: &[Section] = &[
    KIT, RECORDING, SHARPNESS, FOLLOW, HAND_UNIT, FRONT, PRINT, LENSES, MARKS, ZOOM, PREP, SHOTS,
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
