//! Scales of a form from the evidence of the readings (Rasmussen and Williams 2006, chapter 5).

use nalgebra::DVector;

use super::data::Data;
use super::model::{Alike, Model, process, spots, surprise, usual_misfit};
use super::reading::Form;
use super::search::{Dial, Dials, search};

/// Values from which scales are found: more would cost much and tell little.
const ENOUGH: usize = 140;

/// The model with the scales that explain the readings best. Only the process finds noise factors:
/// of a polynomial it cannot be told what is noise and what it leaves out.
pub(crate) fn tune(model: &Model, data: &Data, weights: &[f64]) -> Model {
    let some = some_groups(data.groups.len());
    if some.is_empty() {
        return model.clone();
    }
    let spots = spots(data, &some);
    // Of a polynomial nothing that is shared is searched: one that is prepared serves always.
    let fixed = Alike::of(&spots, model);
    let prepare = |shared: &[Dial]| {
        let model = dialled(model, data, shared, [&[]; 3]);
        let process = fixed.process.as_ref().map(|_| process(&spots, model.lengths));
        let averages = data.averages(&some, &model.factors, weights);
        (Alike { polynomial: fixed.polynomial.clone(), process }, averages)
    };
    let found = search(dials(model, data), prepare, |axis, (alike, averages), own| {
        let model = dialled(model, data, &[], [own; 3]);
        let read = DVector::from_iterator(some.len(), averages.off.iter().map(|off| off[axis]));
        let covariance = model.covariance(axis, alike, &averages.variance);
        averages.within[axis] + surprise(covariance, &read)
    });
    let [a, b, c] = &found.own;
    dialled(model, data, &found.shared, [a, b, c])
}

/// Some groups, spread over all, not in any order of theirs.
fn some_groups(count: usize) -> Vec<usize> {
    (0..count.min(ENOUGH)).map(|i| i * count / count.min(ENOUGH)).collect()
}

fn dials(model: &Model, data: &Data) -> Dials {
    if model.form != Form::Process {
        let own = |axis: usize| {
            let ridge = Dial::new(model.ridge[axis], 1.0, 2.5, (0.1, 10.0));
            let misfit = Dial::new(model.misfit[axis], usual_misfit(model.form), 3.0, (0.02, 30.0));
            if model.form == Form::None { vec![misfit] } else { vec![misfit, ridge] }
        };
        return Dials { shared: Vec::new(), own: [own(0), own(1), own(2)] };
    }
    let mut shared = vec![
        Dial::new(model.lengths[0], 30.0, 1.8, (8.0, 60.0)),
        Dial::new(model.lengths[1], 100.0, 1.6, (40.0, 160.0)),
    ];
    shared.extend(data.telling.iter().map(|k| Dial::new(model.factors[*k], 1.0, 2.0, (0.2, 5.0))));
    let own = |axis: usize| vec![Dial::new(model.amplitude[axis], 2.0, 2.5, (0.1, 20.0))];
    Dials { shared, own: [own(0), own(1), own(2)] }
}

/// The model with scales as found; those that are not given stay.
fn dialled(model: &Model, data: &Data, shared: &[Dial], own: [&[Dial]; 3]) -> Model {
    let mut model = model.clone();
    if let [lab, value, noise @ ..] = shared {
        model.lengths = [lab.value(), value.value()];
        for (kind, dial) in data.telling.iter().zip(noise) {
            model.factors[*kind] = dial.value();
        }
    }
    for (axis, own) in own.iter().enumerate() {
        match own {
            [amplitude] if model.form == Form::Process => model.amplitude[axis] = amplitude.value(),
            [misfit, ridge @ ..] => {
                model.misfit[axis] = misfit.value();
                model.ridge[axis] = ridge.first().map_or(1.0, Dial::value);
            }
            [] => {}
        }
    }
    model
}
