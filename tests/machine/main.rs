//! Runs that the machine or a person ends: faults of the disk, signals.

#[path = "../small/mod.rs"]
mod small;

mod interrupted;
mod machine_faults;
mod stopped;
