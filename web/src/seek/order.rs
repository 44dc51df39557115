//! What is asked of the search.

use super::FIELD;
use buildfile::{Build, Units, json};
use fitment::calibrate::Log;
use fitment::truck::End;

/// One question: the best plans for an axle of a build, and what speaks against the one it has.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Units of the words that come back.
    pub units: Units,
    /// Which axle.
    pub end: End,
    /// Whether to rest with what there is.
    pub stop: bool,
    /// The build.
    pub build: Build,
}

/// As a text.
///
/// # Errors
/// In words, when the build holds a number that is none.
pub fn write(units: Units, end: End, stop: bool, build: &Build) -> Result<String, String> {
    let flag = |on: bool| if on { '1' } else { '0' };
    let [inch, rear, stop] = [units == Units::Inch, end == End::Rear, stop].map(flag);
    // What was read of it may hang on the other axle too.
    let json =
        if build.log.reads(end) { json::to_json(build) } else { json::to_json(&alone(build, end)) };
    let json = json.map_err(|why| why.to_string())?;
    Ok(format!("{inch}{rear}{stop}{FIELD}{json}"))
}

/// A build of one axle alone, and without what was read of it.
pub(super) fn alone(build: &Build, end: End) -> Build {
    let mut build = build.clone();
    build.log = Log::default();
    match end {
        End::Front => build.truck.rear = None,
        End::Rear => build.truck.front = None,
    }
    build
}

impl Order {
    /// From a text.
    ///
    /// # Errors
    /// In words, when it is no order.
    pub fn read(text: &str) -> Result<Self, String> {
        let (flags, json) = text.split_once(FIELD).ok_or("not an order")?;
        let on = |at: usize| flags.as_bytes().get(at) == Some(&b'1');
        let build = json::read_json(json).map_err(|why| why.to_string())?;
        Ok(Self {
            units: if on(0) { Units::Inch } else { Units::Metric },
            end: if on(1) { End::Rear } else { End::Front },
            stop: on(2),
            build,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_comes_back_as_it_was() {
        let build = Build::example();
        for (units, end, stop) in
            [(Units::Metric, End::Front, false), (Units::Inch, End::Rear, true)]
        {
            let text = write(units, end, stop, &build).unwrap();
            let want = Order { units, end, stop, build: alone(&build, end) };
            assert_eq!(Order::read(&text), Ok(want));
        }
        assert!(Order::read("").is_err() && Order::read("000\u{1f}{}").is_err());
    }
}
