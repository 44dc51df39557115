//! What is asked of the search.

use super::FIELD;
use buildfile::{Build, Units, json};
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
    let json = json::to_json(build).map_err(|why| why.to_string())?;
    Ok(format!("{inch}{rear}{stop}{FIELD}{json}"))
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
            let want = Order { units, end, stop, build: build.clone() };
            assert_eq!(Order::read(&text), Ok(want));
        }
        assert!(Order::read("").is_err() && Order::read("000\u{1f}{}").is_err());
    }
}
