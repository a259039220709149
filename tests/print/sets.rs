//! The cards of a set: hyperfocal distances, fields, conversions. Read back from
//! the file: all figures there, nothing over anything else, and every figure held
//! against figures found another way.

mod conversions;
mod pictures;

use markwright::answers::depth;
use markwright::draw::Paper;
use markwright::draw::card::{
    CardStyle, Ground, Layouts, NoRoom, draw_conversions, draw_field, draw_field_set,
    draw_hyperfocals,
};
use markwright::draw::plot::Lie;
use markwright::gear::Frame;
use markwright::scene::Page;
use markwright::sheets::{
    Conversions, FieldCard, FieldSet, FieldWish, HyperfocalLens, Hyperfocals, HyperfocalsWish,
    Names,
};
use markwright::units::{
    BareUnit, FocusDistance, Length, Stop, StopKind, Transmittance, Unit, parse,
};

use super::card::setups::{Given, random};
use super::card::{assert_clear, cell, embedded, plain};
use super::pages::{paper, pdf};
use super::reader::{Box, Read, read};

/// Least heights: what one looks for, the rest (trade practice for reading at 40
/// to 70 cm in near dark).
const FIRST: f64 = 4.0;
const OTHER: f64 = 2.5;
/// f32 points and three decimals of type size.
const ROUNDING: f64 = 2e-3;

const PAPERS: [(&str, f64, f64); 3] = [
    ("a6", 105.0, 148.0),
    ("4x6", 101.6, 152.4),
    ("a5", 148.0, 210.0),
];

type Drawn = Result<Vec<Page>, NoRoom>;

fn read_of(pages: Drawn) -> Option<Vec<Read>> {
    pages.ok().map(|pages| read(&pdf(&pages)))
}

/// Faces on small papers, nothing over anything else.
fn assert_faces(faces: &[Read], lies: bool, name: &str) {
    for (at, read) in faces.iter().enumerate() {
        let side = if lies { 14.8 } else { 7.8 };
        let (width, height) = (read.width, read.height);
        let safe = Box::between((side, 8.0), (width - side, height - 15.0));
        let middle = if at % 2 == 0 { 10.0 } else { width - 10.0 };
        let hole = Box::between((middle - 3.0, 7.0), (middle + 3.0, 13.0));
        assert_clear(read, &safe, &hole, name);
    }
}

/// Whether some words on some face are these and at least so high.
fn shows(faces: &[Read], text: &str, least: f64) -> bool {
    let mut words = faces.iter().flat_map(|read| &read.words);
    words.any(|words| plain(&words.text) == text && words.height() >= least - ROUNDING)
}

fn assert_says(faces: &[Read], foot: &[String], code: &str) {
    for read in faces {
        let all: String = read.words.iter().map(|words| plain(&words.text)).collect();
        assert!(all.contains(code), "{all}");
        assert!(all.contains("checkagainstatape"), "{all}");
    }
    let all: String = faces
        .iter()
        .flat_map(|read| &read.words)
        .map(|words| plain(&words.text))
        .collect();
    for line in foot {
        assert!(all.contains(&plain(line)), "{line} in {all}");
    }
}

/// Styles, one after the other.
fn style(
    layouts: &Layouts,
    of: impl Fn(&Layouts) -> &markwright::draw::card::Layout,
    turn: usize,
) -> CardStyle<'_> {
    let ground = if turn.is_multiple_of(2) {
        Ground::Light
    } else {
        Ground::Dark
    };
    let layout: &markwright::draw::card::Layout = of(layouts);
    CardStyle {
        large: turn % 5 == 3,
        lie: if (turn / 3) % 3 == 2 {
            Lie::Landscape
        } else {
            Lie::Portrait
        },
        ..CardStyle::new(ground, layout)
    }
}

fn names() -> Names {
    Names {
        title: Some("Salt".into()),
        camera: Some("A".into()),
        ..Names::default()
    }
}

/// Sets of 1 to 40 lenses in one unit and one kind of stop.
fn sets() -> Vec<Vec<Given>> {
    let all = random(1200);
    let mut sets = Vec::new();
    let mut rest = all.as_slice();
    for size in (1..=40).chain([40, 23, 7, 1]) {
        let (set, more) = rest.split_at(size);
        rest = more;
        let (unit, kind) = (set[0].unit, set[0].kind);
        let alike = |given: &Given| Given {
            unit,
            kind,
            ..given.clone()
        };
        sets.push(set.iter().map(alike).collect());
    }
    sets
}

fn hyperfocals(set: &[Given], stops: usize) -> Option<Hyperfocals> {
    let lens = |given: &Given| -> Option<HyperfocalLens<'static>> {
        given.card()?;
        Some(HyperfocalLens {
            names: given.wish()?.names,
            widest: Stop::new(given.kind, given.widest).ok()?,
            setups: (0..stops).map(|stop| given.setup(stop)).collect(),
            scale: None,
        })
    };
    let lenses: Vec<_> = set.iter().filter_map(lens).collect();
    let first = lenses.first()?;
    let at = |stop: usize| {
        let number = first.widest.number() * f64::from(1_u32 << stop).sqrt();
        Stop::new(first.widest.kind(), (number * 10.0).round() / 10.0).ok()
    };
    let wish = HyperfocalsWish {
        names: names(),
        unit: set[0].unit,
        camera: None,
        stops: (0..stops).filter_map(at).collect(),
        working: at(1),
        lenses,
        gate: true,
    };
    Hyperfocals::new(wish).ok()
}

#[test]
fn a_layout_of_two_stops_keeps_wide_open_and_the_working_stop() {
    let mut layouts = embedded();
    layouts.hyperfocals.stops = 2;
    let mut card = hyperfocals(&[Given::ordinary(Unit::Feet)], 5).expect("depth");
    card.working = 3;
    let style = CardStyle::new(Ground::Light, &layouts.hyperfocals);
    let faces = read_of(draw_hyperfocals(&card, paper("a6"), &style)).expect("room");
    let shown = card
        .stops
        .iter()
        .filter(|stop| shows(&faces, &plain(stop), 3.0));
    assert_eq!(shown.collect::<Vec<_>>(), ["T1.4", "T4"]);
}

fn distance(text: &str) -> FocusDistance {
    parse::distance(text, BareUnit::Refused(None)).unwrap_or_else(|why| panic!("{text}: {why}"))
}

fn mm(text: &str) -> f64 {
    distance(text)
        .reach()
        .finite()
        .map_or(f64::INFINITY, Length::to_mm)
}

#[test]
fn hyperfocal_cards_of_random_sets_are_whole_and_without_collision() {
    let layouts = embedded();
    let mut drawn = 0;
    for (turn, set) in sets().iter().enumerate() {
        let Some(card) = hyperfocals(set, 1 + turn % 5) else {
            continue;
        };
        let style = style(&layouts, |it| &it.hyperfocals, turn);
        let (id, ..) = PAPERS[turn % 3];
        let name = format!("{id} {style:?} {} lenses", card.rows.len());
        let Some(faces) = read_of(draw_hyperfocals(&card, paper(id), &style)) else {
            assert!(style.large || style.lie == Lie::Landscape, "{name}");
            continue;
        };
        drawn += 1;
        assert_faces(&faces, style.lie == Lie::Landscape, &name);
        assert_says(&faces, &card.foot, &card.code.to_string());
        assert!(faces.iter().all(|read| {
            read.words
                .iter()
                .any(|words| words.text == "camera not tested")
        }));
        let head = |stop: &&String| {
            let words = faces[0].words.iter();
            let mut bold = words.filter(|words| words.bold && words.at.1 > 22.0);
            bold.any(|words| words.text == **stop)
        };
        let heads: Vec<&String> = card.stops.iter().filter(head).collect();
        if heads.len() > 1 {
            assert!(
                heads.contains(&&card.stops[card.working]),
                "{heads:?} {name}"
            );
        }
        for row in &card.rows {
            let focal = plain(&row.focal);
            assert!(shows(&faces, &focal, FIRST), "{focal} {name}");
            // Where not all stops have room, the working stop and wide open stay
            // longest.
            let cell_of = &row.cells[if heads.len() > 1 || card.stops.len() == 1 {
                0
            } else {
                card.working
            }];
            let shown = cell_of.as_ref().expect("it opens to its widest");
            assert!(
                shows(&faces, &cell(&shown.hyperfocal, card.unit, " m"), FIRST),
                "{shown:?} {name}"
            );
            assert!(
                shows(&faces, &cell(&shown.near, card.unit, " m"), OTHER),
                "{shown:?} {name}"
            );
        }
    }
    assert!(drawn > 34, "{drawn}");
}

#[test]
fn hyperfocal_figures_are_the_exact_ones_rounded_up_and_near_limits_are_those_there() {
    for set in sets().iter().take(30) {
        let Some(card) = hyperfocals(set, 3) else {
            continue;
        };
        let with_depth = set.iter().filter(|given| given.card().is_some());
        for (row, given) in card.rows.iter().zip(with_depth) {
            for (stop, cell) in row.cells.iter().enumerate() {
                let (Some(cell), Some(setup)) = (cell, given.setup(stop)) else {
                    continue;
                };
                let shown = cell.hyperfocal.trim_start_matches('≈');
                let answer = depth(&setup, &[], &[], &mut ()).expect("depth");
                let exact = answer.hyperfocal_to_trust().expect("a plain lens").to_mm();
                assert_eq!(
                    cell.hyperfocal.starts_with('≈'),
                    answer.cautious_hyperfocal.is_some()
                );
                let step = if exact > 30_000.0 { 1000.0 } else { 25.4 };
                assert!(
                    mm(shown) >= exact * (1.0 - 1e-9) && mm(shown) < exact + step,
                    "{shown} {exact}"
                );
                // From the pupil the near limit is half of the hyperfocal distance
                // exactly; of a thin lens the pupil lies f in front of the image
                // plane, and twice that at most nearly so.
                let there = depth(&setup, &[distance(shown)], &[], &mut ()).expect("depth");
                let near = there.rows[0].limits_to_trust().0;
                let near = near.reach().finite().expect("a near limit").to_mm();
                assert!(
                    mm(&cell.near) >= near * (1.0 - 1e-9) && mm(&cell.near) < near + step,
                    "{cell:?} {near}"
                );
                if given.pupils == Some((0.0, 1.0)) {
                    assert!((near - exact / 2.0).abs() < 2.0 * given.focal_mm);
                }
            }
        }
    }
}

#[test]
fn a_known_hyperfocal_distance_and_its_near_limit() {
    // f² / (N c) + f for a thin lens, from the front principal plane (Kingslake,
    // Optics in Photography; from memory): 50 mm, f/2.8, 0.025 mm: 35 714 + 50 mm;
    // from the image plane 50 mm and N c more: 35 814.4 mm = 117′6.0″; half of it
    // from the pupil.
    let given = Given {
        kind: StopKind::F,
        pupils: Some((0.0, 1.0)),
        ..Given::ordinary(Unit::Feet)
    };
    let card = hyperfocals(core::slice::from_ref(&given), 3).expect("depth");
    let cell = card.rows[0].cells[2].as_ref().expect("f/2.8");
    assert_eq!(card.stops[2], "f/2.8");
    // Beyond 30 m in whole feet, up.
    assert_eq!(cell.hyperfocal, "118′");
    // Half of 118 ft, and half a focal length and a hair: 58′11″ to 59′2″.
    assert!(
        (mm(&cell.near) - 118.0 * 304.8 / 2.0).abs() < 60.0,
        "{cell:?}"
    );
    let metres = hyperfocals(
        &[Given {
            unit: Unit::Metres,
            ..given
        }],
        3,
    )
    .expect("depth");
    assert_eq!(
        metres.rows[0].cells[2].as_ref().expect("f/2.8").hyperfocal,
        "36 m"
    );
}

fn field_wish(given: &Given, extraction: Option<f64>) -> Option<FieldWish> {
    let setup = given.setup(0)?.setup;
    let frame = setup.frame.clone()?;
    let frame = match extraction {
        Some(ratio) => Frame::extracted(frame, markwright::units::AspectRatio::new(ratio).ok()?),
        None => frame,
    };
    Some(FieldWish {
        names: given.wish()?.names,
        unit: given.unit,
        setup,
        close_focus: FocusDistance::at(Length::mm(given.close_mm)).ok()?,
        frame,
        gate: true,
    })
}

#[test]
fn field_cards_of_random_lenses_and_sets_are_whole_and_without_collision() {
    let layouts = embedded();
    let (mut cards, mut set_cards) = (0, 0);
    for (turn, set) in sets().iter().enumerate() {
        let ratio = [None, Some(2.39), Some(1.33)][turn % 3];
        let wishes: Vec<FieldWish> = set
            .iter()
            .filter_map(|given| {
                field_wish(
                    &Given {
                        frame: true,
                        ..given.clone()
                    },
                    ratio,
                )
            })
            .collect();
        let (id, ..) = PAPERS[turn % 3];
        let style = style(&layouts, |it| &it.fields, turn);
        let lies = style.lie == Lie::Landscape;
        for wish in wishes.iter().take(3) {
            let card = FieldCard::new(wish.clone()).expect("a field");
            let name = format!("{id} {style:?} {wish:?}");
            let Some(faces) = read_of(draw_field(&card, paper(id), &style)) else {
                assert!(style.large || lies || card.lines.is_empty(), "{name}");
                continue;
            };
            cards += 1;
            assert_faces(&faces, lies, &name);
            assert_says(&faces, &card.foot, &card.code.to_string());
            assert_eq!(faces.len(), 1, "{name}");
            let shown = card.lines.iter().filter(|line| {
                let [focus, width] =
                    [&line.focus, &line.width].map(|text| cell(text, card.unit, " m"));
                shows(&faces, &focus, FIRST) && shows(&faces, &width, FIRST)
            });
            assert!(shown.count() >= 1, "{name}");
        }
        let Some(first) = wishes.first() else {
            continue;
        };
        let card = FieldSet::new(names(), &wishes, first.unit).expect("a field");
        let name = format!("{id} {style:?} {} lenses", card.rows.len());
        let Some(faces) = read_of(draw_field_set(&card, paper(id), &style)) else {
            assert!(style.large || lies, "{name}");
            continue;
        };
        set_cards += 1;
        assert_faces(&faces, lies, &name);
        assert_says(&faces, &card.foot, &card.code.to_string());
        for row in &card.rows {
            assert!(shows(&faces, &plain(&row.focal), FIRST), "{row:?} {name}");
        }
    }
    assert!(cards > 80 && set_cards > 30, "{cards} {set_cards}");
}

#[test]
fn a_field_is_the_gate_over_the_magnification_rounded_down() {
    // A thin lens: width = w (D − u′)/u′ with u′ the image distance, from
    // u² − D u + f D = 0; angles 2 atan(w / 2 u′), at the pupil, which is at the lens.
    let gates = [(None, 24.89, 13.87), (Some(2.39), 24.89, 24.89 / 2.39)];
    for unit in [Unit::Feet, Unit::Metres] {
        for (ratio, w, h) in gates {
            let given = Given {
                pupils: Some((0.0, 1.0)),
                ..Given::ordinary(unit)
            };
            let card =
                FieldCard::new(field_wish(&given, ratio).expect("a frame")).expect("a field");
            assert!(card.lines.len() > 8, "{card:?}");
            for line in &card.lines {
                let d = mm(&line.focus);
                let image = (d - (d * (d - 4.0 * 50.0)).sqrt()) / 2.0;
                for (text, side) in [(&line.width, w), (&line.height, h)] {
                    let exact = side * (d - image) / image;
                    let step = if exact > 30_000.0 {
                        1000.0
                    } else if exact > 2000.0 {
                        25.5
                    } else if exact >= 1000.0 {
                        12.8
                    } else {
                        6.4
                    };
                    assert!(
                        mm(text) <= exact + 1e-6 && mm(text) > exact - step,
                        "{text} {exact} {line:?}"
                    );
                }
                for (text, side) in line.angles.iter().zip([w, h]) {
                    let exact = 2.0 * libm::atan(side / 2.0 / image).to_degrees();
                    let shown: f64 = text.trim_end_matches('°').parse().expect("a figure");
                    assert!(
                        shown <= exact + 1e-9 && shown > exact - 0.1 - 1e-9,
                        "{text} {exact}"
                    );
                }
            }
            let shown: f64 = card.angles[0]
                .trim_end_matches('°')
                .parse()
                .expect("a figure");
            let exact = 2.0 * libm::atan(w / 100.0).to_degrees();
            assert!(shown <= exact && shown > exact - 0.1, "{shown} {exact}");
        }
    }
}

#[test]
fn the_frame_is_drawn_to_scale_with_its_sides_in_figures() {
    let layouts = embedded();
    let style = CardStyle::new(Ground::Light, &layouts.fields);
    let given = Given::ordinary(Unit::Feet);
    let card = FieldCard::new(field_wish(&given, Some(2.39)).expect("a frame")).expect("a field");
    let faces = read_of(draw_field(&card, paper("a6"), &style)).expect("room");
    for text in ["24.89", "13.87", "10.41", "1 : 1", "seen"] {
        assert!(
            faces[0].words.iter().any(|words| words.text == text),
            "{text}"
        );
    }
    let long = |dx: f64, dy: f64| {
        faces[0].lines.iter().any(|line| {
            ((line.to.0 - line.from.0).abs() - dx).abs() < 1e-3
                && ((line.to.1 - line.from.1).abs() - dy).abs() < 1e-3
        })
    };
    assert!(long(24.89, 0.0) && long(0.0, 13.87) && long(0.0, 24.89 / 2.39));
    // Without the drawing there is room for more lines.
    let mut layout = layouts.fields.clone();
    layout.drawing = false;
    let bare = CardStyle::new(Ground::Light, &layout);
    let faces = read_of(draw_field(&card, paper("a6"), &bare)).expect("room");
    assert!(!faces[0].words.iter().any(|words| words.text == "13.87"));
}

#[test]
fn an_anamorphic_lens_frames_its_gate_twice_as_wide() {
    let plain = Given {
        pupils: None,
        ..Given::ordinary(Unit::Metres)
    };
    let wide = Given {
        squeeze: 2.0,
        ..plain.clone()
    };
    let [plain, wide] = [plain, wide].map(|given| {
        let mut wish = field_wish(&given, None).expect("a frame");
        if given.squeeze > 1.0 {
            let setup = given.squeezed_setup().expect("a squeeze");
            wish.setup = setup;
        }
        FieldCard::new(wish).expect("a field")
    });
    for (one, two) in plain.lines.iter().zip(&wide.lines) {
        // Squeezed by two in the width alone; rounding may cost a step of 2 cm.
        assert!(
            (mm(&two.width) - 2.0 * mm(&one.width)).abs() <= 0.03 * mm(&two.width) + 40.0,
            "{one:?} {two:?}"
        );
        assert!(
            (mm(&two.height) - mm(&one.height)).abs() <= 1.0,
            "{one:?} {two:?}"
        );
    }
}

#[test]
fn set_cards_are_exactly_their_paper_and_folded_on_large_ones() {
    let layouts = embedded();
    let card = Conversions::new(names(), Unit::Feet, &[]);
    // ISO 216, and inches of 25.4 mm.
    let sizes = [
        ("a4", 210.0, 297.0, true),
        ("letter", 215.9, 279.4, true),
        ("a5", 148.0, 210.0, false),
        ("a6", 105.0, 148.0, false),
        ("4x6", 101.6, 152.4, false),
    ];
    for (id, width, height, folded) in sizes {
        for lie in [Lie::Portrait, Lie::Landscape] {
            let style = CardStyle {
                lie,
                ..CardStyle::new(Ground::Dark, &layouts.conversions)
            };
            let pages = draw_conversions(&card, paper(id), &style).expect("room");
            let bytes = pdf(&pages);
            assert_eq!(bytes, pdf(&pages));
            for page in read(&bytes) {
                // A large sheet stays upright; what is cut from it lies.
                let lies = lie == Lie::Landscape && !folded;
                let (wide, high) = if lies {
                    (height, width)
                } else {
                    (width, height)
                };
                assert!(
                    (page.width - wide).abs() < 1e-4 && (page.height - high).abs() < 1e-4,
                    "{id}"
                );
                if folded {
                    let outline = page.lines.iter().filter(|line| {
                        let (dx, dy) = (line.to.0 - line.from.0, line.to.1 - line.from.1);
                        (libm::hypot(dx, dy) - 210.0).abs() < 1e-3
                    });
                    assert!(outline.count() >= 2, "{id}");
                }
            }
        }
    }
}

#[test]
fn a_roll_has_no_room_for_any() {
    let layouts = embedded();
    let roll = Paper::roll(Length::mm(24.0), Length::mm(400.0)).expect("a roll");
    let given = Given::ordinary(Unit::Feet);
    let card = hyperfocals(core::slice::from_ref(&given), 3).expect("depth");
    let style = CardStyle::new(Ground::Light, &layouts.hyperfocals);
    let none = draw_hyperfocals(&card, &roll, &style)
        .expect_err("no room")
        .to_string();
    assert!(none.contains("does not fit"), "{none}");
    let style = CardStyle::new(Ground::Light, &layouts.conversions);
    let card = Conversions::new(names(), Unit::Feet, &[]);
    assert!(draw_conversions(&card, &roll, &style).is_err());
}
