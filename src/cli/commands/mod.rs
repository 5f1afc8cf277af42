//! One file a command; each returns the exit code.

pub mod board;
pub mod buyers;
pub mod capture;
pub mod check;
pub mod compare;
pub mod coverage;
pub mod export;
pub mod labels;
pub mod learn;
pub mod lookalikes;
pub mod make;
pub mod manual;
mod measured;
pub mod new;
pub mod page;
mod photograph;
pub mod plan;
pub mod proof;
mod releases;
pub mod shapes;
pub mod stage;
pub mod supplies;
pub mod target;
pub mod template;
pub mod tune;
pub mod watch;
