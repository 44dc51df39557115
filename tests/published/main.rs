//! The engine against published numbers, one file per topic, each check naming its source.
//!
//! A source marked `value from memory` was not at hand when the check was written; a fact of the
//! trade is marked `common practice, no source`.

mod caster_trail;
mod checks;
mod clearance;
mod gum;
mod iso_8855_signs;
mod linkage;
mod load_index;
mod panhard;
mod rubber;
mod simple_axle;
mod steering;
mod tire_dimensions;
mod trade_facts;
mod uncertainty;
mod wheel_offset;

/// Fails with both numbers unless `got` lies within `tolerance` of `want`.
#[track_caller]
fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{what}: got {got}, want {want} ± {tolerance}");
}
