//! What the fuzzers call: one function per door that takes input from outside.
//!
//! Each must return for every input; a panic is a finding. Each checks what must hold of whatever
//! opens, and returns a short word for the way it went, which steers the mutations. The bounded
//! run in `fuzzing/` and the coverage-guided one in `fuzz/` share these.

use crate::samples::{everything, four_links, leaves, weekend, without_typed, wrap_as};
use buildfile::{Build, LinkError, card, json, link};
use fitment::axle::{AxleModel, Output, answer, attitude, solve_ride};
use fitment::clearance::{Options, fit};
use fitment::measure::{LengthUnit, System, parse_angle, parse_length, parse_number};
use fitment::tire::Designation;
use fitment::truck::{End, LayoutKind, State, Truck};
use serde_json::{Number, Value};

/// Text as a link, and the same bytes as the body of one of each version whose checksum is right.
pub fn link_decoder(data: &[u8]) -> String {
    let text = String::from_utf8_lossy(data);
    let outside = match link::decode(&text) {
        Ok(build) => opened(&build),
        Err(error) => variant(&error),
    };
    let inside = [1, 2].map(|version| match link::decode(&wrap_as(version, data)) {
        Ok(build) => opened(&build),
        Err(error) => variant(&error),
    });
    format!("{outside} {}", inside.join(" "))
}

/// Text as a card's link, and the same text under a checksum that is right.
///
/// # Panics
/// When a link that opens does not come back as itself, which would be a finding.
pub fn card_link(data: &[u8]) -> String {
    let text = String::from_utf8_lossy(data);
    let sealed =
        |rest: &str| format!("{}{:08x}.{rest}", card::MARK, crc32fast::hash(rest.as_bytes()));
    let ways = [text.to_string(), sealed(&text)].map(|text| match card::decode(&text) {
        Err(error) => variant(&error),
        Ok((found, given)) => {
            let (again, same) = card::decode(&card::encode(found, &given))
                .unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!(again.slug == found.slug && same == given, "{text}");
            let words = given.iter().map(|(key, words)| (*key, words.as_str()));
            let answered = found.entries(words, System::Metric).and_then(|e| found.answer(&e));
            match answered {
                Ok(answered) => format!("{} {}", found.slug, answered.lines.len()),
                Err(error) => variant(&error),
            }
        }
    });
    ways.join(" ")
}

/// Bytes as a JSON document.
pub fn json_document(data: &[u8]) -> String {
    match json::from_json(data) {
        Ok(build) => opened(&build),
        Err(error) => variant(&error),
    }
}

/// Text as a measurement of each kind and as a tire size.
///
/// # Panics
/// When a number that reads is not finite.
pub fn measurement(data: &[u8]) -> String {
    let text = String::from_utf8_lossy(data);
    let mut way = String::new();
    for unit in [LengthUnit::Millimetre, LengthUnit::Inch] {
        match parse_length(&text, unit) {
            Ok(reading) => {
                assert!(reading.value_mm.is_finite(), "{text:?} reads as {}", reading.value_mm);
                way.push('l');
            }
            Err(error) => way.push_str(&variant(&error.kind)),
        }
    }
    for (letter, parsed) in [('a', parse_angle(&text)), ('n', parse_number(&text))] {
        match parsed {
            Ok(number) => {
                assert!(number.is_finite(), "{text:?} reads as {number}");
                way.push(letter);
            }
            Err(error) => way.push_str(&variant(&error.kind)),
        }
    }
    match text.parse::<Designation>() {
        Ok(_) => way.push('t'),
        Err(error) => way.push_str(&variant(&error.kind)),
    }
    way
}

/// Bytes as changes to a build's numbers, whose axles are then solved in every state. The first
/// byte picks the build; in its upper half it also asks how sure each output is and clears the
/// tires, which is slow. Every three bytes more pick a number and what becomes of it.
///
/// # Panics
/// When an output is not finite.
pub fn engine(data: &[u8]) -> String {
    let Some((pick, changes)) = data.split_first() else { return "empty".into() };
    let Some(build) = changed_build(*pick, changes) else { return "closed".into() };
    if !build.validate().is_empty() {
        return "closed".into();
    }
    let mut way = String::new();
    for end in [End::Front, End::Rear] {
        if build.truck.axle(end).is_none() {
            continue;
        }
        for state in State::ALL {
            way.push_str(&stand(&build.truck, end, state));
        }
        if *pick >= 128 {
            way.push_str(&surely(&build.truck, end));
        }
    }
    way
}

/// The axle's pose and outputs in one state.
fn stand(truck: &Truck, end: End, state: State) -> String {
    let model = match AxleModel::of(truck, end, state) {
        Ok(model) => model,
        Err(error) => return variants(&error),
    };
    match solve_ride(&model) {
        Ok(pose) => {
            let outputs = attitude(&model, &pose, 0.1);
            let found = Output::ALL.into_iter().filter_map(|output| outputs.get(output));
            let found: Vec<f64> = found.collect();
            assert!(found.iter().all(|value| value.is_finite()), "{end:?} {state:?} {found:?}");
            format!("{:x}", found.len())
        }
        Err(error) => variants(&error),
    }
}

/// How sure the planned outputs are, and what the planned tires clear.
fn surely(truck: &Truck, end: End) -> String {
    let mut way = match answer(truck, end, State::Planned) {
        Ok(answer) => {
            for spread in Output::ALL.into_iter().filter_map(|output| answer.spread(output)) {
                assert!(spread.sigma.is_finite(), "{end:?} {spread:?}");
            }
            "s".into()
        }
        Err(error) => variants(&error),
    };
    let coarse = Options { steers: 3, travels: 3, crossed: vec![0.0, 1.0], ..Options::default() };
    match fit(truck, end, State::Planned, &coarse) {
        Ok(found) => {
            let finite = found.contacts.iter().all(|it| it.clearance_mm.is_finite());
            assert!(finite, "{end:?} {:?}", found.contacts);
            way.push(if found.unreachable_rows > 0 { 'u' } else { 'c' });
        }
        Err(error) => way.push_str(&variants(&error)),
    }
    way
}

/// How many builds there are to pick: the samples, and every layout at least once at either end.
pub const BUILDS: u8 = 30;

/// What may become of a number.
const FATES: [fn(f64) -> f64; 16] = [
    |x| x + 1.0,
    |x| x - 1.0,
    |x| x + 10.0,
    |x| x - 10.0,
    |x| x + 50.0,
    |x| x - 50.0,
    |x| x + 200.0,
    |x| x - 200.0,
    |x| x * 1.1,
    |x| x * 0.9,
    |x| x * 0.5,
    |x| x * 2.0,
    |x| -x,
    |_| 0.0,
    |x| x + 1e-9,
    |x| x * 1e-6,
];

fn changed_build(pick: u8, changes: &[u8]) -> Option<Build> {
    let kinds = LayoutKind::ALL;
    let kind = |at: usize| kinds.get(at % kinds.len()).copied();
    let build = match usize::from(pick % BUILDS) {
        0 => Build::example(),
        1 => everything(),
        2 => leaves(),
        3 => four_links(),
        4 => weekend(),
        at => {
            let truck = Truck::typical(kind(at)?, kind(at / kinds.len()));
            Build { truck, ..Build::example() }
        }
    };
    let mut value: Value = serde_json::from_str(&json::to_json(&build).ok()?).ok()?;
    let truck = value.get_mut("truck")?;
    let count = numbers(truck, &mut |_, _| ());
    for change in changes.chunks_exact(3).take(5) {
        let [high, low, fate] = change else { continue };
        let wanted = usize::from(u16::from_be_bytes([*high, *low])) % count.max(1);
        let fate = FATES.get(usize::from(fate % 16))?;
        numbers(truck, &mut |at, number| {
            if at == wanted
                && let Some(new) = number.as_f64().map(fate).and_then(Number::from_f64)
            {
                *number = new;
            }
        });
    }
    json::read_json(value.to_string()).ok()
}

/// Visits every number with a fraction but the uncertainties, counting them.
fn numbers(value: &mut Value, visit: &mut impl FnMut(usize, &mut Number)) -> usize {
    fn walk(value: &mut Value, at: &mut usize, visit: &mut impl FnMut(usize, &mut Number)) {
        match value {
            Value::Number(number) if number.is_f64() => {
                visit(*at, number);
                *at += 1;
            }
            Value::Array(items) => items.iter_mut().for_each(|item| walk(item, at, visit)),
            Value::Object(fields) => fields
                .iter_mut()
                .filter(|(key, _)| *key != "sigma")
                .for_each(|(_, field)| walk(field, at, visit)),
            _ => {}
        }
    }
    let mut count = 0;
    walk(value, &mut count, visit);
    count
}

/// What must hold of every build that opens: it opens again from either form, to the bit.
fn opened(build: &Build) -> String {
    assert_eq!(build.validate(), []);
    let text = json::to_json(build).expect("a build that opened can be written");
    let again = json::from_json(&text).expect("what was written opens");
    assert_eq!(json::to_json(&again).as_deref(), Ok(text.as_str()));
    let bare = without_typed(build).expect("a build without typed text is a build");
    let code = match link::encode(build) {
        Ok(code) => code,
        // Sound, but more than a link holds.
        Err(LinkError::TooLong { .. } | LinkError::NotCarried { .. }) => return "long".into(),
        Err(error) => panic!("a build that opened makes a link: {error}"),
    };
    let back = link::decode(&code).expect("the link opens");
    assert_eq!(json::to_json(&back), json::to_json(&bare));
    "open".into()
}

/// The name of an error's variant.
fn variant(error: &impl std::fmt::Debug) -> String {
    format!("{error:?}").chars().take_while(|c| c.is_alphanumeric()).collect()
}

/// The names of an error's variant and of the one inside it.
fn variants(error: &impl std::fmt::Debug) -> String {
    let text = format!("{error:?}");
    text.split(|c: char| !c.is_alphanumeric()).take(2).collect::<Vec<_>>().join("/")
}
