//! Reads the person's [`Known`] inputs into the scalar of the moment, one by one in a fixed order,
//! so that the same walk can list them, take their plain values or follow one's derivative.

use super::real::Real;
use crate::measure::{Known, Origin};
use std::sync::Arc;

/// One input of an axle, as the walk over them meets it.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Dotted path within the axle, such as `panhard.axle.z_mm`.
    pub path: String,
    /// Best value, in the unit of the path's last name.
    pub value: f64,
    /// One standard deviation, same unit.
    pub sigma: f64,
    /// Where it came from.
    pub origin: Origin,
}

/// The walk over the inputs.
pub(crate) struct Reader {
    /// Index of the input whose derivative is followed.
    follow: Option<usize>,
    /// Inputs met so far.
    met: usize,
    scope: Vec<&'static str>,
    list: Option<Vec<Input>>,
    /// What to read in place of the inputs' own values, in the order of their indices.
    values: Option<Arc<[f64]>>,
}

impl Reader {
    /// Reads plain values.
    pub const fn plain() -> Self {
        Self { follow: None, met: 0, scope: Vec::new(), list: None, values: None }
    }

    /// Follows the derivative by the input of this index.
    pub const fn following(index: usize) -> Self {
        Self { follow: Some(index), met: 0, scope: Vec::new(), list: None, values: None }
    }

    /// Reads plain values and lists every input met.
    pub const fn listing() -> Self {
        Self { follow: None, met: 0, scope: Vec::new(), list: Some(Vec::new()), values: None }
    }

    /// The same walk with other values in place of the inputs' own.
    pub fn with(mut self, values: Option<&Arc<[f64]>>) -> Self {
        self.values = values.cloned();
        self
    }

    /// The inputs listed, in the order of their indices.
    pub fn into_list(self) -> Vec<Input> {
        self.list.unwrap_or_default()
    }

    /// Reads inside a named part of the axle.
    pub fn within<R>(&mut self, name: &'static str, read: impl FnOnce(&mut Self) -> R) -> R {
        self.enter(name);
        let result = read(self);
        self.scope.pop();
        result
    }

    /// Reads one input as it is.
    pub fn read<T: Real>(&mut self, name: &'static str, known: &Known) -> T {
        let (value, follow) = self.meet(name, known);
        T::input(value, follow)
    }

    // Everything is read by these two: once in the page, not once for each of a truck's numbers.
    #[inline(never)]
    fn enter(&mut self, name: &'static str) {
        self.scope.push(name);
    }

    /// Counts and lists an input: its value, and whether it is the one to follow.
    #[inline(never)]
    fn meet(&mut self, name: &'static str, known: &Known) -> (f64, bool) {
        let index = self.met;
        self.met += 1;
        let given = self.values.as_ref().and_then(|values| values.get(index));
        let value = given.copied().unwrap_or(known.value);
        if let Some(list) = &mut self.list {
            let mut path = String::new();
            for part in &self.scope {
                path.push_str(part);
                path.push('.');
            }
            path.push_str(name);
            list.push(Input { path, value, sigma: known.sigma, origin: known.origin.clone() });
        }
        (value, self.follow == Some(index))
    }

    /// Reads one input given in degrees, in radians.
    pub fn read_deg<T: Real>(&mut self, name: &'static str, known: &Known) -> T {
        self.read::<T>(name, known) * (std::f64::consts::PI / 180.0)
    }
}
