//! Colours: published values, orders, look-alikes, papers and print values.

#[path = "../colour_sets/mod.rs"]
mod colour_sets;
#[path = "../positions/mod.rs"]
mod positions;

mod lookalikes;
mod on_paper;
mod order;
mod papers;
mod published;
mod tuned_values;
