//! Load index and speed symbol against the lists printed by regulation and trade.

use crate::close;
use fitment::measure::units::KG_PER_POUND;
use fitment::tire::{LoadIndex, LoadRange, SpeedSymbol};

fn load_kg(index: u8) -> f64 {
    LoadIndex::new(index).expect("an index of the list").load_kg()
}

/// Source: load-index charts of tire makers and dealers, which repeat UN Regulation 54, annex 4;
/// where charts disagree (61, 62, 83 and 135 are misprinted in some) the regulation's law decides.
#[test]
fn loads_match_the_printed_charts() {
    for (index, kg) in [
        (60, 250),
        (61, 257),
        (62, 265),
        (63, 272),
        (64, 280),
        (65, 290),
        (66, 300),
        (67, 307),
        (68, 315),
        (69, 325),
        (70, 335),
        (71, 345),
        (72, 355),
        (73, 365),
        (74, 375),
        (75, 387),
        (76, 400),
        (77, 412),
        (78, 425),
        (79, 437),
        (80, 450),
        (81, 462),
        (82, 475),
        (83, 487),
        (84, 500),
        (85, 515),
        (86, 530),
        (87, 545),
        (88, 560),
        (89, 580),
        (90, 600),
        (95, 690),
        (100, 800),
        (104, 900),
        (108, 1000),
        (110, 1060),
        (112, 1120),
        (115, 1215),
        (116, 1250),
        (117, 1285),
        (119, 1360),
        (120, 1400),
        (121, 1450),
        (123, 1550),
        (124, 1600),
        (125, 1650),
        (126, 1700),
        (128, 1800),
        (130, 1900),
        (132, 2000),
        (135, 2180),
        (140, 2500),
        (145, 2900),
        (150, 3350),
    ] {
        close(&format!("load index {index}"), load_kg(index), f64::from(kg), 0.0);
    }
}

/// Source: the same charts' pound column, which was rounded on its own.
#[test]
fn loads_in_pounds_match_the_printed_charts() {
    for (index, pounds) in [
        (71, 761),
        (75, 853),
        (83, 1074),
        (91, 1356),
        (98, 1653),
        (100, 1764),
        (108, 2205),
        (110, 2337),
    ] {
        let got = load_kg(index) / KG_PER_POUND;
        close(&format!("load index {index} in lb"), got, f64::from(pounds), 0.6);
    }
}

/// Source: ISO 3:1973 preferred numbers, series R40: every even index is one of them.
#[test]
fn even_indices_are_preferred_numbers() {
    let r40 = [
        100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265,
        280, 300, 315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750,
        800, 850, 900, 950,
    ];
    // 250 kg, the load of index 60, is the series' 17th number.
    let decades = [1, 10].into_iter().flat_map(|decade| r40.map(|number| number * decade));
    for (index, want) in (60..=150).step_by(2).zip(decades.skip(16)) {
        close(&format!("load index {index}"), load_kg(index), f64::from(want), 0.0);
    }
}

/// Source: the law the list is rounded from, 45·10^(index/80) kg; the rounding of ISO 3 stays within
/// 1.8 %, and 80 steps are a factor of ten to the nearest 5 kg.
#[test]
fn loads_follow_their_law() {
    for index in 60..=150 {
        let law = 45.0 * 10_f64.powf(f64::from(index) / 80.0);
        close(&format!("load index {index}"), load_kg(index), law, 0.018 * law);
    }
    for index in 60..=70 {
        close("ten times", load_kg(index + 80), 10.0 * load_kg(index), 5.0);
    }
}

/// Source: UN Regulations 30 and 54, table of speed-category symbols, as tire makers' charts repeat it.
#[test]
fn speeds_match_the_printed_charts() {
    for (letter, kmh) in [
        ('J', 100),
        ('K', 110),
        ('L', 120),
        ('M', 130),
        ('N', 140),
        ('P', 150),
        ('Q', 160),
        ('R', 170),
        ('S', 180),
        ('T', 190),
        ('U', 200),
        ('H', 210),
        ('V', 240),
        ('W', 270),
        ('Y', 300),
    ] {
        assert_eq!(SpeedSymbol::new(letter).map(SpeedSymbol::kmh), Some(kmh), "{letter}");
    }
}

/// Source: usual load-range table (letters and ply ratings; value from memory).
#[test]
fn load_ranges_match_their_ply_ratings() {
    for (letter, plies) in [('B', 4), ('C', 6), ('D', 8), ('E', 10), ('F', 12), ('G', 14)] {
        let range = LoadRange::new(letter).unwrap();
        assert_eq!(range.ply_rating(), plies, "{letter}");
        assert_eq!(LoadRange::of_ply_rating(plies), Some(range));
    }
}
