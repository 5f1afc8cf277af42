//! Cuts beside the print: a layer of its own for every kind of cut, marked as
//! a processing step (ISO 19593-1, read second-hand), in a spot colour that
//! nothing else uses.

use std::collections::BTreeSet;
use std::io;

use kurbo::BezPath;

use lopdf::{Dictionary, Object};
use printpdf::{DictItem, ExtendedGraphicsStateId, Op, PaintMode, Pt};

use super::file::PdfFile;
use super::inks::Inks;
use super::operators::{Unit, other, polygon};
use crate::sheet::{FillRule, Rgb};
use crate::units::pt_to_mm;

/// How the blade goes, as the standard calls it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// Through everything.
    Cutting,
    /// Through the upper layer alone: a kiss cut.
    PartialCutting,
}

impl Step {
    /// The type of the processing step; layer and spot colour are called the same.
    pub fn name(self) -> &'static str {
        match self {
            Step::Cutting => "Cutting",
            Step::PartialCutting => "PartialCutting",
        }
    }

    /// The colour in which screens show it: violet, or green where the blade goes through. Neither is
    /// a process ink, both are mixtures that few labels have, far in lightness from paper and from
    /// black words, and distinguishable without red or green vision.
    pub fn colour(self) -> Rgb {
        match self {
            Step::Cutting => Rgb(0, 224, 0),
            Step::PartialCutting => Rgb(143, 0, 255),
        }
    }

    /// The same in the inks of a press, 0 to 1.
    fn inks(self) -> [f64; 4] {
        match self {
            Step::Cutting => [0.75, 0.0, 1.0, 0.0],
            Step::PartialCutting => [0.7, 0.85, 0.0, 0.0],
        }
    }

    /// Its layer in the resources of a page.
    fn layer(self) -> &'static str {
        match self {
            Step::Cutting => "MC0",
            Step::PartialCutting => "MC1",
        }
    }
}

/// One closed cut of a page, mm from the top left corner, y down.
#[derive(Debug, Clone, PartialEq)]
pub struct CutLine {
    pub step: Step,
    pub path: BezPath,
}

/// The cuts of every page.
pub type Cuts<'a> = &'a [Vec<CutLine>];

/// The graphics state: cuts take nothing away from the print below them.
const STATE: &str = "CutState";
/// Width of a cut line. Common practice, no source.
const WIDTH_PT: f64 = 0.25;

/// Which steps any page has, in a fixed order.
pub fn steps(cuts: Cuts<'_>) -> BTreeSet<Step> {
    cuts.iter().flatten().map(|c| c.step).collect()
}

/// The operations that draw a page's cuts, in millimetres, over all else.
pub fn operations(lines: &[CutLine]) -> Vec<Op> {
    let name = |name: &str| DictItem::Name(name.into());
    let mut ops = Vec::new();
    let steps: BTreeSet<Step> = lines.iter().map(|c| c.step).collect();
    for step in steps {
        ops.push(other("BDC", vec![name("OC"), name(step.layer())]));
        ops.push(Op::SaveGraphicsState);
        ops.push(Op::LoadGraphicsState { gs: ExtendedGraphicsStateId(STATE.to_owned()) });
        ops.push(Op::SetColorSpaceStroke { id: step.name().into() });
        ops.push(other("SCN", vec![DictItem::Int(1)]));
        ops.push(Op::SetOutlineThickness { pt: Pt(pt_to_mm(WIDTH_PT) as f32) });
        for line in lines.iter().filter(|l| l.step == step) {
            ops.push(polygon(&line.path, Unit::PAGE, FillRule::NonZero, PaintMode::Stroke));
        }
        ops.push(Op::RestoreGraphicsState);
        ops.push(other("EMC", Vec::new()));
    }
    ops
}

/// Adds what the pages name: layers, spot colours and a graphics state. Returns the layers for the
/// catalogue (ISO 32000-1, 8.11.4), where there are any.
///
/// # Errors
/// Those of the file.
pub fn add(
    file: &mut PdfFile<'_>,
    resources: &mut Dictionary,
    cuts: Cuts<'_>,
    inks: Inks<'_>,
) -> io::Result<Option<Dictionary>> {
    let steps = steps(cuts);
    if steps.is_empty() {
        return Ok(None);
    }
    let mut layers = Dictionary::new();
    let mut groups = Vec::new();
    for step in &steps {
        let group = Object::from(file.add_object(layer(*step, inks))?);
        layers.set(step.layer(), group.clone());
        groups.push(group);
        within(resources, "ColorSpace", step.name(), spot(*step, inks));
    }
    resources.set("Properties", layers);
    let state = Dictionary::from_iter([
        ("OP", Object::Boolean(true)),
        ("op", Object::Boolean(true)),
        ("OPM", Object::Integer(1)),
    ]);
    within(resources, "ExtGState", STATE, Object::Dictionary(state));
    Ok(Some(listed(groups, inks)))
}

/// The list of the layers.
fn listed(groups: Vec<Object>, inks: Inks<'_>) -> Dictionary {
    let mut shown = Dictionary::from_iter([
        ("Name", Object::string_literal("Cuts")),
        ("BaseState", Object::from("ON")),
        ("Order", Object::Array(groups.clone())),
    ]);
    if inks.press().is_none() {
        shown.set("AS", Object::Array(vec![Object::Dictionary(on_printing(&groups))]));
    }
    Dictionary::from_iter([("OCGs", Object::Array(groups)), ("D", Object::Dictionary(shown))])
}

/// An entry of a dictionary in the resources, which may be there already.
fn within(resources: &mut Dictionary, of: &str, name: &str, entry: Object) {
    if let Ok(dictionary) = resources.get_mut(of.as_bytes()).and_then(Object::as_dict_mut) {
        dictionary.set(name, entry);
    } else {
        resources.set(of, Dictionary::from_iter([(name, entry)]));
    }
}

/// Whoever prints leaves these layers out (ISO 32000-1, 8.11.4.4, table 103: a usage application).
/// PDF/X-4 allows none.
fn on_printing(groups: &[Object]) -> Dictionary {
    Dictionary::from_iter([
        ("Event", Object::from("Print")),
        ("OCGs", Object::Array(groups.to_vec())),
        ("Category", Object::Array(vec![Object::from("Print")])),
    ])
}

fn layer(step: Step, inks: Inks<'_>) -> Dictionary {
    let metadata = Dictionary::from_iter([
        ("GTS_ProcStepsGroup", Object::from("Structural")),
        ("GTS_ProcStepsType", Object::from(step.name())),
    ]);
    let mut layer = Dictionary::from_iter([
        ("Type", Object::from("OCG")),
        ("Name", Object::string_literal(step.name())),
        ("GTS_Metadata", Object::Dictionary(metadata)),
    ]);
    if inks.press().is_none() {
        // ISO 32000-1, 8.11.4.4, table 102: never printed.
        let print = Dictionary::from_iter([("PrintState", Object::from("OFF"))]);
        let usage = Dictionary::from_iter([("Print", Object::Dictionary(print))]);
        layer.set("Usage", Object::Dictionary(usage));
    }
    layer
}

/// A spot colour (ISO 32000-1, 8.6.6.4) that screens show as [`Step::colour`].
fn spot(step: Step, inks: Inks<'_>) -> Object {
    let (none, full) = match inks.press().is_some() {
        true => (vec![0.0; 4], step.inks().to_vec()),
        false => {
            let Rgb(r, g, b) = step.colour();
            (vec![1.0; 3], [r, g, b].map(|byte| f64::from(byte) / 255.0).to_vec())
        }
    };
    // To four decimals: a byte comes back whether a reader rounds or cuts off.
    let short = |value: f64| (value * 1e4).round() / 1e4;
    let numbers = |values: &[f64]| {
        Object::Array(values.iter().map(|v| Object::Real(short(*v) as f32)).collect())
    };
    let tint = Dictionary::from_iter([
        ("FunctionType", Object::Integer(2)),
        ("Domain", numbers(&[0.0, 1.0])),
        ("C0", numbers(&none)),
        ("C1", numbers(&full)),
        ("N", Object::Integer(1)),
    ]);
    let names = ["Separation", step.name(), inks.space()].map(Object::from);
    Object::Array(names.into_iter().chain([Object::Dictionary(tint)]).collect())
}
