//! Tables and properties of the measurement parser.

use super::*;
use proptest::prelude::*;

fn mm(text: &str) -> f64 {
    match parse_length(text, LengthUnit::Millimetre) {
        Ok(reading) => reading.value_mm,
        Err(error) => panic!("{text:?}: {error}"),
    }
}

fn check(cases: &[(&str, f64)], read: impl Fn(&str) -> f64) {
    for &(text, want) in cases {
        let got = read(text);
        assert_eq!(got.to_bits(), want.to_bits(), "{text:?}: got {got}, want {want}");
    }
}

#[test]
fn lengths_read_to_the_last_bit() {
    check(
        &[
            ("13 1/2\"", 342.9),
            ("13-1/2 in", 342.9),
            ("13½\"", 342.9),
            ("13 ½ in.", 342.9),
            ("13–1⁄2″", 342.9),
            ("3.5in", 88.9),
            ("3,5 IN", 88.9),
            ("1' 3 3/4\"", 400.05),
            ("1'3 3/4\"", 400.05),
            ("1’ 3 3/4”", 400.05),
            ("1'-3 3/4''", 400.05),
            ("1 ft 3 in", 381.0),
            ("1ft3in", 381.0),
            ("1' 3", 381.0),
            ("1' 1/2", 317.5),
            ("2 feet", 609.6),
            ("89", 89.0),
            ("89mm", 89.0),
            ("89.", 89.0),
            ("+89 mm", 89.0),
            ("8.9 cm", 89.0),
            ("8,9 cm", 89.0),
            ("0.5 m", 500.0),
            (".5 m", 500.0),
            ("0,125 m", 125.0),
            ("1234,567", 1234.567),
            ("12,3456", 12.3456),
            ("1 m 20 cm 5 mm", 1205.0),
            ("-89", -89.0),
            ("− 89", -89.0),
            ("\u{a0}89\u{2009}mm\u{202f}", 89.0),
            ("⅛\"", 3.175),
            ("5/4 in", 31.75),
            ("1/2 mm", 0.5),
            ("0", 0.0),
        ],
        mm,
    );
}

#[test]
fn ready_made_fractions_read_as_their_digits() {
    let glyphs =
        "½1/2 ⅓1/3 ⅔2/3 ¼1/4 ¾3/4 ⅕1/5 ⅖2/5 ⅗3/5 ⅘4/5 ⅙1/6 ⅚5/6 ⅐1/7 ⅛1/8 ⅜3/8 ⅝5/8 ⅞7/8 ⅑1/9";
    for pair in glyphs.split(' ') {
        let (glyph, digits) = pair.split_at(3 - usize::from(pair.starts_with(['½', '¼', '¾'])));
        check(&[(&format!("2{glyph}\""), mm(&format!("2 {digits}\"")))], mm);
    }
    check(&[("⅒ m", 100.0)], mm);
}

#[test]
fn a_bare_number_is_in_the_default_unit() {
    let inch = |text| parse_length(text, LengthUnit::Inch).unwrap();
    assert_eq!(inch("13 1/2"), Reading { value_mm: 342.9, unit: LengthUnit::Inch });
    assert_eq!(inch("89 mm").unit, LengthUnit::Millimetre);
    assert_eq!(inch("1' 3").unit, LengthUnit::Inch);
}

#[test]
fn angles_read_to_the_last_bit() {
    check(
        &[
            ("3°30'", 3.5),
            ("3° 30′", 3.5),
            ("3°30", 3.5),
            ("3° 30' 36\"", 3.51),
            ("3° 30' 36", 3.51),
            ("3.5", 3.5),
            ("3,5 deg", 3.5),
            ("-2°", -2.0),
            ("−2 degrees", -2.0),
            ("30'", 0.5),
            ("3 1/2°", 3.5),
            ("0.05 rad", 0.05 * DEG_PER_RAD),
        ],
        |text| parse_angle(text).unwrap_or_else(|error| panic!("{text:?}: {error}")),
    );
}

#[test]
fn numbers_read() {
    check(&[("4.56", 4.56), ("4,56", 4.56), ("-1 1/2", -1.5), ("37/9", 37.0 / 9.0)], |text| {
        parse_number(text).unwrap_or_else(|error| panic!("{text:?}: {error}"))
    });
    assert!(matches!(parse_number("4 mm").unwrap_err().kind, Kind::UnknownUnit { .. }));
}

/// Checks where a length fails and what the message says.
fn check_errors(cases: &[(&str, usize, &str)]) {
    for &(text, column, says) in cases {
        let error = parse_length(text, LengthUnit::Millimetre).expect_err(text);
        assert_eq!(error.column, column, "{text:?}: {error}");
        let byte = text.char_indices().nth(column).map_or(text.len(), |(byte, _)| byte);
        assert_eq!(error.byte, byte, "{text:?}: {error}");
        assert!(error.to_string().contains(says), "{text:?}: {error}, wanted {says}");
    }
}

#[test]
fn errors_point_at_the_character() {
    check_errors(&[
        ("", 0, "nothing is written"),
        (" \u{a0}", 0, "nothing is written"),
        ("13 1/", 5, "after 13 1/ a number is missing: write for example 13 1/2"),
        ("13 1/ in", 6, "after 13 1/ a number is missing"),
        ("13 1/0\"", 5, "divided by zero"),
        ("13 5/4\"", 3, "less than one"),
        ("13 2/2\"", 3, "less than one"),
        ("1/2.5\"", 2, "a fraction cannot follow a decimal"),
        ("3.5 1/2\"", 4, "a fraction cannot follow a decimal"),
        ("1.5/2\"", 0, "a fraction cannot follow a decimal"),
        ("13 1/2", 0, "write 13 1/2\" for inches"),
        ("½ 3", 2, "side by side"),
        ("½ 3 mm", 2, "side by side"),
        ("12 34 mm", 3, "side by side"),
        ("1,234", 1, "write 1.234 or 1234"),
        ("123,456", 3, "write 123.456 or 123456"),
        (
            "1.234,5",
            5,
            "1.234,5 has more than one point or comma: use no thousands mark, write 1234.5",
        ),
        ("1,234,567 mm", 5, "write 1234567"),
        ("1,234.5 mm", 5, "more than one"),
        ("8, cm", 2, "after 8, a number is missing"),
        ("NaN", 0, "NaN is not a number"),
        ("-inf", 1, "after - a number is missing"),
        ("∞", 0, "is not a number"),
        ("1e3", 1, "e is not a unit known here: use mm"),
        ("3 furlongs", 2, "furlongs is not a unit"),
        ("3 in 2 ft", 7, "larger one first"),
        ("3 in 2 cm", 7, "larger one first"),
        ("1' 2'", 4, "larger one first"),
        ("1 m 20", 4, "has no unit"),
        ("1' 3 4", 5, "has no unit"),
        ("1' 3\" 4'", 7, "larger one first"),
        ("3 in #", 5, "# has no meaning here"),
        ("3 мм", 2, "м has no meaning here"),
        ("1'-x", 2, "- has no meaning here"),
        ("3 #", 2, "# has no meaning here"),
        ("１２", 0, "is not a number"),
        ("89 mm -", 6, "- has no meaning here"),
        ("+-3", 1, "after + a number is missing"),
        ("1/2/3\"", 3, "has no meaning"),
    ]);
}

#[test]
fn a_long_text_is_refused_at_the_limit() {
    let error = parse_length(&"1".repeat(65), LengthUnit::Millimetre).unwrap_err();
    assert_eq!((error.byte, error.column), (64, 64));
    assert_eq!(error.kind, Kind::TooLong { limit: 64 });
    assert!(mm(&"9".repeat(64)).is_finite());
}

proptest! {
    #[test]
    fn no_text_panics_and_every_reading_is_finite(
        text in proptest::collection::vec(
            proptest::sample::select("0123456789.,/-+'\"°½⅛−’″ftinmcradeg \u{a0}x#".chars().collect::<Vec<_>>()),
            0..70,
        ).prop_map(String::from_iter)
    ) {
        for unit in [LengthUnit::Millimetre, LengthUnit::Foot] {
            match parse_length(&text, unit) {
                Ok(reading) => prop_assert!(reading.value_mm.is_finite()),
                Err(error) => {
                    prop_assert!(text.is_char_boundary(error.byte));
                    prop_assert_eq!(text[..error.byte].chars().count(), error.column);
                    prop_assert!(!error.to_string().is_empty());
                }
            }
        }
        for read in [parse_angle(&text), parse_number(&text)] {
            prop_assert!(read.map_or(true, f64::is_finite));
        }
    }

    #[test]
    fn any_text_is_survived(text in any::<String>()) {
        let read = parse_length(&text, LengthUnit::Inch);
        prop_assert!(read.map_or(true, |reading| reading.value_mm.is_finite()));
    }

    #[test]
    fn sixteenths_of_an_inch_are_exact(whole in 0_u32..600, sixteenths in 1_u32..16) {
        // In 1/160 mm both sides are whole: 25.4 mm = 4064/160 mm.
        let want = f64::from((whole * 16 + sixteenths) * 254) / 160.0;
        let got = mm(&format!("{whole} {sixteenths}/16\""));
        prop_assert_eq!(got.to_bits(), want.to_bits());
    }

    #[test]
    fn a_sign_only_negates(tenths in 0_u32..100_000) {
        let text = format!("{}.{}", tenths / 10, tenths % 10);
        prop_assert_eq!(mm(&format!("-{text}")).to_bits(), (-mm(&text)).to_bits());
    }
}
