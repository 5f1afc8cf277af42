//! Where things are on a page: the plan, its bounds, and what must hold on any sheet.

#[path = "../exhaustive/mod.rs"]
mod exhaustive;
#[path = "../gallery/mod.rs"]
mod gallery;
#[path = "../large/mod.rs"]
mod large;
#[path = "../positions/mod.rs"]
mod positions;
#[path = "../small/mod.rs"]
mod small;

mod any_sheet;
mod bound;
mod columns;
mod counted_work;
mod extent;
mod focus;
mod golden;
mod large_sheets;
mod legend;
mod names;
mod oracle;
mod pages;
mod printed;
mod properties;
mod raised_type;
mod shape_page;
mod shared_plan;
