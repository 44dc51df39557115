//! The tire: what its sidewall says, how large it is on a given wheel, and what it may carry.

mod designation;
mod dims;
mod load;
mod profile;
mod size;

pub use designation::{
    Class, Construction, Designation, DesignationError, DesignationErrorKind, Service, Size,
};
pub use dims::{Shoulder, TireDims, TireError, resolve};
pub use load::{LoadIndex, LoadRange, SpeedSymbol};
pub use profile::Profile;
pub use size::{
    ROLLING_SPREAD, growth_limit_mm, loaded_radius, measuring_rim_code, overall_diameter,
    rim_diameter_mm, rolling_circumference, section_on_measuring_rim, section_on_rim,
};
