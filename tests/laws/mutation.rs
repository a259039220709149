//! Named mistakes, and which law catches which.
//!
//! A law that no mistake breaks says nothing. The harness (`any`, `pairs` and
//! the top of each file of laws) is where the library is asked; there a mistake
//! is made on purpose, in what goes in or in what comes out, while the law's
//! other side stays as it is. README.md beside this is the table.

use std::cell::Cell;
use std::panic;

use proptest::test_runner::{Config, RngSeed};

/// A mistake somebody might make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mutation {
    /// Near and far change places.
    SwapNearAndFar,
    /// A T-number is taken for the f-number, at transmittance 0.8.
    TForN,
    /// The hiatus is left out.
    DropTheHiatus,
    /// The pupil magnification is left out: both pupils are as large.
    DropThePupils,
    /// Distances are counted from the front principal plane.
    FromTheLens,
    /// What is framed is w D/f.
    OverTheFocalLength,
    /// As much is sharp behind as in front.
    EvenDepth,
    /// The circle is 0.025 mm whatever was said.
    CircleOfHabit,
    /// A gate's width and height change places.
    WidthForHeight,
    /// The split is the harmonic mean of the distances from the image plane.
    HarmonicMean,
    /// The split is a third of the way behind the near one.
    OneThird,
    /// A needed stop is rounded to the mark that is too wide.
    MarkBelow,
    /// A third of a stop is a third of the way between two numbers.
    LinearThirds,
    /// Half the circle takes one stop, not two.
    OneStopForHalf,
    /// A ratio is turned upside down.
    UpsideDown,
    /// Depth steps meet in another way than was asked.
    OtherChain,
    /// The tape reading is taken for the distance along the axis.
    TapeForAxis,
    /// The ring goes by the reciprocal of the distance.
    ByOneOverDistance,
    /// Positions keep the zero of the readings.
    ZeroKept,
    /// The ring, or an error, goes the other way.
    OtherWay,
    /// Every close-up lens has one dioptre.
    PowerOfHabit,
    /// What stands behind a lens changes places.
    OrderReversed,
    /// Extenders and tubes are always 10 mm long.
    LengthOfHabit,
    /// The front squeezes where the rear does, and the other way about.
    FrontForRear,
}

/// Every one, in words for the table.
const ALL: [(Mutation, &str); 24] = [
    (Mutation::SwapNearAndFar, "near and far change places"),
    (Mutation::TForN, "a T-number is taken for the f-number"),
    (Mutation::DropTheHiatus, "the hiatus is left out"),
    (
        Mutation::DropThePupils,
        "the pupil magnification is left out",
    ),
    (Mutation::FromTheLens, "distances are counted from the lens"),
    (Mutation::OverTheFocalLength, "a width is framed by w D/f"),
    (Mutation::EvenDepth, "as much is sharp behind as in front"),
    (Mutation::CircleOfHabit, "the circle is always 0.025 mm"),
    (Mutation::WidthForHeight, "width and height change places"),
    (
        Mutation::HarmonicMean,
        "the split is the harmonic mean from the image plane",
    ),
    (Mutation::OneThird, "the split is a third of the way"),
    (Mutation::MarkBelow, "a stop is rounded to the wider mark"),
    (
        Mutation::LinearThirds,
        "thirds of a stop are thirds of the number",
    ),
    (Mutation::OneStopForHalf, "half the circle costs one stop"),
    (Mutation::UpsideDown, "a ratio is turned upside down"),
    (Mutation::OtherChain, "depth steps meet in the other way"),
    (Mutation::TapeForAxis, "the tape is taken for the axis"),
    (Mutation::ByOneOverDistance, "the ring goes by 1/D"),
    (
        Mutation::ZeroKept,
        "positions keep the zero of the readings",
    ),
    (
        Mutation::OtherWay,
        "the ring or an error goes the other way",
    ),
    (
        Mutation::PowerOfHabit,
        "every close-up lens has one dioptre",
    ),
    (
        Mutation::OrderReversed,
        "what stands behind the lens changes places",
    ),
    (
        Mutation::LengthOfHabit,
        "extenders and tubes are always 10 mm long",
    ),
    (
        Mutation::FrontForRear,
        "front and rear squeeze change places",
    ),
];

thread_local! {
    static MADE: Cell<Option<Mutation>> = const { Cell::new(None) };
}

/// Whether this mistake is being made.
pub fn made(mutation: Mutation) -> bool {
    MADE.get() == Some(mutation)
}

/// How laws are tried: as always, or with a mistake the same way every time and
/// without looking for the smallest example.
pub fn config() -> Config {
    let usual = Config {
        failure_persistence: None,
        max_global_rejects: 100_000,
        ..Config::default()
    };
    match MADE.get() {
        None => usual,
        Some(_) => Config {
            rng_seed: RngSeed::Fixed(1),
            max_shrink_iters: 0,
            ..usual
        },
    }
}

/// A law and the mistakes it catches.
pub struct Law {
    pub name: &'static str,
    pub law: fn(),
    pub catches: &'static [Mutation],
}

/// The laws of a file, each with the mistakes it catches.
macro_rules! laws {
    ($($law:ident: $($mutation:ident)*;)+) => {
        pub const LAWS: &[$crate::mutation::Law] = &[
            $($crate::mutation::Law {
                name: stringify!($law),
                law: $law,
                catches: &[$($crate::mutation::Mutation::$mutation),*],
            }),+
        ];
    };
}
pub(crate) use laws;

/// Each file of laws, as it is written and as it is listed.
const FILES: [(&str, &[Law]); 11] = [
    (include_str!("conjugates.rs"), crate::conjugates::LAWS),
    (include_str!("depth.rs"), crate::depth::LAWS),
    (include_str!("fields.rs"), crate::fields::LAWS),
    (include_str!("ring.rs"), crate::ring::LAWS),
    (include_str!("stops.rs"), crate::stops::LAWS),
    (include_str!("hold.rs"), crate::hold::LAWS),
    (include_str!("fixes.rs"), crate::fixes::LAWS),
    (include_str!("limits.rs"), crate::limits::LAWS),
    (include_str!("steps.rs"), crate::steps::LAWS),
    (include_str!("taped.rs"), crate::taped::LAWS),
    (include_str!("kinds.rs"), crate::kinds::LAWS),
];

fn every_law() -> impl Iterator<Item = &'static Law> {
    FILES.into_iter().flat_map(|(_, laws)| laws)
}

/// Whether a law fails, by its own claim, when a mistake is made.
fn fails(law: &Law, mutation: Mutation) -> bool {
    MADE.set(Some(mutation));
    let ran = panic::catch_unwind(law.law);
    MADE.set(None);
    let Err(reason) = ran else {
        return false;
    };
    let reason = reason.downcast_ref::<String>().map_or("", String::as_str);
    // Too few cases to try would say nothing.
    assert!(
        !reason.starts_with("Test aborted"),
        "{} under {mutation:?}: {reason}",
        law.name
    );
    true
}

#[test]
fn each_law_fails_under_each_mistake_it_catches() {
    // Failures that are wanted are not told; all others are.
    let tell = panic::take_hook();
    panic::set_hook(Box::new(move |failure| {
        if MADE.get().is_none() {
            tell(failure);
        }
    }));
    let missed: Vec<String> = every_law()
        .flat_map(|law| law.catches.iter().map(move |&mutation| (law, mutation)))
        .filter(|&(law, mutation)| !fails(law, mutation))
        .map(|(law, mutation)| format!("{} under {mutation:?}", law.name))
        .collect();
    assert!(missed.is_empty(), "caught by nothing: {missed:#?}");
}

#[test]
fn each_law_catches_a_mistake_and_each_mistake_is_caught() {
    for (source, laws) in FILES {
        let written = source.matches("#[test]").count();
        assert_eq!(
            written,
            laws.len(),
            "every law is listed, by {:?}",
            laws[0].name
        );
    }
    for law in every_law() {
        assert!(!law.catches.is_empty(), "{} catches nothing", law.name);
    }
    for (mutation, _) in ALL {
        let caught = every_law().any(|law| law.catches.contains(&mutation));
        assert!(caught, "{mutation:?} is caught by no law");
    }
}

#[test]
fn the_table_of_mistakes_is_up_to_date() {
    let mut table = String::from("| law | fails when |\n|---|---|\n");
    for law in every_law() {
        let words = |mutation| {
            ALL.iter()
                .find(|(m, _)| m == mutation)
                .map(|(_, words)| *words)
        };
        let when: Vec<&str> = law.catches.iter().filter_map(words).collect();
        let row = format!("| {} | {} |\n", law.name.replace('_', " "), when.join("; "));
        table.push_str(&row);
    }
    let readme = include_str!("README.md");
    assert!(
        readme.contains(&table),
        "put this into README.md:\n\n{table}"
    );
}
