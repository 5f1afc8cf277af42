//! What the project says of itself: modules, assets, the demo, the reference.

mod architecture;
mod assets;
mod circles;
mod demo;
mod documented;
mod reference;
