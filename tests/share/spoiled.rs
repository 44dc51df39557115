//! Spoiled links and files: each has its own error, and none opens as another build.

use buildfile::{Build, LinkError, OpenError, json, link};
use data_encoding::BASE64URL_NOPAD;
use fitment::truck::Rule;
use tapewright_tests::samples::{everything, unwrap, wrap_as};

const ALPHABET: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

fn codes() -> Vec<(Build, String)> {
    vec![Build::example(), Build::blank(fitment::truck::LayoutKind::FourLink)]
        .into_iter()
        .map(|build| (build.clone(), link::encode(&build).unwrap()))
        .collect()
}

/// It must not open, or open as the very same build.
fn never_another(text: &str, build: &Build) {
    if let Ok(opened) = link::decode(text) {
        assert_eq!(&opened, build, "{text}");
    }
}

#[test]
fn no_wrong_character_opens() {
    for (_, code) in codes() {
        for at in 3..code.len() {
            for other in ALPHABET.chars().filter(|c| !code[at..].starts_with(*c)) {
                let text = format!("{}{other}{}", &code[..at], &code[at + 1..]);
                assert!(link::decode(&text).is_err(), "{other} at {at}");
            }
        }
    }
}

#[test]
fn no_flipped_bit_opens_as_another_build() {
    for (build, code) in codes() {
        for at in 0..code.len() {
            for bit in 0..8 {
                let mut bytes = code.clone().into_bytes();
                bytes[at] ^= 1 << bit;
                never_another(&String::from_utf8_lossy(&bytes), &build);
            }
        }
    }
}

#[test]
fn no_flipped_bit_of_the_body_opens_unnoticed() {
    // Beneath the text: the checksum must see every single bit.
    for (_, code) in codes() {
        let (mark, text) = code.split_at(3);
        let bytes = BASE64URL_NOPAD.decode(text.as_bytes()).unwrap();
        for at in 16..(bytes.len() - 4) * 8 {
            let mut flipped = bytes.clone();
            flipped[at / 8] ^= 1 << (at % 8);
            let text = format!("{mark}{}", BASE64URL_NOPAD.encode(&flipped));
            assert_eq!(link::decode(&text), Err(LinkError::Checksum), "bit {at}");
        }
    }
}

#[test]
fn no_cut_or_swapped_link_opens() {
    for (build, code) in codes() {
        for at in 0..code.len() {
            assert!(link::decode(&code[..at]).is_err(), "first {at}");
            never_another(&code[at..], &build);
            let without = format!("{}{}", &code[..at], &code[at + 1..]);
            assert!(link::decode(&without).is_err(), "without {at}");
            let mut swapped = code.clone().into_bytes();
            if at + 1 < swapped.len() && swapped[at] != swapped[at + 1] {
                swapped.swap(at, at + 1);
                assert!(link::decode(std::str::from_utf8(&swapped).unwrap()).is_err(), "{at}");
            }
        }
    }
}

#[test]
fn each_spoiled_link_has_its_own_error() {
    let code = link::encode(&Build::example()).unwrap();
    let body = unwrap(&code).unwrap();
    let error = |text: &str| link::decode(text).unwrap_err();
    let wanted = body.len() + 6;
    assert!(
        matches!(error(&code[..code.len() - 8]), LinkError::Truncated { wanted: w, .. } if w == wanted)
    );
    assert!(matches!(error(&format!("{code}AAAA")), LinkError::Trailing { extra: 3 }));
    assert_eq!(
        error(&code.replacen("t4.", "t7.", 1)),
        LinkError::FutureVersion { found: 7, newest: 4 }
    );
    assert_eq!(error(&format!("{code}*")), LinkError::Character { found: '*', at: code.len() - 2 });
    assert_eq!(error("https://example.org/tapewright/"), LinkError::NotALink);
    assert!(matches!(error(&"t4.A".repeat(20_000)), LinkError::TooLong { .. }));
    let mut middle = code.clone().into_bytes();
    middle[code.len() / 2] = if middle[code.len() / 2] == b'A' { b'B' } else { b'A' };
    assert_eq!(error(std::str::from_utf8(&middle).unwrap()), LinkError::Checksum);
    for version in [1, 2, 3] {
        let nonsense = wrap_as(version, &[0x5a; 100]);
        assert!(matches!(error(&nonsense), LinkError::Malformed { .. }), "{version}");
    }
    for text in [&code[..40], "t1.", "t2.", "t3.", "t4.", "#", "t5.AAAA"] {
        let words = error(text).to_string();
        assert!(words.contains("; "), "what is wrong; what to do: {words}");
    }
}

/// A sound link around a build that is not: negative lengths, an arm shorter than its drop.
#[test]
fn a_link_to_an_impossible_build_does_not_open() {
    let mut build = everything();
    let front = build.truck.front.as_mut().unwrap();
    front.pinion.length_mm.value = -281.2;
    front.readings.arm_rise_mm.as_mut().unwrap().value = 950.0;
    let code = link::encode(&build).unwrap();
    let Err(LinkError::Build(OpenError::Problems(problems))) = link::decode(&code) else {
        panic!("it opened")
    };
    let found: Vec<_> = problems.iter().map(|p| (p.path.as_str(), p.rule)).collect();
    assert_eq!(
        found,
        [
            ("truck.front.pinion.length_mm", Rule::Range),
            ("truck.front.readings.arm_length_mm", Rule::Agrees),
        ]
    );
}

#[test]
fn fifty_megabytes_are_refused_by_length() {
    let bytes = vec![b'['; 50_000_000];
    let before = std::time::Instant::now();
    let error = json::from_json(&bytes).unwrap_err();
    assert_eq!(error, OpenError::TooLong { bytes: 50_000_000, limit: 1 << 20 });
    // Not parsed: even a slow machine looks at a length at once.
    assert!(before.elapsed().as_millis() < 100, "{:?}", before.elapsed());
}

#[test]
fn each_spoiled_file_has_its_own_error() {
    let text = json::to_json(&Build::example()).unwrap();
    let cut = json::from_json(&text[..text.len() / 2]).unwrap_err();
    assert!(matches!(cut, OpenError::Syntax { .. }), "{cut}");
    let nan = json::from_json(text.replacen("2600.0", "NaN", 1)).unwrap_err();
    assert!(matches!(nan, OpenError::Syntax { .. }), "{nan}");
    let huge = json::from_json(text.replacen("2600.0", "1e400", 1)).unwrap_err();
    assert!(matches!(huge, OpenError::Syntax { .. }), "{huge}");
    let word = json::from_json(text.replacen("2600.0", "\"NaN\"", 1)).unwrap_err();
    let OpenError::Field { path, .. } = word else { panic!("{word}") };
    assert_eq!(path, "truck.wheelbase_mm.value");
    let negative = json::from_json(text.replacen("2600.0", "-2600.0", 1)).unwrap_err();
    let OpenError::Problems(problems) = negative else { panic!("{negative}") };
    assert_eq!(problems.first().map(|p| p.path.as_str()), Some("truck.wheelbase_mm"));
    let deep = format!("{}{}", "[".repeat(10_000), "]".repeat(10_000));
    assert!(matches!(json::from_json(deep).unwrap_err(), OpenError::TooDeep { .. }));
}
