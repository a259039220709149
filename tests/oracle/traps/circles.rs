//! Circles of confusion.

use approx::assert_relative_eq;
use markwright::optics::CircleRule;
use markwright::units::Length;

use super::gate;

#[test]
fn an_acuity_rule_goes_by_the_extracted_picture_and_a_diagonal_by_the_gate() {
    let (whole, cut) = (gate(24.89, 18.66), gate(18.66, 18.66));
    let diameter = |rule: CircleRule| {
        let circle = rule.circle(whole, cut, &mut ()).unwrap();
        circle.diameter().to_mm()
    };
    let viewing = CircleRule::Viewing {
        screen: Length::m(10.0),
        distance: Length::m(12.0),
        arcmin: 1.0,
    };
    // 18.66 / 10 000 · 12 000 · tan(1′), tan(1′) = 2.908882e-4.
    assert_relative_eq!(diameter(viewing), 0.006_513_57, max_relative = 1e-5);
    // sqrt(24.89² + 18.66²) = 31.108 over 1500 (fact C.s35-4perf.1500).
    let diagonal = CircleRule::Diagonal { divisor: 1500.0 };
    assert_relative_eq!(diameter(diagonal), 0.0207, epsilon = 5e-5);
}

#[test]
fn a_resolution_means_a_whole_line_pair() {
    // c = 1/R; a common variant is 1/(2R).
    let rule = CircleRule::Lines { per_mm: 40.0 };
    let any = gate(24.0, 18.0);
    let circle = rule.circle(any, any, &mut ()).unwrap();
    assert_eq!(circle.diameter(), Length::mm(0.025));
}
