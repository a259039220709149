//! What is to be printed: millimetres and words, no paper.

mod card;
mod code;
mod conversions;
mod disc;
mod field_card;
mod hyperfocals;
mod names;
mod of_lens;
mod plot;
mod prep_form;
mod prep_report;
mod ring_strip;
mod ruler;
mod strip;
mod strip_ruler;
mod surface;
mod tape;
mod target;
mod worth;

pub use card::{Card, CardLine, CardWish, CardWords, MOST_LINES, MOST_STOPS, MissLine, MissTable};
pub use code::Code;
pub use conversions::{Conversions, Converted, MOST_CONVERTED, MOST_TRANSMITTANCES, StopLine};
pub use disc::{Disc, NoDisc};
pub use field_card::{
    FieldCard, FieldLine, FieldSet, FieldSetRow, FieldWish, FrameShown, MOST_FIELD_LINES,
    MOST_SET_DISTANCES,
};
pub use hyperfocals::{
    HyperfocalCell, HyperfocalLens, HyperfocalRow, Hyperfocals, HyperfocalsWish, TrustedScale,
};
pub use names::Names;
pub use of_lens::table_stops;
pub use plot::{
    Axis, Bar, Callout, Corner, Curve, Edge, Figures, Level, MOST_FOCUSES, MOST_PLOT_STOPS, Plot,
    PlotWish, PullWish, Remark, RingLine, RingRun, Run, Scale, Span, Stopped, Value,
};
pub use prep_form::{ChartAt, LensToRead, PrepForm};
pub use prep_report::{
    Displaced, PrepHead, PrepLensSheet, PrepMark, PrepReading, PrepSetRow, PrepSetSheet,
};
pub use ring_strip::{LaidStrip, PrintedMark, RingStrip};
pub use ruler::{Rectangle, RulerSheet};
pub use strip::{NoStrip, Strip};
pub use strip_ruler::{Piece, StripRuler};
pub use surface::{Knob, Wheel};
pub use tape::{
    Alignment, Apart, BodyShift, NoTape, OtherBody, Reference, ReferenceKind, SharpBand, Tape,
    TapeWish, Tick,
};
pub use target::{Target, TargetField, TargetWish};
pub use worth::{Duty, Worth, usual_marks};

#[cfg(test)]
mod tests;
