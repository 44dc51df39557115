//! Parts of pages. Each file is one component: its properties and one function.

pub mod answer_table;
pub mod board;
pub mod builds;
pub mod builds_new;
pub mod builds_versions;
pub mod cautions;
pub mod end_switch;
pub mod findings;
pub mod guide;
pub mod header;
pub mod icon;
pub mod notices;
pub mod number_details;
pub mod number_field;
pub mod origin;
pub mod qr;
pub mod segments;
pub mod severity;
pub mod slider;
pub mod so_far;
pub mod tab_bar;
