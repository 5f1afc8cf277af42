//! Runs that the machine or a person ends: faults of the disk, signals; runs side by side.

#[path = "../small/mod.rs"]
mod small;

mod interrupted;
mod machine_faults;
mod sessions;
mod stopped;
