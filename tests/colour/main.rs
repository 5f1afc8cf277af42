//! Colours: published values, orders, look-alikes, papers and print values.

#[path = "../colour_sets/mod.rs"]
mod colour_sets;
#[path = "../positions/mod.rs"]
mod positions;
#[path = "../printers/mod.rs"]
mod printers;

mod correction;
mod lookalikes;
mod on_paper;
mod order;
mod papers;
mod published;
mod rounds;
mod tuned_values;
