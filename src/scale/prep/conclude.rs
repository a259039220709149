//! From readings that belong together to verdicts.

use super::body::{AsRead, Shares, part};
use super::evenness::{Evenness, evenness};
use super::figures;
use super::judge::InHand;
use super::judged::{BodyJudged, ErrorParts, Judged, LensJudged, PointJudged, Remark};
use super::limits::FEWEST_SETTINGS;
use super::reading::Taken;
use super::settle::{Because, Settling, SoFar};
use super::stops::widest;
use super::suspects::{Sorted, is_same};
use super::verdict::{BodyVerdict, Displacement, Held, LensVerdict};
use crate::formula::{Record, formula};
use crate::numerics::math::sqrt;
use crate::scale::fit::ratio;
use crate::units::{Angle, Gain, Length, Ratio, Reach};

formula! {
    /// What readings may be off that scatter more than they were declared to.
    stretched(readings: mm, chi_square: ratio, freedom: ratio) -> readings: mm
        = readings * sqrt(chi_square / freedom);
    source "the scatter as seen in place of the declared one, where that is no chance"
}

formula! {
    /// The standard error of a lens's image-plane error.
    standard_error(readings: mm, figures: mm, share: ratio, zero: mm) -> se: mm
        = sqrt(readings * readings + figures * figures + share * zero * (share * zero));
    source "what readings, the lens's figures and the tape's zero may be off, apart from one another"
}

/// A lens's figures before the camera's share is known.
struct Read {
    as_read: Displacement,
    parts: ErrorParts,
    even: Evenness,
}

/// What follows for the camera and its lenses.
pub(super) fn concluded(lenses: &[InHand<'_>], sorted: &Sorted, rec: &mut impl Record) -> Judged {
    let zero_sd = sorted.fit.tape_zero_sd.to_mm();
    let mut of = |lens: &InHand<'_>| {
        if lens.on.with_steps {
            read(lens, sorted, 0, rec)
        } else {
            read(lens, sorted, 0, &mut ())
        }
    };
    let read: Vec<Read> = lenses.iter().map(&mut of).collect();
    let as_read: Vec<AsRead> = lenses
        .iter()
        .zip(&read)
        .map(|(lens, read)| AsRead {
            error: read.as_read.error.to_mm(),
            variance: read.parts.variance(),
            zero_share: read.parts.zero_share.value(),
            counts: lens.parts.len() == 1 && !read.even.uneven && has_far(lens, sorted),
        })
        .collect();
    let shares = part(&as_read, zero_sd);
    let body = body(lenses, shares.as_ref(), &as_read);
    let lenses = lenses
        .iter()
        .zip(&read)
        .enumerate()
        .map(|(at, (lens, read))| of_lens(lens, read, sorted, shares.as_ref(), at))
        .collect();
    Judged {
        tape_zero: Displacement {
            error: sorted.fit.tape_zero,
            standard_error: sorted.fit.tape_zero_sd,
        },
        body,
        lenses,
    }
}

/// Whether any reading that counts is at 1 m or beyond: a body is never judged
/// on close readings alone.
fn has_far(lens: &InHand<'_>, sorted: &Sorted) -> bool {
    lens.taken.iter().enumerate().any(|(at, row)| {
        let far = match row.as_travel.chart.reach() {
            Reach::At(length) => length >= Length::m(1.0),
            Reach::Infinity => true,
        };
        far && !sorted.aside[lens.from + at]
    })
}

/// What one part of a lens's readings says.
fn read(lens: &InHand<'_>, sorted: &Sorted, number: usize, rec: &mut impl Record) -> Read {
    let even = evenness(sorted, &lens.members(), &lens.groups(), lens.on.tolerated);
    let at = lens.first_group + number;
    let group = lens.parts.get(number);
    let group = group.and_then(|_| sorted.fit.groups.get(at).copied().flatten());
    let Some(group) = group else {
        // A lens with rows has readings in use: no group is set aside whole.
        return Read {
            as_read: Displacement {
                error: Length::ZERO,
                standard_error: sorted.fit.tape_zero_sd,
            },
            parts: ErrorParts {
                readings: Length::m(1.0),
                figures: Length::ZERO,
                zero_share: Ratio::ZERO,
            },
            even,
        };
    };
    let rows: Vec<(&Taken, bool)> = lens.parts[number]
        .iter()
        .map(|&at| (&lens.taken[at], sorted.aside[lens.from + at]))
        .collect();
    let figures = figures::variance(lens.on.lens, &lens.scale, &rows, &group, &sorted.fit);
    // What wrong figures bend is not the scale's fault.
    let bent = sqrt(figures) >= lens.on.tolerated.to_mm() / 2.0;
    let even = Evenness {
        uneven: even.uneven && !bent,
        ..even
    };
    let own = lens.from..lens.from + lens.taken.len();
    let (readings, aside) = (&sorted.readings[own.clone()], &sorted.aside[own]);
    let with_steps = sorted.fit.explained(readings, aside, at, rec);
    let (error, own_sd) = with_steps.unwrap_or((group.error, group.own_sd));
    let of_readings = if even.scattered {
        let freedom = even.freedom as f64;
        stretched(own_sd.to_mm(), even.chi_square, freedom, rec)
    } else {
        own_sd.to_mm()
    };
    let (figures, share) = (sqrt(figures), group.zero_share);
    let zero_sd = sorted.fit.tape_zero_sd.to_mm();
    let sd = standard_error(of_readings, figures, share.value(), zero_sd, rec);
    Read {
        as_read: Displacement {
            error,
            standard_error: Length::mm(sd),
        },
        parts: ErrorParts {
            readings: Length::mm(of_readings),
            figures: Length::mm(figures),
            zero_share: share,
        },
        even,
    }
}

fn body(lenses: &[InHand<'_>], shares: Option<&Shares>, as_read: &[AsRead]) -> BodyJudged {
    let tolerated = lenses.iter().map(|lens| lens.on.tolerated);
    let tolerated = tolerated.reduce(Length::min).unwrap_or(Length::ZERO);
    let found = shares.map(|shares| shares.camera);
    let verdict = match found.map(|found| found.held_against(tolerated)) {
        Some(Held::Within) => BodyVerdict::TruePlane,
        Some(Held::Beyond) => BodyVerdict::Off,
        Some(Held::Open) | None => BodyVerdict::Undecided,
    };
    let counting = as_read.iter().filter(|lens| lens.counts).count();
    BodyJudged {
        found,
        verdict,
        tolerated,
        judged_on: shares.map_or(counting, |shares| shares.judged_on),
        lenses: lenses.len(),
    }
}

fn of_lens(
    lens: &InHand<'_>,
    read: &Read,
    sorted: &Sorted,
    shares: Option<&Shares>,
    at: usize,
) -> LensJudged {
    let on = lens.on;
    let mut remarks = remarks(lens, sorted);
    if shares.is_some_and(|shares| shares.apart[at]) {
        remarks.push(Remark::StandsApart);
    }
    let enough = !remarks.contains(&Remark::TooFew) && !remarks.contains(&Remark::OneDistance);
    let plain = |found: Displacement| match found.held_against(on.tolerated) {
        Held::Within => LensVerdict::TrueScale,
        Held::Beyond => LensVerdict::Shifted,
        Held::Open => LensVerdict::Undecided,
    };
    let verdict = if lens.parts.len() > 1 {
        LensVerdict::MovesWithStop
    } else if !enough {
        LensVerdict::Undecided
    } else if read.even.uneven {
        LensVerdict::Uneven
    } else {
        plain(read.as_read)
    };
    let own = shares.map(|shares| shares.own[at]);
    let judged_plainly = matches!(verdict, LensVerdict::TrueScale | LensVerdict::Shifted);
    let own_verdict = own.map(|own| match verdict {
        LensVerdict::MovesWithStop | LensVerdict::Uneven => verdict,
        _ if judged_plainly || enough => plain(own),
        _ => LensVerdict::Undecided,
    });
    let settling = (verdict == LensVerdict::Undecided)
        .then(|| settling(lens, read, sorted, &remarks))
        .flatten();
    let by_stop = if lens.parts.len() > 1 {
        let each = lens.parts.iter().enumerate().filter_map(|(number, part)| {
            Some((
                widest(&lens.taken, part)?,
                self::read(lens, sorted, number, &mut ()).as_read,
            ))
        });
        each.collect()
    } else {
        Vec::new()
    };
    LensJudged {
        as_read: read.as_read,
        parts: read.parts,
        own,
        verdict,
        own_verdict,
        tolerated: on.tolerated,
        chi_square: ratio(read.even.chi_square),
        degrees_of_freedom: read.even.freedom,
        points: points(lens, sorted),
        by_stop,
        settling,
        remarks,
    }
}

fn settling(
    lens: &InHand<'_>,
    read: &Read,
    sorted: &Sorted,
    remarks: &[Remark],
) -> Option<Settling> {
    let group = sorted.fit.groups.get(lens.first_group)?.as_ref()?;
    let so_far = SoFar {
        lens: lens.on.lens,
        scale: &lens.scale,
        taken: &lens.taken,
        group,
        found: read.as_read,
        zero_sd: sorted.fit.tape_zero_sd.to_mm(),
        figures_sd: read.parts.figures.to_mm(),
        tolerated: lens.on.tolerated,
        because: if remarks.contains(&Remark::OneDistance) {
            Because::OneDistance
        } else if remarks.contains(&Remark::TooFew) {
            Because::TooFew
        } else {
            Because::TooWide
        },
    };
    Some(so_far.settling())
}

fn remarks(lens: &InHand<'_>, sorted: &Sorted) -> Vec<Remark> {
    let aside = |at: usize| sorted.aside[lens.from + at];
    let used = || {
        let rows = lens.taken.iter().enumerate();
        rows.filter(|(at, _)| !aside(*at)).map(|(_, row)| row)
    };
    let mut out = Vec::new();
    let mut say = |remark, when: bool| {
        if when {
            out.push(remark);
        }
    };
    let settings: usize = used().map(|row| row.settings).sum();
    say(Remark::TooFew, settings < FEWEST_SETTINGS);
    let first = used().next();
    let one = first.is_some_and(|first| used().all(|row| is_same(row.taped, first.taped)));
    say(Remark::OneDistance, one);
    say(Remark::TurnAssumed, lens.scale.turn_assumed);
    let in_degrees = lens.taken.iter().any(|row| row.turn.is_some());
    say(Remark::HeldAgainstEye, in_degrees && lens.scale.by_eye);
    say(
        Remark::NoInfinity,
        !used().any(|row| row.taped.is_infinite()),
    );
    let left_out = lens.taken.iter().any(|row| row.one_left_out);
    say(Remark::SettingLeftOut, left_out);
    let widest = used().map(|row| row.stop.number()).fold(f64::MAX, f64::min);
    let other_stop = lens.taken.iter().enumerate();
    let other_stop = other_stop
        .filter(|(at, _)| aside(*at))
        .any(|(_, row)| row.stop.number() > 1.01 * widest);
    say(
        Remark::SuspectAtOtherStop,
        other_stop && lens.parts.len() == 1,
    );
    out
}

fn points(lens: &InHand<'_>, sorted: &Sorted) -> Vec<PointJudged> {
    let each = lens.taken.iter().enumerate().map(|(at, row)| {
        let place = lens.from + at;
        let residual = sorted.fit.residuals[place].to_mm();
        // Where the fit puts the lens: the reading shows δ too large where the
        // ring stood too far toward infinity.
        let stood = row.as_travel.travel.to_mm() + residual;
        PointJudged {
            line: row.line,
            stop: row.stop,
            taped: row.taped,
            reading: row.reading,
            turn: row.turn,
            residual: Angle::deg(-residual * lens.scale.gain(stood)),
            // Of the ring's sign, as the residual is.
            strangeness: ratio(-sorted.fit.strangeness[place].value()),
            suspect: sorted.aside[place],
            settings: row.settings,
            ring_sd: row.ring_sd,
            tape_sd: row.tape_sd,
            sd: Angle::deg(row.as_travel.sd.to_mm() * row.gain),
            gain: Gain::new(row.gain).ok(),
            travel: row.as_travel.travel,
        }
    });
    each.collect()
}
