//! The trial sheet: what is printed and what is cut agree, and what is written on its form is read.

use kurbo::{Point, Rect, Shape as _};
use shadecard::diag::Sources;
use shadecard::labels::offset::read;
use shadecard::labels::trial::{ROOM, Trial, trial};
use shadecard::plan::{Look, Style};
use shadecard::sheet::{ItemKind, Role, Sheet};
use shadecard::spelling::Spelling;

fn a4() -> Trial {
    let mut a4 = Trial::new(210.0, 297.0, [13.0, 7.0, 13.0, 8.0]);
    a4.registration = vec![Point::new(6.0, 6.0), Point::new(204.0, 6.0), Point::new(6.0, 291.0)];
    a4.registration_radius = 2.5;
    a4
}

fn made(of: &Trial) -> (Sheet, shadecard::labels::CutSheet) {
    let style = Style::shipped("plate").expect("a style");
    let look = Look::new(&style, of.width, of.height, 1.0).expect("a look");
    trial(of, &look, &Spelling::shipped("en-GB").expect("a spelling")).expect("room")
}

#[test]
fn nine_marks_as_far_apart_as_the_margins_allow() {
    let marks = a4().marks();
    let at: Vec<(f64, f64)> = marks.iter().map(|m| (m.at.x, m.at.y)).collect();
    let (x, y) = ([8.0 + ROOM, 105.5, 203.0 - ROOM], [13.0 + ROOM, 148.5, 284.0 - ROOM]);
    let want: Vec<(f64, f64)> = (0..9).map(|i| (x[i % 3], y[i / 3])).collect();
    assert_eq!(at, want);
    assert_eq!(marks.iter().map(|m| m.number).collect::<Vec<_>>(), (1..=9).collect::<Vec<_>>());
}

#[test]
fn small_sheets_have_fewer_marks_and_none_on_registration_marks() {
    let narrow = Trial::new(62.0, 297.0, [5.0; 4]);
    assert_eq!(narrow.marks().len(), 6);
    assert_eq!(Trial::new(31.0, 31.0, [5.0; 4]).marks().len(), 1);
    let none = Trial::new(30.0, 30.0, [5.0; 4]);
    assert!(none.marks().is_empty());
    let style = Style::shipped("plate").expect("a style");
    let look = Look::new(&style, 30.0, 30.0, 1.0).expect("a look");
    let fault = trial(&none, &look, &Spelling::shipped("en-GB").expect("a spelling"));
    assert_eq!(fault.expect_err("no room").code, "no-room-for-marks");
    let mut covered = a4();
    covered.registration.push(Point::new(20.0, 25.0));
    assert_eq!(covered.marks().len(), 8);
}

/// The edges of every square are exactly at the zeros of four scales.
#[test]
fn edges_of_the_cuts_stand_at_the_zeros_of_the_print() {
    let (sheet, cuts) = made(&a4());
    let ticks: Vec<Rect> = sheet.pages[0]
        .items
        .iter()
        .filter(|i| matches!(i.kind, ItemKind::Area(_)) && i.role == Role::Furniture)
        .map(|i| i.bounds)
        .collect();
    assert_eq!(cuts.contours.len(), 9);
    for cut in &cuts.contours {
        let square = cut.path.bounding_box();
        assert!((square.width() - 10.0).abs() < 1e-9 && (square.height() - 10.0).abs() < 1e-9);
        let middle = square.center();
        // The longest tick across each arm.
        let upright = |x: f64| {
            let here = ticks.iter().filter(|t| {
                (t.center().x - x).abs() < 1e-9
                    && (t.center().y - middle.y).abs() < 1e-9
                    && t.width() < 0.2
            });
            here.map(Rect::height).fold(0.0, f64::max)
        };
        let level = |y: f64| {
            let here = ticks.iter().filter(|t| {
                (t.center().y - y).abs() < 1e-9
                    && (t.center().x - middle.x).abs() < 1e-9
                    && t.height() < 0.2
            });
            here.map(Rect::width).fold(0.0, f64::max)
        };
        for x in [square.x0, square.x1] {
            assert!(upright(x) > 3.0 && upright(x - 0.5) < 1.5 && upright(x + 3.0) > 1.5);
        }
        for y in [square.y0, square.y1] {
            assert!(level(y) > 3.0 && level(y - 0.5) < 1.5 && level(y + 3.0) > 1.5);
        }
    }
}

#[test]
fn nothing_leaves_the_margins_and_nothing_lies_on_another_mark() {
    let of = a4();
    let (sheet, cuts) = made(&of);
    let inside = Rect::new(8.0, 13.0, 203.0, 284.0);
    let marks = of.marks();
    for item in sheet.pages[0].items.iter().filter(|i| i.role != Role::Cut) {
        let bounds = item.bounds;
        assert!(inside.union(bounds) == inside, "{bounds:?} of {:?}", item.origin);
        let near = |m: &&shadecard::labels::offset::Mark| {
            let d = m.at - bounds.center();
            d.x.abs().max(d.y.abs()) < ROOM
        };
        assert_eq!(marks.iter().filter(near).count(), 1, "{:?}", item.origin);
    }
    let dots = sheet.pages[0].items.iter().filter(|i| i.role == Role::Cut);
    let dots: Vec<Point> = dots.map(|i| i.bounds.center()).collect();
    assert_eq!(dots.len(), cuts.marks.len());
    assert!(dots.iter().zip(&cuts.marks).all(|(a, b)| a.distance(*b) < 1e-3));
}

#[test]
fn the_form_is_read_back_once_it_is_filled_in() {
    let of = a4();
    let form = of.form().csv();
    assert!(form.starts_with("mark,x,y,dx,dy\n1,18.500,23.500,,\n"), "{form}");
    let filled: String = form
        .lines()
        .enumerate()
        .map(|(i, l)| match i {
            0 => format!("{l}\n"),
            i => format!("{}{},-0.25\n", l.trim_end_matches(','), format_args!(",0.{i}")),
        })
        .collect();
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("form.csv");
    std::fs::write(&path, filled).expect("written");
    let (measured, _) = read(&path, &[], kurbo::Size::new(210.0, 297.0), &mut Sources::default())
        .expect("nine marks");
    assert_eq!(measured.readings.len(), 9);
    for (reading, mark) in measured.readings.iter().zip(of.marks()) {
        assert!(reading.mark.at.distance(mark.at) < 1e-3);
        assert_eq!(reading.off.x, format!("0.{}", mark.number).parse::<f64>().expect("a number"));
    }
    // The form as it comes has no mark that was measured.
    let path = folder.path().join("empty.csv");
    std::fs::write(&path, of.form().csv()).expect("written");
    let (measured, _) =
        read(&path, &[], kurbo::Size::new(210.0, 297.0), &mut Sources::default()).expect("empty");
    assert!(measured.readings.is_empty());
}
