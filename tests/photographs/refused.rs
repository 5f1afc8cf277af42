//! Photographs that cannot be used are refused, each with its reason.

use shadecard::capture::{Fault, Limits, decode, find_code, read};
use shadecard::parallel::in_parallel;

use crate::render::{self, Broken, Case, Params, ShadowEdge, broken};
use crate::{photographs, staged};

/// What a photograph of the demo's first page, taken so, is refused for; none if it is read.
fn fault(params: &Params) -> Option<Fault> {
    let (page, values) = &staged::pages()[0];
    let drawn = staged::for_renderer(page);
    let laid = render::lay(&drawn, values, 0.0, params.seed);
    let photograph = render::render(&drawn, &laid, params);
    read(&photograph.bytes, page, &Limits::default()).err()
}

#[test]
fn bad_photographs_are_refused_with_their_reason() {
    let seed = 71_000;
    type Is = fn(&Fault) -> bool;
    let cases: [(Case, Is); 6] = [
        (Case::Blurred, |f| matches!(f, Fault::Soft { .. } | Fault::Blurred { .. })),
        (Case::Moved, |f| matches!(f, Fault::Soft { .. } | Fault::Blurred { .. })),
        (Case::Clipped, |f| matches!(f, Fault::Overexposed(_))),
        (Case::TooSmall, |f| matches!(f, Fault::TooSmall(_) | Fault::FaintCode(_))),
        (Case::HalfPage, |f| matches!(f, Fault::HalfAPage { .. } | Fault::NoCode)),
        (Case::NoPage, |f| matches!(f, Fault::NoCode)),
    ];
    for (i, (case, is)) in cases.into_iter().enumerate() {
        let fault = fault(&Params::of(case, seed + i as u64));
        let fault = fault.unwrap_or_else(|| panic!("{case:?} is read"));
        assert!(is(&fault), "{case:?}: {fault}");
        assert!(!fault.help().is_empty());
    }
}

#[test]
fn upside_down_is_read() {
    assert_eq!(fault(&Params::of(Case::UpsideDown, 71_100)), None);
}

#[test]
fn two_pages_in_one_photograph_are_refused() {
    let pages = staged::pages();
    let second = staged::for_renderer(&pages[1].0);
    let fault = fault(&Params::usual(71_200).with_second(second)).expect("a fault");
    assert!(matches!(fault, Fault::SeveralCodes(2)), "{fault}");
}

#[test]
fn another_page_is_told_by_its_code() {
    let pages = staged::pages();
    let drawn = staged::for_renderer(&pages[1].0);
    let laid = render::lay(&drawn, &pages[1].1, 0.0, 71_300);
    let photograph = render::render(&drawn, &laid, &Params::of(Case::Careful, 71_300));
    let picture = decode(&photograph.bytes, &Limits::default()).expect("a picture");
    assert_eq!(find_code(&picture).expect("a code").text, pages[1].0.code.text);
    let fault = read(&photograph.bytes, &pages[0].0, &Limits::default()).expect_err("a fault");
    assert!(matches!(fault, Fault::OtherPage { .. }), "{fault}");
}

#[test]
fn what_is_no_picture_or_too_large_is_refused() {
    let (page, values) = &staged::pages()[0];
    let drawn = staged::for_renderer(page);
    let laid = render::lay(&drawn, values, 0.0, 71_400);
    let mut params = Params::of(Case::Careful, 71_400);
    params.view.size = (900, 1200);
    let whole = render::render(&drawn, &laid, &params).bytes;
    for how in [Broken::Empty, Broken::Text, Broken::Cut, Broken::OnlyHead] {
        let bytes = broken(&whole, how, 1);
        let fault = read(&bytes, page, &Limits::default()).expect_err("a fault");
        let is = matches!(fault, Fault::NotAPicture | Fault::CutShort | Fault::Damaged(_));
        assert!(is, "{how:?}: {fault}");
    }
    let fault = read(&whole, page, &Limits { pixels: 1_000_000 }).expect_err("a fault");
    assert!(matches!(fault, Fault::TooLarge { .. }), "{fault}");
}

/// How many photographs of a kind: a fiftieth of what is asked for.
fn count() -> u64 {
    (photographs(0) / 50).max(3)
}

/// Shadows across the page: of an edge, hard and soft, over a corner, and of a bar.
fn shadows(seed: u64) -> Vec<(&'static str, Params)> {
    let across = |change: &dyn Fn(&mut ShadowEdge)| {
        let mut params = Params::of(Case::ShadowAcross, seed);
        params.lights.shadow.iter_mut().for_each(change);
        params
    };
    vec![
        ("an edge", across(&|_| {})),
        ("a hard edge", across(&|edge| edge.soft = 0.3)),
        ("over a corner", across(&|edge| (edge.at, edge.degrees) = ((55.0, 70.0), 135.0))),
        ("a bar", across(&|edge| edge.wide = Some(40.0))),
    ]
}

#[test]
fn a_shadow_across_the_page_is_refused() {
    let count = count();
    let cases: Vec<(&str, Params)> = (0..count).flat_map(|n| shadows(71_500 + n)).collect();
    let faults = in_parallel(&cases, |(_, params)| fault(params));
    for ((kind, params), fault) in cases.iter().zip(faults) {
        let shadow = params.lights.shadow.as_ref();
        assert!(matches!(fault, Some(Fault::Shadow(_))), "{kind}: {fault:?} {shadow:?}");
    }
}

#[test]
fn light_from_a_side_and_reflections_are_no_shadow() {
    let count = count();
    let cases: Vec<(Case, u64)> = [Case::Usual, Case::Careful, Case::Careless, Case::Glare]
        .into_iter()
        .flat_map(|case| (0..count).map(move |n| (case, 71_900 + n)))
        .collect();
    let faults = in_parallel(&cases, |(case, seed)| fault(&Params::of(*case, *seed)));
    for ((case, seed), fault) in cases.iter().zip(faults) {
        assert!(!matches!(fault, Some(Fault::Shadow(_))), "{case:?} {seed}: {fault:?}");
    }
}
