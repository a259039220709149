//! The conversion card.

use super::*;

#[test]
fn conversions_are_those_of_the_international_foot_and_of_the_square_root_of_two() {
    let card = Conversions::new(names(), Unit::Feet, &[]);
    // 1 ft = 0.3048 m exactly (agreement of 1959; NIST SP 811, B.6).
    for line in &card.to_metres {
        let exact = mm(&line.from);
        let shown: f64 = line.to.trim_end_matches(" m").parse().expect("metres");
        let half = if exact < 10_000.0 { 0.5 } else { 5.0 };
        assert!((shown * 1000.0 - exact).abs() <= half + 1e-9, "{line:?}");
    }
    for line in &card.to_feet {
        let exact = mm(&line.from);
        let half = if exact < 2000.0 {
            1.5875
        } else if exact < 10_000.0 {
            6.35
        } else {
            12.7
        };
        assert!((mm(&line.to) - exact).abs() <= half + 1e-9, "{line:?}");
    }
    for (from, to) in [
        ("6′", "1.829 m"),
        ("10′", "3.048 m"),
        ("1 m", "3′3⅜″"),
        ("2 m", "6′6½″"),
    ] {
        let lines = card.to_metres.iter().chain(&card.to_feet);
        let line = lines
            .filter(|line| line.from == from)
            .map(|line| line.to.as_str());
        assert_eq!(line.collect::<Vec<_>>(), [to]);
    }
    // Thirds: 2^(1/6) apart, by multiplying; every third from 1 to 22.
    let third = 1.122_462_048_309_373_f64;
    let mut exact = 1.0;
    assert_eq!(card.stops.len(), 28);
    assert_eq!(card.stops[27].nominal, "22");
    for (at, line) in card.stops.iter().enumerate() {
        let shown: f64 = line.exact.parse().expect("a figure");
        assert!((shown - exact).abs() <= 5.1e-4, "{line:?} {exact}");
        // Engraved numbers stand within a twelfth of a stop of the exact ones.
        let nominal: f64 = line.nominal.parse().expect("a figure");
        assert!(libm::log2(nominal / exact).abs() * 2.0 < 0.1, "{line:?}");
        assert_eq!(line.full, at % 3 == 0, "{line:?}");
        // N = T √τ (definition of the T-number).
        for (f, tau) in line.f_numbers.iter().zip([0.9_f64, 0.8, 0.7]) {
            let shown: f64 = f.parse().expect("a figure");
            let n = exact * tau.sqrt();
            assert!(shown <= n + 1e-9 && shown > n - 0.01 - 1e-9, "{f} {n}");
        }
        exact *= third;
    }
}

#[test]
fn a_sets_transmittances_stand_with_their_lenses_and_at_most_four() {
    let tau = |value| Transmittance::new(value).expect("a share");
    let of = |all: &[(&str, f64)]| {
        let all: Vec<(String, Transmittance)> = all
            .iter()
            .map(|(focal, value)| ((*focal).to_owned(), tau(*value)))
            .collect();
        Conversions::new(names(), Unit::Metres, &all).transmittances
    };
    let pair = |tau: &str, lenses: &str| (tau.to_owned(), lenses.to_owned());
    assert_eq!(
        of(&[("25", 0.85), ("50", 0.88), ("75", 0.85)]),
        [pair("0.88", "50"), pair("0.85", "25 75")]
    );
    // What lies nearest goes, to the darker one: its f-number is the smaller.
    assert_eq!(
        of(&[("a", 0.9), ("b", 0.89), ("c", 0.85), ("d", 0.8), ("e", 0.7)]),
        [
            pair("0.89", "a b"),
            pair("0.85", "c"),
            pair("0.80", "d"),
            pair("0.70", "e")
        ]
    );
}

#[test]
fn conversion_cards_are_whole_on_every_paper_and_in_every_look() {
    let layouts = embedded();
    for unit in [Unit::Feet, Unit::Metres] {
        let card = Conversions::new(names(), unit, &[]);
        for turn in 0..15 {
            let (id, ..) = PAPERS[turn % 3];
            let style = CardStyle {
                large: turn % 2 == 1,
                lie: if turn % 5 > 2 {
                    Lie::Landscape
                } else {
                    Lie::Portrait
                },
                ..CardStyle::new(Ground::Light, &layouts.conversions)
            };
            let name = format!("{id} {style:?}");
            let faces = read_of(draw_conversions(&card, paper(id), &style)).expect(&name);
            assert_faces(&faces, style.lie == Lie::Landscape, &name);
            assert_says(&faces, &card.foot, &card.code.to_string());
            for line in &card.stops {
                assert!(
                    shows(&faces, &line.nominal, FIRST) && shows(&faces, &line.f_numbers[0], FIRST),
                    "{line:?} {name}"
                );
                assert!(shows(&faces, &line.exact, OTHER));
            }
            for text in ["10′", "3.048", "2", "6′6½″"] {
                assert!(shows(&faces, text, FIRST), "{text} {name}");
            }
        }
    }
}
