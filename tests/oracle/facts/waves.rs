//! Diffraction and contrast.

use core::f64::consts::PI;

use markwright::numerics::{integral, root_between};
use markwright::optics::{Branch, Detail, airy, defocused_transfer};
use markwright::units::{Length, Light, Ratio, SpatialFrequency, Wavelength};

use super::Said::{self, Is};
use super::case::Case;
use crate::depth::distance;

pub fn say(quantity: &str, case: &Case) -> Option<Said> {
    let g = |key: &str| case.figure(key);
    Some(Is(match quantity {
        "airy" => airy(&light(case), case.n(), &mut ()).to_mm(),
        "diffraction_contrast" => {
            // At f/8 in 550 nm the cut-off is 1 / (0.00055 × 8).
            let light = Light::one(Wavelength::new(Length::mm(0.00055)).unwrap());
            let frequency = SpatialFrequency::new(g("sigma") / 0.0044).unwrap();
            let detail = Detail {
                frequency,
                light,
                pitch: None,
            };
            let n = Case::of("n=8").n();
            detail.in_focus(n, &mut ()).value()
        }
        "defocused_transfer" => transfer(8.0 * PI * g("waves") * g("sigma"), g("sigma")),
        "quarter_wave_focus" => quarter_wave_focus(case),
        "strehl" => strehl(g("waves")),
        "best_stop_constant" => best_stop_constant(case),
        // Without a wavelength a blur is a disc and nothing more.
        "disc_otf" => transfer(PI * g("circle") * g("cycles_per_mm"), 0.0),
        "disc_first_zero" => {
            let at = |nu: f64| transfer(PI * g("circle") * nu, 0.0);
            root_between(at, 1.0, 1.4 / g("circle")).unwrap()
        }
        _ => return None,
    }))
}

fn light(case: &Case) -> Light {
    let wavelength = Length::mm(case.figure("wavelength_nm") / 1e6);
    Light::one(Wavelength::new(wavelength).unwrap())
}

fn transfer(a: f64, sigma: f64) -> f64 {
    let ratio = |value| Ratio::new(value).unwrap();
    defocused_transfer(ratio(a), ratio(sigma)).value()
}

/// The height of the point image is the volume under the transfer function.
fn strehl(waves: f64) -> f64 {
    let volume = |waves: f64| {
        let slice = |sigma: f64| sigma * transfer(8.0 * PI * waves * sigma, sigma);
        integral(slice, 0.0, 1.0, 20)
    };
    volume(waves) / volume(0.0)
}

/// How far the image plane may be off for a point image as high as that.
fn quarter_wave_focus(case: &Case) -> f64 {
    let n = case.n().value();
    let waves = root_between(|waves| strehl(waves) - strehl(0.25), 0.1, 0.4).unwrap();
    // The blur b = dz / N makes the wavefront b / (8 N) late at the edge.
    let late = waves * case.figure("wavelength_nm") / 1e6;
    8.0 * n * n * late
}

/// N² over the way between the images of near and far, far from 1:1.
fn best_stop_constant(case: &Case) -> f64 {
    let lens = Case::of("focal=100").lens();
    let (near, far) = (distance(1e6), distance(4e6));
    let m = |focus| {
        lens.magnification(focus, Branch::Far, &mut ())
            .unwrap()
            .value()
    };
    let apart = 100.0 * (m(near) - m(far));
    let n = Case::of("n=8").n();
    let set = lens.at(distance(1.6e6), Branch::Far, n, &mut ()).unwrap();
    let best = set.stop_of_equal_blurs(n, (near, far), &light(case), &mut ());
    let n = best.unwrap().value();
    n * n / apart
}
