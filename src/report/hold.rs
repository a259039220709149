//! Whether subjects can be held, in words.

use core::fmt::Write;

use super::depth::of_width;
use super::fitted::fitted_line;
use super::head::{about, apart, as_set, circle, setup_line};
use super::table::{Words, about_cautious, decimals, remarks};
use crate::answers::{AtStop, Fix, Framing, Held, HoldAnswer, LimitAnswer, Marked, Moves, Verdict};
use crate::units::show::Round;
use crate::units::{FNumber, FocusDistance, Length, MarkedStop, Reach, TNumber};

/// A hold answer for people: yes, just or no first, then how soft, then what
/// would do.
#[must_use]
pub fn hold(answer: &HoldAnswer, words: Words) -> String {
    let held = answer.to_trust();
    let about = about(answer.cautious.is_some());
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{}", headline(answer, held, words));
    let _ = writeln!(out);
    let place = match (answer.split_position, answer.split_standing) {
        (Some(turn), Some(standing)) => {
            format!(", ring at {:.1}° ({standing})", turn.to_deg())
        }
        _ => String::new(),
    };
    let place = if held.ring_reads == held.focus {
        place
    } else {
        let reads = words.nearest(held.ring_reads.reach());
        format!(", the lens's own scale at {reads}{place}")
    };
    let apart = by_of(answer.near, answer.far);
    let split = words.setting(held.focus.reach(), apart, Round::Nearest);
    line(&mut out, "split", &format!("{about}{split}{place}"));
    if held.at_stop.is_none() {
        line(
            &mut out,
            "just holds at",
            &format!("{about}{}", stop(held.f_number, held.t_number)),
        );
        line(
            &mut out,
            "marked stops",
            &marks(&held.marked, answer.extender_factor),
        );
    }
    if let Some(at_stop) = &held.at_stop {
        let soft = format!(
            "{about}{} mm of blur, {} circles, near and far alike",
            up(at_stop.blur_near.to_mm(), 3),
            up(at_stop.blur_circles, 1)
        );
        line(&mut out, "how soft", &soft);
        for object in &at_stop.between {
            let text = format!(
                "{}: {:.3} mm of blur, {:.1} circles{}",
                words.exact(object.object.reach()),
                object.blur.to_mm().abs(),
                object.blur_circles,
                of_width(object.blur_of_width)
            );
            line(&mut out, "between", &text);
        }
        out.push_str(&what_would_do(answer, at_stop, words));
    }
    out.push_str(&sharpest(held));
    out.push_str(&sharp_look(held, answer.extender_factor));
    let circle = if held.darkest_f_number.is_some() {
        // Another at each stop.
        answer.circle_rule.clone()
    } else {
        circle(answer.circle, &answer.circle_rule)
    };
    let _ = writeln!(
        out,
        "\n{} mm · {circle} · all distances from the ⌀ mark (image plane)",
        answer.focal_length.to_mm(),
    );
    out.push_str(&fitted_line(&answer.on_the_lens));
    out.push_str(&remarks(&answer.assumptions));
    out.push_str(about_cautious(answer.cautious.is_some()));
    for range in &answer.ranges {
        let [least, most] = range.focus;
        let stops = match range.t_number {
            Some([low, high]) => format!("T{:.2} to T{:.2}", low.value(), high.value()),
            None => {
                let [low, high] = range.f_number;
                format!("f/{:.2} to f/{:.2}", low.value(), high.value())
            }
        };
        let _ = writeln!(
            out,
            "how far it may be off: {} assumed, {}: split {} to {}, {stops}",
            range.assumed,
            range.between,
            words.nearest(least.reach()),
            words.nearest(most.reach())
        );
    }
    out
}

fn headline(answer: &HoldAnswer, held: &Held, words: Words) -> String {
    let pair = between(answer.near, answer.far, words);
    let factor = answer.extender_factor;
    let mark = on_the_lens(held.marked.third, factor);
    let Some((at_stop, n)) = held.at_stop.as_ref().zip(answer.stop_f_number) else {
        return format!("to hold {pair}: {mark}");
    };
    let worked = as_set(n, answer.stop_t_number);
    let needed = stop(held.f_number, held.t_number);
    match at_stop.held {
        Verdict::Yes => format!("YES: {worked} holds {pair}; {needed} would just do"),
        Verdict::Just => {
            format!("JUST: {worked} all but holds {pair}; it needs {needed}, marked {mark}")
        }
        Verdict::No => {
            format!("NO: {worked} does not hold {pair}; it needs {needed}, marked {mark}")
        }
    }
}

/// A mark of the lens's own stop ring, said so where an extender makes the
/// whole another stop.
fn on_the_lens(mark: MarkedStop, factor: f64) -> String {
    if factor == 1.0 {
        mark.to_string()
    } else {
        format!("{mark} on the lens")
    }
}

fn what_would_do(answer: &HoldAnswer, at_stop: &AtStop, words: Words) -> String {
    if at_stop.fixes.is_empty() {
        return String::new();
    }
    let mut out = String::from("\nany one of these would do\n");
    for fix in &at_stop.fixes {
        let (what, how) = one_fix(fix, answer, words);
        line(&mut out, what, &how);
    }
    out
}

fn one_fix(fix: &Fix, answer: &HoldAnswer, words: Words) -> (&'static str, String) {
    match *fix {
        Fix::Stop {
            marked,
            stops,
            times,
            ..
        } => (
            "stop",
            format!(
                "{}: {} stops more light, {} times as much (full stops: {})",
                on_the_lens(marked.third, answer.extender_factor),
                up(stops, 1),
                up(times, 1),
                marked.full
            ),
        ),
        Fix::Closer {
            moves,
            by,
            near,
            far,
            ..
        } => {
            let by = match by {
                Reach::At(by) => format!("{} ", words.up(Reach::At(by), Reach::At(by))),
                Reach::Infinity => String::new(),
            };
            match moves {
                Moves::Far => (
                    "closer",
                    format!(
                        "the far one {by}nearer, to {}",
                        words.down(far.reach(), by_of(near, far))
                    ),
                ),
                Moves::Near => (
                    "closer",
                    format!(
                        "the near one {by}farther, to {}",
                        words.up(near.reach(), by_of(near, far))
                    ),
                ),
            }
        }
        Fix::CameraBack { by, near, far, .. } => (
            "camera back",
            format!(
                "{}: the subjects then stand at {}",
                words.up(Reach::At(by), Reach::At(by)),
                and(near, far, words)
            ),
        ),
        Fix::FocalLength {
            framing: Framing::FromHere,
            focal_length,
            ..
        } => (
            "shorter lens",
            format!("{} mm from here", down(focal_length.to_mm(), 1)),
        ),
        Fix::FocalLength {
            framing: Framing::Same,
            focal_length,
            ..
        } if focal_length < SHORTEST_LENS => (
            "shorter lens",
            "none that keeps the framing at the split".into(),
        ),
        Fix::FocalLength {
            framing: Framing::Same,
            focal_length,
            closer,
            ..
        } => (
            "shorter lens",
            format!(
                "{} mm for the same framing at the split, the camera {} nearer",
                down(focal_length.to_mm(), 1),
                words.up(Reach::At(closer), Reach::At(closer))
            ),
        ),
        Fix::Circle { circle, times } => (
            "circle",
            format!(
                "{} mm instead of {:.4} mm, {} times as coarse",
                up(circle.to_mm(), 4),
                answer.circle.to_mm(),
                up(times, 1)
            ),
        ),
    }
}

/// Shorter lenses are not made for cameras (common practice, no source).
const SHORTEST_LENS: Length = Length::mm(6.0);

fn sharp_look(held: &Held, factor: f64) -> String {
    let Some(half) = &held.half_circle else {
        return String::new();
    };
    let verdict = match half.held {
        Some(Verdict::Yes) => "YES, ",
        Some(Verdict::Just) => "JUST, ",
        Some(Verdict::No) => "NO, ",
        None => "",
    };
    let mut out = String::from("\n");
    line(
        &mut out,
        "half the circle",
        &format!(
            "{verdict}{} needed, marked {} (large screen, sharp look: {:.4} mm)",
            stop(half.f_number, half.t_number),
            on_the_lens(half.marked.third, factor),
            half.circle.to_mm()
        ),
    );
    out
}

/// What waves have to say: the sharpest stop, and where diffraction takes over.
fn sharpest(held: &Held) -> String {
    let mut out = String::new();
    if let Some(best) = held.optimum_f_number {
        let text = format!("f/{:.1}: near and far are sharpest", best.value());
        line(&mut out, "best stop", &text);
    }
    if let Some(darkest) = held.darkest_f_number {
        let text = format!(
            "f/{}: beyond it diffraction takes the contrast",
            down(darkest.value(), 2)
        );
        line(&mut out, "darkest stop", &text);
    }
    out
}

/// A focus for one wanted limit, for people.
#[must_use]
pub fn limit(answer: &LimitAnswer, words: Words) -> String {
    let trusted = answer.to_trust();
    let about = about(answer.cautious.is_some());
    let (near, far) = (trusted.near.reach(), trusted.far.reach());
    let depth = by_of(trusted.near, trusted.far);
    // Toward what is held besides, or the limit wanted would be lost.
    let round = match answer.wanted {
        "near" => Round::Down,
        _ => Round::Up,
    };
    format!(
        "{about}focus at {}: sharp from {} to {}\n\n{}all distances from the ⌀ mark (image \
         plane)\n{}{}",
        words.setting(trusted.focus.reach(), depth, round),
        words.up(near, depth),
        words.down(far, depth),
        setup_line(&answer.premises),
        remarks(&answer.assumptions),
        about_cautious(answer.cautious.is_some())
    )
}

fn between(near: FocusDistance, far: FocusDistance, words: Words) -> String {
    format!(
        "{} to {}",
        words.exact(near.reach()),
        words.exact(far.reach())
    )
}

fn and(near: FocusDistance, far: FocusDistance, words: Words) -> String {
    format!(
        "{} and {}",
        words.nearest(near.reach()),
        words.nearest(far.reach())
    )
}

/// How far apart the two are.
fn by_of(near: FocusDistance, far: FocusDistance) -> Reach<Length> {
    apart(near.reach(), far.reach())
}

fn line(out: &mut String, what: &str, how: &str) {
    let _ = writeln!(out, "  {what:<17}{how}");
}

fn marks(marked: &Marked, factor: f64) -> String {
    format!(
        "{} by thirds, {} by halves, {} by full stops",
        on_the_lens(marked.third, factor),
        marked.half,
        marked.full
    )
}

/// A stop that is needed, never too wide.
fn stop(n: FNumber, t: Option<TNumber>) -> String {
    match t {
        Some(t) => format!("T{} (f/{})", up(t.value(), 2), up(n.value(), 2)),
        None => format!("f/{}", up(n.value(), 2)),
    }
}

fn up(value: f64, places: usize) -> String {
    decimals(value, places, Round::Up)
}

fn down(value: f64, places: usize) -> String {
    decimals(value, places, Round::Down)
}
