//! Prep day's least squares against a general-purpose scientific library, and
//! the printed figures about it.

use markwright::optics::{Pupil, UnitFocus};
use markwright::scale::fit::{Fit, LensReading};
use markwright::units::{Length, PupilMagnification};

use crate::depth::distance;
use crate::table::{Row, rows, within};

fn thin(focal: f64, hiatus: f64) -> UnitFocus {
    let hiatus = Pupil::Hiatus(Length::mm(hiatus));
    UnitFocus::new(Length::mm(focal), hiatus, PupilMagnification::ONE, &mut ())
}

fn reading(row: &Row) -> LensReading {
    LensReading {
        lens: thin(row.figure("focal"), row.figure("hiatus")),
        chart: distance(row.figure("chart")),
        travel: Length::mm(row.figure("travel")),
        sd: Length::mm(row.figure("sd")),
        group: row.figure("group") as usize,
    }
}

#[test]
fn least_squares_agree_with_a_scientific_library_to_1e_7() {
    let (readings, fits) = (rows("prep_readings.csv"), rows("prep_fits.csv"));
    let mut checked = 0;
    for number in 0..12 {
        let of_set = |row: &&Row| row.figure("set") == f64::from(number);
        let set: Vec<LensReading> = readings.iter().filter(of_set).map(reading).collect();
        let theirs: Vec<&Row> = fits.iter().filter(of_set).collect();
        let aside = vec![false; set.len()];
        let ours = Fit::of(&set, &aside, theirs.len(), Length::mm(3.0)).unwrap();
        for (group, row) in ours.groups.iter().zip(theirs) {
            let group = group.unwrap();
            let same = |ours: Length, column: &str| {
                within(ours.to_mm(), row.figure(column), 1e-7, column, row);
            };
            same(group.error, "error");
            same(ours.standard_error(&group), "sd");
            // A zero of some millimetres is known to micrometres: 1e-7 of it.
            within(
                ours.tape_zero.to_mm(),
                row.figure("zero"),
                1e-6,
                "zero",
                row,
            );
            within(
                ours.tape_zero_sd.to_mm(),
                row.figure("zero_sd"),
                1e-6,
                "zero",
                row,
            );
            checked += 1;
        }
    }
    assert_eq!(checked, fits.len());
}

/// The distances of the trade's ring table (F11) from its near stop, eleven of
/// them or those a lens reaches, mm.
const TAPED: [f64; 9] = [
    600.0,
    800.0,
    1000.0,
    1500.0,
    2000.0,
    3000.0,
    5000.0,
    10_000.0,
    f64::INFINITY,
];

/// The standard error of the image-plane error from one reading at each
/// distance, in µm, the tape's zero known.
fn standard_error(focal: f64, gain: f64, ring_sd: f64, tape_sd: f64) -> f64 {
    let lens = thin(focal, 0.0);
    let near = |taped: &&f64| **taped >= 6.0 * focal;
    let set: Vec<LensReading> = TAPED
        .iter()
        .filter(near)
        .map(|&taped| {
            let chart = distance(taped);
            let m = lens
                .magnification(chart, markwright::optics::Branch::Far, &mut ())
                .unwrap()
                .value();
            let slope = m * m / (1.0 - m * m);
            let sd = libm::hypot(ring_sd / gain, slope * tape_sd);
            LensReading {
                lens,
                chart,
                travel: Length::mm(focal * m),
                sd: Length::mm(sd),
                group: 0,
            }
        })
        .collect();
    let fit = Fit::of(&set, &vec![false; set.len()], 1, Length::mm(1e-9)).unwrap();
    1000.0 * fit.standard_error(&fit.groups[0].unwrap()).to_mm()
}

#[test]
fn nine_marks_tell_an_image_plane_as_well_as_worked_out_elsewhere() {
    // Worked out apart from this program for 9 or 10 marks, ring 0.15° and tape
    // 2 mm: 2.0 µm (50 mm, 30 °/mm), 0.7 µm (25 mm, 80 °/mm), 3.4 µm (100 mm,
    // 18 °/mm); the marks themselves were not said.
    for (focal, gain, expected) in [(50.0, 30.0, 2.0), (25.0, 80.0, 0.7), (100.0, 18.0, 3.4)] {
        let found = standard_error(focal, gain, 0.15, 2.0);
        assert!(
            (found / expected - 1.0).abs() < 0.12,
            "{focal} mm: {found} µm"
        );
    }
}
