//! Discs on pages, true to scale.
//!
//! ```text
//!          index (stands still)
//!               ▼
//!         5    4    3          ticks on the rim, figures inside them; marks
//!      6  ' ' ' | ' ' '  2'6   nearer to close focus lie against the turn
//!    ∞   ┌ 2 ─────────────     a second turn on a track of its own, numbered
//!       who it is, which way to turn
//!               ( hole )
//! ```
//!
//! A disc is seen from outside, from the knob's side, and drawn as it stands when
//! its alignment mark is at an index on top. Figures have their tops outward, so
//! that those under the index are upright. Which way it turns: `gear::Follow`.

mod caption;
mod face;
mod pack;
mod polar;
mod scale;
mod tracks;

use core::fmt;

use self::face::Face;
use self::pack::Block;
use self::polar::Polar;
use self::tracks::{NoTracks, Tracks};
use super::paper::Paper;
use crate::scene::{Correction, Item, Page, Path, Pen, Point};
use crate::sheets::Disc;
use crate::units::{Length, Unit};

/// Why a disc cannot be drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum NoRoom {
    /// The knob turns more often than figures of 2 mm have tracks.
    Turns {
        /// Which disc.
        disc: String,
        /// How many turns there are to tell apart.
        turns: usize,
        /// How many tracks have room between rim and hole.
        tracks: usize,
    },
    /// Figures that must be there do not fit beside each other.
    Figures {
        /// Which disc.
        disc: String,
        /// The figure nearer infinity.
        one: String,
        /// The other; `None` when the one alone finds no place.
        other: Option<String>,
    },
    /// The disc says less of itself than it must.
    Words {
        /// Which disc.
        disc: String,
    },
    /// The paper is too small.
    Paper {
        /// Which disc.
        disc: String,
        /// Id of the smallest paper of the table that would do.
        would_do: Option<String>,
    },
}

impl fmt::Display for NoRoom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Turns {
                disc,
                turns,
                tracks,
            } => write!(
                f,
                "{disc}: the scale takes {turns} turn{} of the knob, and between hole and rim \
                 there is room for {tracks} with figures of 2 mm and the disc's name; a larger \
                 disc, a smaller hole or a slower speed would do",
                if *turns == 1 { "" } else { "s" }
            ),
            Self::Figures { disc, one, other } => match other {
                Some(other) => write!(
                    f,
                    "{disc}: the figures {one} and {other} must both be there and do not fit \
                     beside each other"
                ),
                None => write!(f, "{disc}: the figure {one} must be there and does not fit"),
            },
            Self::Words { disc } => write!(
                f,
                "{disc}: between hole and rim there is no room for the disc's name and arrow; a \
                 larger disc or a smaller hole would do"
            ),
            Self::Paper { disc, would_do } => {
                write!(f, "{disc}: the paper is too small for this disc")?;
                match would_do {
                    Some(paper) => write!(f, "; {paper} would do"),
                    None => Ok(()),
                }
            }
        }
    }
}

impl core::error::Error for NoRoom {}

/// Larger figures are no gain where they leave less than this share of what all are
/// worth.
const ENOUGH: f64 = 0.85;

/// Half of the cross in the middle.
const CROSS: Length = Length::mm(3.0);

/// Discs on as many pages as they need, in their order, true to scale, with what
/// to do with each beside or under it.
///
/// # Errors
/// [`NoRoom`] for the first disc that cannot be drawn.
pub fn draw(discs: &[Disc], paper: &Paper, correction: Correction) -> Result<Vec<Page>, NoRoom> {
    let blocks = discs
        .iter()
        .map(|disc| block(disc, paper, correction))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(pack::pages(&blocks, paper, correction))
}

fn name(disc: &Disc) -> String {
    let names = &disc.scale.names;
    let label = names.label.as_ref().or(names.id.as_ref());
    let label = label.map_or_else(|| format!("{} mm", names.focal), Clone::clone);
    match disc.speed {
        (_, 1) => label,
        (speed, _) => format!("{label}, speed {speed}"),
    }
}

fn block(disc: &Disc, paper: &Paper, correction: Correction) -> Result<Block, NoRoom> {
    let radius = disc.knob.radius;
    if !pack::takes(paper, radius * 2.0) {
        return Err(NoRoom::Paper {
            disc: name(disc),
            would_do: smallest_paper(radius * 2.0),
        });
    }
    let (tracks, marks) = face_of(disc)?;
    let cross = |x: f64, y: f64| {
        let to = Point::new(CROSS * x, CROSS * y);
        let from = Point::new(CROSS * -x, CROSS * -y);
        Item::line(from, to, Pen::FINE)
    };
    let circle = |radius| Item::stroked(Path::circle(Point::ORIGIN, radius), Pen::CUT);
    let mut cuts = vec![circle(radius), circle(disc.inner / 2.0)];
    if disc.inner > CROSS * 4.0 {
        cuts.extend([cross(1.0, 0.0), cross(0.0, 1.0)]);
    }
    Ok(Block {
        radius,
        marks,
        cuts,
        caption: caption::caption(disc, &tracks, (paper, correction)),
        code: disc.scale.code.to_string(),
    })
}

/// Id of the smallest paper that takes a disc.
fn smallest_paper(diameter: Length) -> Option<String> {
    let takes = |paper: &&Paper| pack::takes(paper, diameter);
    let area = |paper: &&Paper| {
        let page = paper.page();
        page.width().to_mm() * page.height().to_mm()
    };
    let fitting = Paper::all().iter().filter(takes);
    let smallest = fitting.min_by(|one, other| area(one).total_cmp(&area(other)));
    smallest.map(|paper| paper.id().to_owned())
}

/// Everything on the face, its middle at the origin: the largest figures with
/// which the disc still says all of itself, else what it must.
fn face_of(disc: &Disc) -> Result<(Tracks, Vec<Item>), NoRoom> {
    let polar = Polar::of(disc);
    let mut collision = None;
    let mut most = 0;
    let mut laid_out = Vec::new();
    for style in tracks::STYLES {
        match Tracks::of(disc, style) {
            Ok(tracks) => laid_out.push((style, tracks)),
            Err(NoTracks::Figures(found)) => {
                collision.get_or_insert(found);
            }
            Err(NoTracks::Turns { room }) => most = most.max(room),
        }
    }
    let enough = laid_out.iter().map(|(_, tracks)| tracks.worth(disc)).max();
    let enough = enough.unwrap_or(0) as f64 * ENOUGH;
    let has_enough = |tracks: &Tracks| tracks.worth(disc) as f64 >= enough;
    for effort in face::EFFORTS {
        for (style, tracks) in &laid_out {
            let too_small = style.is_last() && !effort.last_style;
            if too_small || (effort.figures && !has_enough(tracks)) {
                continue;
            }
            let said = |&wording: &usize| Face::of(disc, tracks, &polar, (effort, wording));
            if let Some(words) = effort.wordings.iter().find_map(said) {
                let mut items = tracks.items(disc, &polar);
                items.extend(words);
                return Ok((tracks.clone(), items));
            }
        }
    }
    let wordless = !laid_out.is_empty();
    let disc_name = name(disc);
    Err(match collision {
        _ if wordless => NoRoom::Words { disc: disc_name },
        Some(found) => NoRoom::Figures {
            disc: disc_name,
            one: found.one,
            other: found.other,
        },
        None => NoRoom::Turns {
            disc: disc_name,
            turns: tracks::turns(disc),
            tracks: most,
        },
    })
}

/// What figures of a unit are in.
fn figures_in(unit: Unit) -> &'static str {
    match unit {
        Unit::Feet => "figures in feet",
        Unit::Metres => "figures in metres",
    }
}
