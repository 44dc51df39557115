//! The build as a link: short enough for a message and for a code a phone camera reads.
//!
//! A link's fragment is `t4.` and then base64url text without padding. `t` is ours, `4` the
//! version of what follows, and the bytes are: length of the body (2, big-endian), the body, and
//! the CRC-32 (4, big-endian) of version, length and body. Each version's body has its own frozen
//! decoder, so a link once sent opens forever; only the newest is written. What a person typed
//! (`entered`) and the log of readings stay behind; every number comes back bit for bit.

mod bits;
mod known;
mod number;
mod shape;
mod text;
mod v1;
mod v2;
mod v3;
mod v4;
mod walk;

use crate::build::{Build, VERSION};
use crate::json::{self, OpenError, SaveError};
use crate::limits;
use crate::migrate::MigrateError;
use data_encoding::BASE64URL_NOPAD;

/// What every link of the current version begins with, after the `#`.
pub const MARK: &str = "t4.";

/// The newest version of links, which is the one written.
const NEWEST: u8 = 4;

/// Why a link did not open, or could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LinkError {
    /// No build in the text.
    #[error("there is no build in this link; copy it whole, from its start to its very end")]
    NotALink,
    /// Longer than any build's; not decoded.
    #[error(
        "the link has {chars} characters, a build's has at most {limit}; use the build's file instead"
    )]
    TooLong {
        /// Its length.
        chars: usize,
        /// The longest that is decoded.
        limit: usize,
    },
    /// From a newer program.
    #[error(
        "the link is of version {found}, this program knows up to {newest}; reload the page or update the program to open it"
    )]
    FutureVersion {
        /// Version of the link.
        found: u64,
        /// Newest version known here.
        newest: u32,
    },
    /// A character no link has.
    #[error(
        "the link has {found:?} at character {at} of its code, which no link has; copy it again from where it was sent"
    )]
    Character {
        /// The character.
        found: char,
        /// Where in the code, from 1.
        at: usize,
    },
    /// The end is missing.
    #[error(
        "the link is cut short: {got} of {wanted} bytes arrived; copy it again to its very end, or have it sent another way"
    )]
    Truncated {
        /// Bytes that arrived.
        got: usize,
        /// Bytes it says it has.
        wanted: usize,
    },
    /// Something was added behind the end.
    #[error(
        "something was added behind the link's end ({extra} bytes too many); take away what does not belong to it"
    )]
    Trailing {
        /// Bytes too many.
        extra: usize,
    },
    /// The checksum disagrees.
    #[error(
        "the link was damaged on its way: its checksum disagrees; copy it again from where it was sent"
    )]
    Checksum,
    /// The checksum agrees, but no program of ours wrote this.
    #[error("the link is not one this program makes ({what}); ask for the build's file instead")]
    Malformed {
        /// What it holds that it cannot.
        what: &'static str,
    },
    /// The link is sound, the build in it is not.
    #[error("the build in the link does not open: {0}")]
    Build(
        /// Why.
        #[from]
        OpenError,
    ),
    /// The build holds a number that cannot be written.
    #[error("no link was made: {0}")]
    Save(
        /// Why.
        #[from]
        SaveError,
    ),
    /// The build holds something links do not carry.
    #[error("a link cannot carry {what} of this build; share it as a file")]
    NotCarried {
        /// What that is.
        what: String,
    },
}

/// The link's fragment for a build, without the `#`: `t4.…`.
///
/// # Errors
/// [`LinkError::Save`] when a number is not finite, [`LinkError::TooLong`] past
/// [`limits::LINK_CHARS`], [`LinkError::NotCarried`] when a list or text is longer than a
/// build's may be.
pub fn encode(build: &Build) -> Result<String, LinkError> {
    let body = v4::encode(json::to_fields(build)?)?;
    let code = frame(NEWEST, &body).ok_or(LinkError::TooLong {
        chars: body.len().saturating_mul(4) / 3,
        limit: limits::LINK_CHARS,
    })?;
    if code.len() > limits::LINK_CHARS {
        return Err(LinkError::TooLong { chars: code.len(), limit: limits::LINK_CHARS });
    }
    Ok(code)
}

/// The build in a link: a whole address, a `#…` fragment, or the bare code. Spaces and line
/// breaks that a message put in are passed over.
///
/// # Errors
/// Every way a link can be spoiled has its own [`LinkError`]; a link that opens is the link that
/// was made.
pub fn decode(text: &str) -> Result<Build, LinkError> {
    // A generous allowance for the address in front; the code itself is measured below.
    let chars = text.len();
    if chars > limits::LINK_CHARS + 4096 {
        return Err(LinkError::TooLong { chars, limit: limits::LINK_CHARS });
    }
    let (version, code) = split(text)?;
    if code.len() > limits::LINK_CHARS {
        return Err(LinkError::TooLong { chars: code.len(), limit: limits::LINK_CHARS });
    }
    if version == 0 {
        return Err(LinkError::NotALink);
    }
    let fields = match version {
        1 => v1::decode(unframe(1, &code)?.as_slice())?,
        2 => v2::decode(unframe(2, &code)?.as_slice())?,
        3 => v3::decode(unframe(3, &code)?.as_slice())?,
        4 => v4::decode(unframe(4, &code)?.as_slice())?,
        _ => return Err(LinkError::FutureVersion { found: version, newest: NEWEST.into() }),
    };
    // A link holds a document of its own version.
    let build = json::from_fields(fields, version).map_err(|error| match error {
        OpenError::Version(MigrateError::Future { found, .. }) => {
            LinkError::FutureVersion { found, newest: VERSION }
        }
        other => LinkError::Build(other),
    })?;
    let problems = build.validate();
    if problems.is_empty() {
        Ok(build)
    } else {
        Err(LinkError::Build(OpenError::Problems(problems)))
    }
}

/// Version and code of the link in a text.
fn split(text: &str) -> Result<(u64, String), LinkError> {
    let fragment = match text.rfind('#') {
        Some(at) => text.get(at + 1..).unwrap_or(""),
        None => match text.rfind("%23") {
            Some(at) => text.get(at + 3..).unwrap_or(""),
            None => text,
        },
    };
    let fragment: String = fragment.split_whitespace().collect();
    let (head, code) = fragment.split_once('.').ok_or(LinkError::NotALink)?;
    let digits = head.strip_prefix('t').ok_or(LinkError::NotALink)?;
    let plain = (1..=6).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    match digits.parse::<u64>() {
        Ok(version) if plain && !digits.starts_with('0') => Ok((version, code.to_owned())),
        _ => Err(LinkError::NotALink),
    }
}

/// Wraps a body: version, length, body, checksum. None when the body is too long to say so.
fn frame(version: u8, body: &[u8]) -> Option<String> {
    let length = u16::try_from(body.len()).ok()?.to_be_bytes();
    let mut bytes = Vec::with_capacity(body.len() + 6);
    bytes.extend_from_slice(&length);
    bytes.extend_from_slice(body);
    let sum = checksum(version, &bytes);
    bytes.extend_from_slice(&sum.to_be_bytes());
    Some(format!("t{version}.{}", BASE64URL_NOPAD.encode(&bytes)))
}

/// The body out of its wrapping.
fn unframe(version: u8, code: &str) -> Result<Vec<u8>, LinkError> {
    let of_links = |c: &char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    if let Some((at, found)) = code.chars().enumerate().find(|(_, c)| !of_links(c)) {
        return Err(LinkError::Character { found, at: at + 1 });
    }
    let cut_short = |got: usize| LinkError::Truncated { got, wanted: got + 1 };
    // A length no whole number of bytes has, or bits over: an end is missing.
    let Ok(mut bytes) = BASE64URL_NOPAD.decode(code.as_bytes()) else {
        let Some((got, wanted)) = lengths(code) else { return Err(cut_short(code.len() * 3 / 4)) };
        return Err(match got.cmp(&wanted) {
            std::cmp::Ordering::Less => LinkError::Truncated { got, wanted },
            std::cmp::Ordering::Equal => LinkError::Checksum,
            std::cmp::Ordering::Greater => LinkError::Trailing { extra: got - wanted },
        });
    };
    let wanted = match bytes.as_slice() {
        [high, low, ..] => usize::from(u16::from_be_bytes([*high, *low])) + 6,
        _ => return Err(cut_short(bytes.len())),
    };
    if bytes.len() < wanted {
        return Err(LinkError::Truncated { got: bytes.len(), wanted });
    }
    if bytes.len() > wanted {
        return Err(LinkError::Trailing { extra: bytes.len() - wanted });
    }
    let sum = bytes.split_off(wanted - 4);
    if checksum(version, &bytes).to_be_bytes() != *sum {
        return Err(LinkError::Checksum);
    }
    Ok(bytes.split_off(2))
}

/// Bytes that arrived and bytes there should be, of a code that is no whole number of bytes.
fn lengths(code: &str) -> Option<(usize, usize)> {
    let head = BASE64URL_NOPAD.decode(code.get(..4)?.as_bytes()).ok()?;
    match head.as_slice() {
        [high, low, ..] => {
            Some((code.len() * 3 / 4, usize::from(u16::from_be_bytes([*high, *low])) + 6))
        }
        _ => None,
    }
}

fn checksum(version: u8, bytes: &[u8]) -> u32 {
    let mut sum = crc32fast::Hasher::new();
    sum.update(&[version]);
    sum.update(bytes);
    sum.finalize()
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::measure::{Instrument, Known};
    use fitment::truck::{
        Axle, End, Layout, LayoutKind, Shape, Side, Steering, Thing, ThingKind, Truck, Watts,
    };

    #[test]
    fn the_example_comes_back_from_every_form_of_its_link() {
        let build = Build::example();
        let code = encode(&build).unwrap();
        let half = code.len() / 2;
        let forms = [
            code.clone(),
            format!("#{code}"),
            format!("https://example.org/tapewright/#{code}"),
            format!("https://example.org/tapewright/%23{code}"),
            format!("  #{}\r\n {}\n", &code[..half], &code[half..]),
        ];
        for form in forms {
            assert_eq!(decode(&form).as_ref(), Ok(&build), "{form}");
        }
    }

    #[test]
    fn links_are_short() {
        // Budgets: a typical build 300 characters, a new one a code the smallest phone reads.
        let length = |build: &Build| encode(build).unwrap().len();
        assert!(length(&Build::example()) <= 300, "{}", length(&Build::example()));
        for front in LayoutKind::ALL {
            assert!(length(&Build::blank(front)) <= 24, "{front:?}");
            for rear in LayoutKind::ALL {
                let truck = Truck::typical(front, Some(rear));
                let whole = Build { truck, ..Build::blank(front) };
                assert!(length(&whole) <= 32, "{front:?} {rear:?}");
            }
        }
    }

    /// What a link knows as typical is told in a few bits, whichever it is.
    #[test]
    fn usual_choices_are_short() {
        let typical = |kind| Thing::new(kind, End::Front);
        let blank = |change: &dyn Fn(&mut Axle)| {
            let mut build = Build::blank(LayoutKind::ThreeLink);
            change(build.truck.front.as_mut().unwrap());
            encode(&build).unwrap().len()
        };
        let plain = blank(&|_| {});
        let table: [(&str, usize, usize); 6] = [
            ("right-hand drive", blank(&|a| a.steering = Some(Steering::typical(Side::Right))), 2),
            (
                "Watts linkage",
                blank(&|a| {
                    a.panhard = None;
                    a.watts = Some(Watts::typical(End::Front));
                }),
                2,
            ),
            ("no steering linkage", blank(&|a| a.steering = None), 2),
            (
                "a right-hand link of its own, a mirror image",
                blank(&|a| {
                    if let Layout::ThreeLink { lower_left, lower_right, .. } = &mut a.layout {
                        let mut right = lower_left.clone();
                        right.axle.y_mm.value *= -1.0;
                        right.chassis.y_mm.value *= -1.0;
                        *lower_right = Some(right);
                    }
                }),
                2,
            ),
            (
                "a thing of every kind, none measured",
                blank(&|a| a.surroundings.things = ThingKind::ALL.map(typical).to_vec()),
                13,
            ),
            (
                "a body mount by three readings of the tape",
                blank(&|a| {
                    let mut mount = typical(ThingKind::BodyMount);
                    if let Shape::Box { front_mm, outer_mm, bottom_mm, .. } = &mut mount.shape {
                        for (known, read) in
                            [(front_mm, -465.0), (outer_mm, 548.0), (bottom_mm, 72.0)]
                        {
                            *known = Known::measured(read, Instrument::Tape);
                        }
                    }
                    a.surroundings.things = vec![mount];
                }),
                12,
            ),
        ];
        for (name, length, more) in table {
            assert!(length <= plain + more, "{name}: {length}, plain {plain}");
        }
    }

    #[test]
    fn what_was_typed_stays_behind_and_nothing_else() {
        let mut build = Build::example();
        build.truck.wheelbase_mm.entered = Some("102 3/8".into());
        build.truck.wheelbase_mm.value = 102.375 * 25.4;
        let back = decode(&encode(&build).unwrap()).unwrap();
        build.truck.wheelbase_mm.entered = None;
        assert_eq!(back, build);
    }

    #[test]
    fn each_way_to_spoil_a_link_has_its_name() {
        let code = encode(&Build::example()).unwrap();
        let damaged = code.replacen("t4.A", "t4.B", 1);
        let table: [(&str, String); 12] = [
            ("no build", String::new()),
            ("no build", "https://example.org/".into()),
            ("no build", "#section-2".into()),
            ("no build", "t.AAAA".into()),
            ("no build", "t0.AAAA".into()),
            ("cut short", "t4.".into()),
            ("cut short", code[..code.len() - 1].to_owned()),
            ("cut short", code[..20].to_owned()),
            ("added behind", format!("{code}AAAA")),
            ("version 5", code.replacen("t4", "t5", 1)),
            ("no link has", format!("{code})")),
            ("characters, a build's has", format!("t4.{}", "A".repeat(50_000))),
        ];
        for (words, text) in table {
            let error = decode(&text).unwrap_err().to_string();
            assert!(error.contains(words), "{text}: {error}");
        }
        assert!(matches!(decode(&damaged), Err(LinkError::Truncated { .. } | LinkError::Checksum)));
    }

    #[test]
    fn a_sound_wrapping_around_nonsense_is_malformed() {
        for body in [&[][..], &[0xff; 40], &[0; 40], b"\x55\xaa\x55\xaa"] {
            for version in 1..=NEWEST {
                let code = frame(version, body).unwrap();
                assert!(matches!(decode(&code), Err(LinkError::Malformed { .. })), "{body:?}");
            }
        }
    }

    #[test]
    fn a_body_is_tied_to_its_version() {
        let body = unframe(NEWEST, encode(&Build::example()).unwrap().strip_prefix(MARK).unwrap());
        let other = frame(1, &body.unwrap()).unwrap();
        let code = other.strip_prefix("t1.").unwrap();
        assert_eq!(unframe(2, code), Err(LinkError::Checksum));
    }

    #[test]
    fn a_number_that_is_none_makes_no_link() {
        let mut build = Build::example();
        build.truck.wheelbase_mm.value = f64::NAN;
        let path = "truck.wheelbase_mm.value".to_owned();
        assert_eq!(encode(&build), Err(LinkError::Save(SaveError::NotFinite { path })));
    }
}
