//! Reflectance spectra under D50, D65, A and LED-B3.
//!
//! Source of the first two spectra: two patches of the chart of ISO 17321-1, as
//! carried by colour-science 0.4.7. The other two were made with it to be equal
//! under D50 and no other light. Expected values: colour-science 0.4.7, CIE 1931
//! observer, integration at 5 nm with its own interpolation (Sprague), adapted by
//! Bradford from the light's white to D50 (0.96422, 1, 0.82521).

use shadecard::colour::{Lab50, difference};
use shadecard::range::Light;
use shadecard::range::observer::spectrum_to_xyz;
use shadecard::range::value::spectrum_to_lab;

const RED: [f64; 31] = [
    0.051, 0.05, 0.049, 0.049, 0.049, 0.049, 0.048, 0.047, 0.045, 0.044, 0.044, 0.044, 0.044,
    0.044, 0.045, 0.047, 0.05, 0.057, 0.072, 0.109, 0.192, 0.332, 0.486, 0.598, 0.654, 0.686, 0.7,
    0.707, 0.718, 0.724, 0.729,
];
const BLUE: [f64; 31] = [
    0.136, 0.175, 0.208, 0.244, 0.29, 0.335, 0.338, 0.302, 0.239, 0.172, 0.12, 0.086, 0.066, 0.054,
    0.048, 0.045, 0.043, 0.041, 0.04, 0.04, 0.039, 0.04, 0.04, 0.041, 0.042, 0.042, 0.043, 0.044,
    0.044, 0.045, 0.048,
];
#[allow(clippy::approx_constant, reason = "a reflectance, not 1/pi")]
pub const PLAIN: [f64; 31] = [
    0.303, 0.303, 0.304, 0.306, 0.308, 0.31, 0.314, 0.318, 0.323, 0.33, 0.338, 0.348, 0.36, 0.374,
    0.39, 0.407, 0.425, 0.443, 0.46, 0.476, 0.49, 0.502, 0.512, 0.52, 0.527, 0.532, 0.536, 0.54,
    0.542, 0.544, 0.546,
];
pub const WAVY: [f64; 31] = [
    0.383329, 0.427738, 0.449201, 0.443297, 0.409733, 0.353594, 0.288763, 0.227288, 0.183964, 0.17,
    0.183299, 0.220993, 0.278888, 0.349529, 0.423372, 0.483316, 0.523055, 0.537418, 0.52759,
    0.500534, 0.465436, 0.432178, 0.410483, 0.409292, 0.436049, 0.483987, 0.545863, 0.609119,
    0.658224, 0.684518, 0.682847,
];

struct Case {
    values: [f64; 31],
    light: Light,
    xyz: [f64; 3],
    lab: [f64; 3],
}

fn cases() -> Vec<Case> {
    let case = |values, light, xyz, lab| Case { values, light, xyz, lab };
    vec![
        case(RED, Light::D50, [22.6379, 12.8638, 3.9363], [42.5573, 56.0524, 28.4250]),
        case(RED, Light::D65, [20.1741, 11.8257, 5.2066], [41.5647, 53.4142, 26.8919]),
        case(RED, Light::A, [32.1400, 16.6767, 1.6901], [45.3189, 63.3121, 31.1821]),
        case(RED, Light::LedB3, [22.1826, 12.8631, 3.2589], [41.8770, 50.9590, 26.8136]),
        case(BLUE, Light::D50, [7.3258, 5.9052, 22.6424], [29.1722, 17.0653, -52.0835]),
        case(BLUE, Light::D65, [8.4128, 6.2276, 30.0162], [29.1718, 18.2839, -51.9844]),
        case(BLUE, Light::A, [5.8675, 5.1261, 9.4119], [28.7625, 16.6074, -52.4156]),
        case(BLUE, Light::LedB3, [7.2256, 5.3746, 19.8071], [28.3027, 23.9096, -56.5907]),
        case(PLAIN, Light::A, [52.3356, 44.1828, 11.3165], [71.8141, 8.7775, 15.1702]),
        case(WAVY, Light::A, [51.0984, 44.4917, 10.8170], [72.1053, 3.9085, 17.9500]),
    ]
}

#[test]
fn spectra_under_each_light() {
    for Case { values, light, xyz, lab } in cases() {
        let got = spectrum_to_xyz(light, 400.0, 10.0, &values);
        for k in 0..3 {
            assert!((got[k] - xyz[k]).abs() < 0.02, "{light:?} {got:?} {xyz:?}");
        }
        let got = spectrum_to_lab(light, 400.0, 10.0, &values);
        let apart = difference(got, Lab50::new(lab[0], lab[1], lab[2]));
        assert!(apart < 0.03, "{light:?} {got:?} {lab:?}: {apart}");
    }
}

/// Expected distances: colour-science 0.4.7 as above (0, 2.4186, 6.0825, 2.4508).
#[test]
fn equal_under_one_light_only() {
    for (light, want) in
        [(Light::D50, 0.0), (Light::D65, 2.4186), (Light::A, 6.0825), (Light::LedB3, 2.4508)]
    {
        let lab = |values: &[f64]| spectrum_to_lab(light, 400.0, 10.0, values);
        let got = difference(lab(&PLAIN), lab(&WAVY));
        assert!((got - want).abs() < 0.06, "{light:?}: {got}, not {want}");
    }
}
