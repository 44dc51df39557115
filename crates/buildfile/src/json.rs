//! The build as JSON: what is saved to a file and read by scripts.
//!
//! A document is one object with `format`, `version` and the fields of [`Build`]. Absent values
//! and empty lists are left out. Reading is strict: an unknown field is named, not ignored, so
//! that a typing mistake never passes for a value left out.

use crate::build::{Build, VERSION};
use crate::limits;
use crate::migrate::{Fields, MigrateError, STEPS, migrate};
use crate::node::Document;
use crate::pretty;
use crate::read::{Misfit, read};
use fitment::truck::Problem;
use serde_json::Value;

/// What `format` says in every build document.
pub const FORMAT: &str = "tapewright-build";

/// Why a document did not open.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OpenError {
    /// Too long to be a build; not parsed.
    #[error("the file has {bytes} bytes, a build has at most {limit}; pick the build's own file")]
    TooLong {
        /// Its length.
        bytes: usize,
        /// The longest that is parsed.
        limit: usize,
    },
    /// Not UTF-8 text.
    #[error("the file is not text at byte {at}; pick the JSON file that was exported")]
    NotText {
        /// First byte that is not UTF-8.
        at: usize,
    },
    /// Not JSON.
    #[error(
        "line {line}, column {column} is not JSON: {what}; mend that line or export the build again"
    )]
    Syntax {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What the parser met.
        what: String,
    },
    /// Brackets nested deeper than any build.
    #[error(
        "brackets are nested more than {limit} deep, which no build is; pick the build's own file"
    )]
    TooDeep {
        /// The deepest that is parsed.
        limit: usize,
    },
    /// JSON, but not a build.
    #[error(
        "this is not a build: `format` is {found}, it must be \"tapewright-build\"; pick a file this program exported"
    )]
    NotABuild {
        /// What `format` says.
        found: String,
    },
    /// A version that cannot be brought up to date.
    #[error(transparent)]
    Version(#[from] MigrateError),
    /// A field is missing, unknown or of the wrong kind.
    #[error("{path}: {what}; {remedy}")]
    Field {
        /// Dotted path of the field.
        path: String,
        /// What is wrong with it.
        what: String,
        /// What would mend it.
        remedy: String,
    },
    /// It reads, but some values cannot be right.
    #[error("{}", problems_in_words(.0))]
    Problems(
        /// All of them, in the order of the fields.
        Vec<Problem>,
    ),
}

/// Why a build could not be written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SaveError {
    /// A number that is not finite.
    #[error("{path} is not a finite number; give it a plain number and save again")]
    NotFinite {
        /// Dotted path of the field.
        path: String,
    },
    /// The writer failed.
    #[error("the build could not be written as JSON: {0}; undo the last change and save again")]
    Writer(
        /// What the writer says.
        String,
    ),
}

/// Opens a build whose every value makes sense.
///
/// # Errors
/// As [`read_json`], and [`OpenError::Problems`] when [`Build::validate`] finds any.
pub fn from_json(text: impl AsRef<[u8]>) -> Result<Build, OpenError> {
    let build = read_json(text)?;
    let problems = build.validate();
    if problems.is_empty() { Ok(build) } else { Err(OpenError::Problems(problems)) }
}

/// Reads a build whatever its values, for listing everything that is wrong with it.
///
/// # Errors
/// Longer than [`limits::JSON_BYTES`]; not UTF-8; not JSON; deeper than [`limits::JSON_DEPTH`];
/// not a build; of a future version; a field missing, unknown, of the wrong kind or too long.
pub fn read_json(text: impl AsRef<[u8]>) -> Result<Build, OpenError> {
    let bytes = text.as_ref();
    if bytes.len() > limits::JSON_BYTES {
        return Err(OpenError::TooLong { bytes: bytes.len(), limit: limits::JSON_BYTES });
    }
    let text = std::str::from_utf8(bytes)
        .map_err(|error| OpenError::NotText { at: error.valid_up_to() })?;
    if depth(text) > limits::JSON_DEPTH {
        return Err(OpenError::TooDeep { limit: limits::JSON_DEPTH });
    }
    let value: Value = serde_json::from_str(text).map_err(|error| OpenError::Syntax {
        line: error.line(),
        column: error.column(),
        what: without_place(&error.to_string()),
    })?;
    within_limits(&value, &mut String::new())?;
    let Value::Object(mut fields) = value else {
        return Err(OpenError::NotABuild { found: "missing".into() });
    };
    match fields.remove("format") {
        Some(Value::String(format)) if format == FORMAT => {}
        Some(other) => return Err(OpenError::NotABuild { found: pretty::words(&other) }),
        None => return Err(OpenError::NotABuild { found: "missing".into() }),
    }
    let version = fields.remove("version");
    let version = version.as_ref().and_then(Value::as_u64).ok_or_else(|| OpenError::Field {
        path: "version".into(),
        what: version.map_or_else(
            || "missing".into(),
            |other| format!("{} is no version", pretty::words(&other)),
        ),
        remedy: format!("write \"version\": {VERSION}"),
    })?;
    from_fields(fields, version)
}

/// Writes a build as JSON for people: indented, fields always in the same order.
///
/// # Errors
/// [`SaveError::NotFinite`] names the first number that JSON cannot hold.
pub fn to_json(build: &Build) -> Result<String, SaveError> {
    Ok(written(build)?.0)
}

/// Reads a small record of one's own kept beside builds, with the same parser.
///
/// # Errors
/// In words: not JSON.
pub fn read_record(text: &str) -> Result<Value, String> {
    serde_json::from_str(text).map_err(|error| error.to_string())
}

/// Writes what [`read_record`] reads.
pub fn write_record(record: &Value) -> String {
    pretty::words(record)
}

/// The JSON Schema of the document.
#[cfg(feature = "schema")]
pub fn schema() -> Value {
    schemars::schema_for!(Document).to_value()
}

/// The document's fields, for the link codec. Links do not carry the log of readings.
pub(crate) fn to_fields(build: &Build) -> Result<Fields, SaveError> {
    let mut fields = written(build)?.1;
    fields.remove("format");
    fields.remove("version");
    fields.remove("log");
    Ok(fields)
}

/// The document as text and as the values in it. The values are read back from the text, so that
/// a build is written by one writer only.
fn written(build: &Build) -> Result<(String, Fields), SaveError> {
    let mut text = pretty::write(&Document::of(build.clone()));
    text.push('\n');
    let value: Value =
        serde_json::from_str(&text).map_err(|error| SaveError::Writer(error.to_string()))?;
    if let Some(path) = first_null(&value) {
        return Err(SaveError::NotFinite { path });
    }
    match value {
        Value::Object(fields) => Ok((text, fields)),
        _ => Err(SaveError::Writer("not an object".to_owned())),
    }
}

/// A build from a document's fields of any version.
pub(crate) fn from_fields(fields: Fields, version: u64) -> Result<Build, OpenError> {
    let mut fields = migrate(fields, version, VERSION, STEPS)?;
    fields.insert("format".into(), FORMAT.into());
    fields.insert("version".into(), VERSION.into());
    let mut document = Document::blank();
    read(&mut document, &Value::Object(fields)).map_err(|Misfit { path, what }| {
        OpenError::Field { path, remedy: remedy(&what).into(), what }
    })?;
    Ok(document.into())
}

/// Deepest nesting of brackets outside text.
fn depth(text: &str) -> usize {
    let (mut now, mut deepest, mut in_text, mut escaped) = (0_usize, 0_usize, false, false);
    for byte in text.bytes() {
        match (in_text, byte) {
            (true, _) if escaped => escaped = false,
            (true, b'\\') => escaped = true,
            (_, b'"') => in_text = !in_text,
            (false, b'[' | b'{') => {
                now += 1;
                deepest = deepest.max(now);
            }
            (false, b']' | b'}') => now = now.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}

/// The parser's words without "at line 3 column 7", which we say ourselves.
fn without_place(words: &str) -> String {
    words.split(" at line ").next().unwrap_or(words).to_owned()
}

/// Lists and texts no longer than a build's.
fn within_limits(value: &Value, path: &mut String) -> Result<(), OpenError> {
    let too_long = |path: &str, what: String, limit: usize| {
        Err(OpenError::Field { path: path.to_owned(), what, remedy: format!("keep it to {limit}") })
    };
    match value {
        Value::String(text) => {
            let limit = if path == "note" { limits::NOTE } else { limits::TEXT };
            let length = text.chars().count();
            if length > limit {
                return too_long(path, format!("{length} characters of text"), limit);
            }
        }
        Value::Array(items) => {
            if items.len() > limits::LIST {
                return too_long(path, format!("a list of {}", items.len()), limits::LIST);
            }
            for (index, item) in items.iter().enumerate() {
                let length = path.len();
                path.extend(["[", &index.to_string(), "]"]);
                within_limits(item, path)?;
                path.truncate(length);
            }
        }
        Value::Object(fields) => {
            for (key, field) in fields {
                let length = path.len();
                if length > 0 {
                    path.push('.');
                }
                path.extend(key.chars().take(limits::TEXT));
                within_limits(field, path)?;
                path.truncate(length);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
    Ok(())
}

/// Where the first `null` is. A build has none of its own; a number that is not finite becomes one.
fn first_null(value: &Value) -> Option<String> {
    match value {
        Value::Null => Some(String::new()),
        Value::Array(items) => items.iter().enumerate().find_map(|(index, item)| {
            first_null(item).map(|rest| join(&format!("[{index}]"), &rest))
        }),
        Value::Object(fields) => {
            fields.iter().find_map(|(key, field)| first_null(field).map(|rest| join(key, &rest)))
        }
        Value::Bool(_) | Value::Number(_) | Value::String(_) => None,
    }
}

fn join(head: &str, rest: &str) -> String {
    match rest.chars().next() {
        None => head.to_owned(),
        Some('[') => format!("{head}{rest}"),
        Some(_) => format!("{head}.{rest}"),
    }
}

/// What would mend a field the parser refused.
fn remedy(what: &str) -> &'static str {
    if what.starts_with("unknown field") {
        "correct the spelling or take the field out"
    } else if what.starts_with("unknown variant") {
        "use one of the words it offers"
    } else if what.starts_with("missing field") {
        "add the field"
    } else {
        "put what is expected there"
    }
}

fn problems_in_words(problems: &[Problem]) -> String {
    let lines: Vec<String> = problems
        .iter()
        .map(|problem| format!("{}: {} — {}", problem.path, problem.found, problem.remedy))
        .collect();
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::calibrate::{Kind, Log, Member, Set, Standing, Taken, Trust};
    use fitment::measure::{Instrument, Known, Origin};
    use fitment::truck::{End, Side, State};

    fn example() -> String {
        to_json(&Build::example()).unwrap()
    }

    #[test]
    fn the_example_comes_back() {
        assert_eq!(from_json(example()), Ok(Build::example()));
        let mut build = Build::example();
        build.note = "Spring saddles welded in May.".into();
        build.truck.wheelbase_mm.entered = Some("102 3/8\"".into());
        assert_eq!(from_json(to_json(&build).unwrap()), Ok(build));
    }

    /// A build with a log of two sets that use all there is.
    fn logged() -> Build {
        let mut again = Taken::once(Kind::Turned { side: Side::Left, steer_deg: -20.0 }, 1.4);
        again.with = Some(Instrument::PhoneLevel);
        again.trust = Trust::Confirmed;
        let mut bar = Taken::once(Kind::Length(Member::Panhard), 880.0);
        bar.read.push(881.5);
        bar.entered = vec!["88 cm".into(), String::new()];
        bar.end = End::Rear;
        let before = Set {
            name: "before".into(),
            date: "2026-05-02".into(),
            standing: Standing {
                rake_deg: Some(Known::measured(0.5, Instrument::PhoneLevel)),
                ..Standing::default()
            },
            note: "cold".into(),
            ..Set::of(State::Sitting, vec![bar, again])
        };
        let out = Taken { trust: Trust::LeftOut, ..Taken::once(Kind::Frame, -0.25) };
        let mut build = Build::example();
        build.log.sets = vec![before, Set::of(State::Planned, vec![out])];
        build
    }

    #[test]
    fn the_log_of_readings_comes_back_and_links_leave_it_behind() {
        let build = logged();
        let text = to_json(&build).unwrap();
        assert_eq!(from_json(&text), Ok(build.clone()));
        let what = "\"what\": \"turned left -20\"";
        assert!(text.contains(what), "{text}");
        // The same readings as a log of their own.
        let log = serde_json::to_string(&build.log).unwrap();
        assert_eq!(serde_json::from_str::<Log>(&log).unwrap(), build.log);
        for (from, to, path, words) in [
            (what, "\"what\": \"turned left\"", "log[0].readings[1].what", "called `turned left`"),
            ("881.5", "NaN", "", "not JSON"),
            ("\"read\"", "\"reads\"", "log[0].readings[0].reads", "unknown field"),
        ] {
            let error = from_json(text.replacen(from, to, 1)).unwrap_err().to_string();
            assert!(error.contains(path) && error.contains(words), "{error}");
        }
        let far = from_json(text.replacen("881.5", "881000.5", 1)).unwrap_err().to_string();
        assert!(far.contains("log[0].readings[0].read[1]"), "{far}");
        let link = crate::link::encode(&build).unwrap();
        assert_eq!(link, crate::link::encode(&Build::example()).unwrap());
    }

    #[test]
    fn it_reads_from_the_top_and_leaves_out_what_is_not_there() {
        let text = example();
        assert!(text.starts_with("{\n  \"format\": \"tapewright-build\",\n  \"version\": 4,\n"));
        for absent in ["null", "\"note\"", "\"targets\"", "\"readings\"", "\"log\"", "[]"] {
            assert!(!text.contains(absent), "{absent}");
        }
    }

    #[test]
    fn a_bare_number_is_taken_as_given() {
        let read = |text: &str| serde_json::from_str::<Known>(text).map_err(|e| e.to_string());
        assert_eq!(read("2600"), Ok(Known::exact(2600.0)));
        assert_eq!(read("-2.5"), Ok(Known::exact(-2.5)));
        assert_eq!(
            read(r#"{"value": 3, "origin": {"measured": "phone_level"}}"#),
            Ok(Known::measured(3.0, Instrument::PhoneLevel))
        );
        assert_eq!(read(r#"{"value": 3, "origin": "assumed"}"#), Ok(Known::assumed(3.0, 0.0)));
        let typed = read(r#"{"value": 3, "sigma": 1, "origin": "published", "entered": "3"}"#);
        assert_eq!(
            typed,
            Ok(Known {
                value: 3.0,
                sigma: 1.0,
                origin: Origin::Published,
                entered: Some("3".into())
            })
        );
        assert!(read("\"3\"").unwrap_err().contains("expected a number"));
        assert!(read("{}").unwrap_err().contains("missing field `value`"));
    }

    #[test]
    fn a_wrong_field_is_named_with_its_path() {
        // (text to replace, replacement, path, words)
        let table = [
            ("\"hub_trail_mm\"", "\"hub_trial_mm\"", "truck.front.kingpin.hub_trial_mm", "unknown"),
            ("\"four_link\"", "\"five_link\"", "truck.rear.layout", "unknown variant"),
            ("\"hole\": ", "\"hole\": -", "truck.front.planned.parts[0].bracket.hole", "-"),
            (
                "\"axis\": \"lateral\"",
                "\"axis\": 7",
                "truck.front.layout.radius_arms.axle_bush.axis",
                "7",
            ),
            (
                "\"shaft\": \"upright\"",
                "\"shaft\": \"sideways\"",
                "truck.front.steering.pitman.shaft",
                "unknown variant",
            ),
            ("\"joins\"", "\"join\"", "truck.front.steering.drag_link.join", "unknown"),
            ("\"version\": 4,", "", "version", "missing"),
            ("\"version\": 4,", "\"version\": \"two\",", "version", "no version"),
        ];
        for (from, to, expected, words) in table {
            match from_json(example().replacen(from, to, 1)) {
                Err(OpenError::Field { path, what, .. }) => {
                    assert_eq!(path, expected, "{from}");
                    assert!(what.contains(words), "{from}: {what}");
                }
                other => panic!("{from} -> {to}: {other:?}"),
            }
        }
    }

    #[test]
    fn what_is_no_build_says_so() {
        let long = format!("{{\"note\": \"{}\"}}", "x".repeat(5000));
        let list = format!("{{\"a\": [{}0]}}", "0,".repeat(80));
        let deep = "[".repeat(30) + &"]".repeat(30);
        let table: [(&[u8], &str); 12] = [
            (b"", "line 1, column 0 is not JSON"),
            (b"{", "is not JSON"),
            (b"\xff\xfe{}", "not text at byte 0"),
            (b"{\"a\": NaN}", "is not JSON"),
            (b"{\"a\": 1e999}", "number out of range"),
            (b"[]", "not a build"),
            (b"{\"format\": \"other\"}", "\"other\""),
            (b"{\"format\": \"tapewright-build\", \"version\": 5}", "version 5"),
            (b"{\"format\": \"tapewright-build\", \"version\": 0}", "never existed"),
            (long.as_bytes(), "note: 5000 characters"),
            (list.as_bytes(), "a: a list of 81"),
            (deep.as_bytes(), "nested more than"),
        ];
        for (bytes, words) in table {
            let error = from_json(bytes).unwrap_err().to_string();
            assert!(error.contains(words), "{words:?} not in {error:?}");
        }
    }

    #[test]
    fn brackets_inside_text_do_not_nest() {
        assert_eq!(depth(r#"{"a": "[[[{\"[", "b": [[1]]}"#), 3);
    }

    #[test]
    fn a_file_is_refused_by_its_length_alone() {
        let bytes = vec![b' '; limits::JSON_BYTES + 1];
        let limit = limits::JSON_BYTES;
        assert_eq!(from_json(&bytes), Err(OpenError::TooLong { bytes: limit + 1, limit }));
    }

    #[test]
    fn a_number_json_cannot_hold_is_not_written() {
        let mut build = Build::example();
        if let Some(front) = &mut build.truck.front {
            front.pinion.y_mm.sigma = f64::INFINITY;
        }
        let path = "truck.front.pinion.y_mm.sigma".to_owned();
        assert_eq!(to_json(&build), Err(SaveError::NotFinite { path }));
    }

    proptest::proptest! {
        /// Found by fuzzing: a parser that is off by the last bit of some numbers.
        #[test]
        fn every_number_comes_back_to_the_bit(bits in proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL) {
            let text = serde_json::to_string(&Known::published(bits, 1.0)).unwrap();
            let back: Known = serde_json::from_str(&text).unwrap();
            proptest::prop_assert_eq!(back.value.to_bits(), bits.to_bits());
        }
    }
}
