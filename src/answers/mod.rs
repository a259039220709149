//! One question, one function, one struct. The serde names are the JSON contract.

mod contrast;
mod depth;
mod edge;
mod field;
mod hold;
mod premises;
mod prep;
mod rack;
mod ranges;
mod ring;
mod steps;
mod target;
mod unanswerable;

pub use contrast::{ContrastAnswer, ContrastRow, contrast};
pub use depth::{
    BareHalf, Cautious, DepthAnswer, DepthRow, FromCloseUp, Horizontal, HyperfocalFrom, ObjectBlur,
    WaveRow, depth, depth_at_marks,
};
pub use edge::{EdgeDepth, edge_depth};
pub use field::{
    FieldAnswer, FieldRow, WidthAnswer, field, focal_length_for_width, focus_for_width,
};
pub use hold::{
    AtStop, Fix, Framing, HalfCircle, Held, HoldAnswer, HoldRange, LimitAnswer, Marked, Moves,
    SharpRange, ToHold, Verdict, focus_for_far, focus_for_near, hold, hold_ranges,
};
pub use premises::Premises;
pub use prep::{
    BetweenCameras, DISPLACEMENT_STEP, MarkTold, NoPrep, Planned, PlannedLens, PlannedRow,
    PrepAnswer, PrepCamera, PrepFound, PrepLens, PrepPlan, PrepPoint, PrepSet, Settle,
    StandardErrorParts, StopRead, displacement_in_words, nearest_step, prep, prep_plan,
    tolerated_in_mm, two_standard_errors, up_to_step, which_way,
};
pub use rack::{
    MOST_MOMENTS, Moment, PathAnswer, Pull, RackAnswer, RackWish, SharpEdge, USUAL_MOMENTS,
    VEHICLE, count_of_moments, rack,
};
pub use ranges::{AssumedRange, RangeRow, ranges};
pub use ring::{RingAnswer, RingRow, distance_at, ring};
pub use steps::{MOST_STEPS, StepRow, StepsAnswer, Walk, steps};
pub use target::{TargetAnswer, TargetRow, target};
pub use unanswerable::{RingEnd, Unanswerable};
