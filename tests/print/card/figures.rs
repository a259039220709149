//! The printed figures, read back and held against the exact limits.

use markwright::answers::{DepthRow, depth};
use markwright::gear::DepthSetup;
use markwright::optics::{Branch, CloseUp, Focus};
use markwright::sheets::Card;
use markwright::units::{BareUnit, FocusDistance, Length, Reach, Unit, parse};

use super::setups::{Given, random};

/// What is on a step to the last digits of a double stands on it.
const LAST_DIGITS: f64 = 1e-8;
/// Finite far limits are shown up to here, or to four times the focus.
const FARTHEST_MM: f64 = 3e5;

fn distance(text: &str) -> FocusDistance {
    parse::distance(text, BareUnit::Refused(None)).unwrap_or_else(|why| panic!("{text}: {why}"))
}

/// Millimetres; infinite for ∞.
fn millimetres(text: &str) -> f64 {
    // Misses may be smaller than any distance.
    if let Some(cm) = text.strip_suffix(" cm") {
        return cm.parse::<f64>().expect("a figure") * 10.0;
    }
    if let Some((over, under)) = text.strip_suffix('″').and_then(|t| t.split_once('⁄')) {
        let whole = over
            .parse::<f64>()
            .and_then(|over| Ok(over / under.parse::<f64>()?));
        if let Ok(inches) = whole {
            return inches * 25.4;
        }
    }
    if text == "0″" {
        return 0.0;
    }
    mm(distance(text).reach())
}

fn mm(reach: Reach<Length>) -> f64 {
    reach.finite().map_or(f64::INFINITY, Length::to_mm)
}

fn row_at(setup: &DepthSetup, focus: FocusDistance) -> DepthRow {
    let answer = depth(setup, &[focus], &[], &mut ()).expect("a card's own distance");
    answer.rows.into_iter().next().expect("one row")
}

/// Near, focus and far, exact.
fn exact(row: &DepthRow) -> (f64, f64, f64) {
    let (near, far) = row.limits_to_trust();
    (mm(near.reach()), mm(row.focus.reach()), mm(far.reach()))
}

fn assert_misses(row: &DepthRow, nearer: &str, farther: &str, given: &Given) {
    let (near, focus, far) = exact(row);
    if focus.is_infinite() {
        assert_eq!((nearer, farther), ("", ""));
        return;
    }
    let slack = focus * LAST_DIGITS;
    let nearer = millimetres(nearer.strip_prefix('−').expect("a minus"));
    let farther = millimetres(farther.strip_prefix('+').expect("a plus"));
    assert!(nearer <= focus - near + slack, "{nearer} {row:?} {given:?}");
    assert!(
        farther <= far - focus + slack,
        "{farther} {row:?} {given:?}"
    );
    assert_eq!(farther.is_infinite(), far.is_infinite());
}

fn assert_lines(card: &Card, setup: &DepthSetup, given: &Given) {
    for line in &card.lines {
        let row = row_at(setup, distance(&line.focus));
        let (near, focus, far) = exact(&row);
        let (shown_near, shown_far) = (millimetres(&line.near), millimetres(&line.far));
        let slack = focus.min(1e9) * LAST_DIGITS;
        assert!(shown_near >= near - slack, "{line:?} {near} {given:?}");
        assert!(shown_far <= far + slack, "{line:?} {far} {given:?}");
        assert_eq!(shown_far.is_infinite(), far.is_infinite(), "{line:?}");
        assert_eq!(line.cautious, row.cautious.is_some());
        assert_misses(&row, &line.nearer, &line.farther, given);
        // A step is at most a quarter of the depth, down to 1/64 in or 0.1 mm.
        let step = ((far - near) / 4.0).max(25.4 / 64.0) + slack;
        assert!(shown_near - near <= step, "{line:?} {near} {given:?}");
        if far.is_finite() && far < FARTHEST_MM.max(focus * 4.0) {
            assert!(far - shown_far <= step, "{line:?} {far} {given:?}");
        }
    }
}

#[test]
fn every_printed_figure_is_on_the_safe_side_of_the_exact_one() {
    for given in random(500) {
        let Some(card) = given.card() else { continue };
        let setup = given.setup(given.closed).expect("it made a card");
        assert_lines(&card, &setup, &given);
        let hyperfocal = card.hyperfocal.as_deref().expect("a plain lens");
        let hyperfocal = hyperfocal.trim_start_matches("≈ ");
        let exact = depth(&setup, &[], &[], &mut ()).expect("it made a card");
        let exact = exact.hyperfocal_to_trust().expect("a plain lens").to_mm();
        assert!(
            millimetres(hyperfocal) >= exact * (1.0 - LAST_DIGITS),
            "{hyperfocal} {exact}"
        );
        for line in &card.table.lines {
            for (stop, (nearer, farther)) in line.misses.iter().enumerate() {
                let setup = given.setup(stop).expect("it made a card");
                let row = row_at(&setup, distance(&line.focus));
                assert_misses(&row, nearer, farther, &given);
            }
        }
    }
}

#[test]
fn lines_begin_at_close_focus_stand_apart_and_are_at_most_twelve() {
    for given in random(500) {
        let Some(card) = given.card() else { continue };
        assert!((1..=12).contains(&card.lines.len()), "{card:#?}");
        let focus = |index: usize| millimetres(&card.lines[index].focus);
        // The next whole figure, coarser for longer lenses: 6 ft = 1828.8 mm.
        let (first, close) = (focus(0), given.close_mm);
        let step = match given.unit {
            Unit::Feet => [6.35, 25.4, 152.4, 304.8],
            Unit::Metres => [5.0, 10.0, 100.0, 500.0],
        };
        let longest = [304.8, 1828.8, 3048.0]
            .iter()
            .filter(|&&end| close > end)
            .count();
        assert!(
            first >= close && first - close < step[longest] + LAST_DIGITS,
            "{first} {close}"
        );
        for index in 1..card.lines.len() {
            assert!(
                focus(index) >= focus(index - 1) * 1.08 * (1.0 - LAST_DIGITS),
                "{card:#?}"
            );
        }
        let endless = card.lines.iter().filter(|line| line.far == "∞").count();
        // One beyond the hyperfocal distance, infinity itself, and where close
        // focus lies beyond it, that.
        assert!(endless <= 3, "{card:#?}");
    }
}

/// The morning line of a card: the chart, and what the scale must read.
fn morning(card: &Card) -> (&str, &str) {
    let foot = &card.table.foot;
    let line = foot.iter().find_map(|line| line.strip_prefix("chart at "));
    let line = line.unwrap_or_else(|| panic!("{foot:?}"));
    let (chart, rest) = line
        .split_once(", wide open: the scale must read ")
        .expect("words");
    let (reads, _) = rest.split_once(", else").expect("the rest of the line");
    (chart, reads)
}

#[test]
fn the_morning_line_is_inside_a_third_of_the_depth_wide_open() {
    // Trade practice: chart at 6 ft (2 m), wide open; a third of the depth, in the
    // unit the lens is engraved in.
    for (unit, engraved) in [
        (Unit::Feet, None),
        (Unit::Metres, None),
        (Unit::Feet, Some(Unit::Metres)),
        (Unit::Metres, Some(Unit::Feet)),
    ] {
        for focal_mm in [25.0, 35.0, 50.0] {
            let given = Given {
                focal_mm,
                engraved,
                ..Given::ordinary(unit)
            };
            let card = given.card().expect("an ordinary setup");
            let (chart, reads) = morning(&card);
            let scale = engraved.unwrap_or(unit);
            assert!([("6′", Unit::Feet), ("2 m", Unit::Metres)].contains(&(chart, scale)));
            let (band, why) = reads.split_once(" (").expect("why");
            assert_eq!(why, "a third of the depth)");
            let (from, to) = band
                .strip_prefix("between ")
                .and_then(|band| band.split_once(" and "))
                .expect("two");
            let wide_open = given.setup(0).expect("wide open");
            let (near, focus, far) = exact(&row_at(&wide_open, distance(chart)));
            let (from, to) = (millimetres(from), millimetres(to));
            assert!(
                from < focus && (focus - from) * 3.0 <= focus - near + 1e-9,
                "{given:?}"
            );
            assert!(
                to > focus && (to - focus) * 3.0 <= far - focus + 1e-9,
                "{given:?}"
            );
        }
    }
}

#[test]
fn the_morning_line_of_a_long_lens_is_a_hair_and_of_a_very_wide_one_a_collimator() {
    let card = |focal_mm, unit| {
        let given = Given {
            focal_mm,
            pupils: None,
            ..Given::ordinary(unit)
        };
        given.card().expect("an ordinary setup")
    };
    // Depth of 135 mm at f/1.29 and 6 ft is ±0.23 in: a third is under half an inch.
    assert_eq!(morning(&card(135.0, Unit::Feet)), ("6′", "6′ to a hair"));
    assert_eq!(
        morning(&card(135.0, Unit::Metres)),
        ("2 m", "2 m to a hair")
    );
    // 14 mm at f/1.29 is sharp from 4′2″ to 11′ at 6 ft, from 2′6″ to 3′10″ at 3 ft.
    assert_eq!(morning(&card(14.0, Unit::Feet)).0, "3′");
    // 6 mm reaches infinity from 3 ft.
    let words = "a chart as near as 3′ cannot tell";
    let foot = card(6.0, Unit::Feet).table.foot;
    assert!(
        foot.iter()
            .any(|line| line.contains(words) && line.contains("collimator")),
        "{foot:?}"
    );
}

#[test]
fn a_sign_stands_where_the_frame_edge_costs_a_third_of_the_depth_in_front() {
    // With w across, half the field's angle costs L − √(L² − y²), about w² L / 8 f²
    // of taped distance L, of a depth in front of N c L² / f²: the share w² / 8 N c L
    // is the same for all lenses and falls below a third from 3.6 m on at f/2.58.
    for focal_mm in [25.0, 50.0, 100.0] {
        let given = Given {
            focal_mm,
            ..Given::ordinary(Unit::Feet)
        };
        let card = given.card().expect("an ordinary setup");
        let setup = given.setup(given.closed).expect("it made a card");
        let n_c = setup.exposure.f_number.value() * 0.025;
        for line in card.lines.iter().filter(|line| line.focus != "∞") {
            let taped = millimetres(&line.focus);
            let share = 24.89 * 24.89 / (8.0 * n_c * taped);
            // Near the bound the terms left out decide.
            if !(0.28..0.40).contains(&share) {
                assert_eq!(line.edge, share > 1.0 / 3.0, "{focal_mm} mm: {line:?}");
            }
        }
        let legend = card
            .foot
            .iter()
            .find_map(|line| line.strip_prefix("frame edge («, worst at "));
        let (focus, rest) = legend
            .expect("a legend")
            .split_once("): ")
            .expect("a focus");
        let (from, _) = rest
            .strip_prefix("sharp from ")
            .and_then(|rest| rest.split_once(" instead"))
            .expect("a distance");
        // Brute force: the edge of the plane of the near limit, from the ⌀ mark.
        let row = row_at(&setup, distance(focus));
        let set = setup
            .setup
            .lens
            .at(row.focus, Branch::Far, setup.exposure.f_number, &mut ());
        let set = set.expect("a card's own distance");
        let picture = setup.setup.frame.as_ref().expect("a frame");
        let picture = picture.picture(None, &mut ());
        let field = set
            .field(picture, row.limits_to_trust().0, &mut ())
            .expect("in front");
        let (near, _, far) = exact(&row);
        let across = mm(field.size.width) / 2.0;
        let slant = (near * near + across * across).sqrt();
        let from = millimetres(from);
        assert!(
            from >= slant && from - slant <= (far - near) / 4.0 + 0.4,
            "{from} {slant}"
        );
    }
    let mut given = Given::ordinary(Unit::Feet);
    given.frame = false;
    let card = given.card().expect("an ordinary setup");
    assert!(card.lines.iter().all(|line| !line.edge));
}

#[test]
fn every_face_says_how_to_tape() {
    for given in random(60) {
        let Some(card) = given.card() else { continue };
        for foot in [&card.foot, &card.table.foot] {
            let says = foot.iter().any(|line| {
                line.starts_with("tape on the slant, ") && line.ends_with("to the eyes")
            });
            assert!(says, "{foot:?}");
        }
    }
}

#[test]
fn with_a_close_up_lens_nothing_is_sharp_to_infinity_and_no_scale_is_read() {
    let mut given = Given::ordinary(Unit::Feet);
    given.close_up = Some(CloseUp {
        dioptres: 1.0,
        at: Length::mm(190.0),
    });
    let card = given.card().expect("it has depth");
    assert_eq!(card.hyperfocal, None);
    assert!(card.lines.len() > 3 && card.lines.iter().all(|line| line.far != "∞"));
    for foot in [&card.foot, &card.table.foot] {
        assert!(
            !foot.iter().any(|line| line.contains("scale must read")),
            "{foot:?}"
        );
        assert!(
            foot.iter().any(|line| line.contains("scale is void")),
            "{foot:?}"
        );
    }
}

#[test]
fn a_lens_engraved_in_metres_has_a_whole_quarter_inch_on_a_card_in_feet() {
    let mut given = Given::ordinary(Unit::Feet);
    given.close_mm = 430.0;
    let card = given.card().expect("an ordinary setup");
    // 430 mm are 16.93 in; the next quarter inch the lens goes to is 17 in.
    assert_eq!(card.lines[0].focus, "1′5″");
}

#[test]
fn a_known_card_reads_as_the_sketch_does() {
    // Figures of the 50 mm thin lens at T2.8, transmittance 0.80, c = 0.025 mm,
    // as drawn for the look of cards before this was written.
    let mut given = Given::ordinary(Unit::Feet);
    given.pupils = Some((0.0, 1.0));
    given.transmittance = None;
    let card = given.card().expect("an ordinary setup");
    let line = |focus: &str| {
        let found = card.lines.iter().find(|line| line.focus == focus);
        let line = found.unwrap_or_else(|| panic!("{focus} in {:#?}", card.lines));
        [&line.near, &line.nearer, &line.far, &line.farther].map(String::as_str)
    };
    assert_eq!(line("4′"), ["3′11″", "−1″", "4′1″", "+1″"]);
    assert_eq!(line("6′"), ["5′9½″", "−2½″", "6′3″", "+3″"]);
    assert_eq!(line("10′"), ["9′4″", "−8″", "10′9″", "+9″"]);
    assert_eq!(line("15′"), ["13′7″", "−1′5″", "16′10″", "+1′10″"]);
}
