//! What a tire may carry and how fast: load index, speed symbol, load range.

/// A load index, within the range light-truck tires use: 60 to 150.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct LoadIndex(u8);

/// Loads in kg of the indices 60, 61, … 150.
///
/// Source: UN Regulation 54, annex 4 (list of symbols of load-capacity indices). The even indices
/// are the R40 preferred numbers of ISO 3, and every one lies within 1.8 % of the law
/// 45·10^(index/80) kg the list is rounded from. Those up to 130 were compared with tire makers'
/// charts; of the higher ones 131, 133, 134, 136–139, 141–144 and 146–149 are values from memory.
const LOAD_KG: [u16; 91] = [
    250, 257, 265, 272, 280, 290, 300, 307, 315, 325, // 60
    335, 345, 355, 365, 375, 387, 400, 412, 425, 437, // 70
    450, 462, 475, 487, 500, 515, 530, 545, 560, 580, // 80
    600, 615, 630, 650, 670, 690, 710, 730, 750, 775, // 90
    800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030, // 100
    1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, // 110
    1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800, 1850, // 120
    1900, 1950, 2000, 2060, 2120, 2180, 2240, 2300, 2360, 2430, // 130
    2500, 2575, 2650, 2725, 2800, 2900, 3000, 3075, 3150, 3250, // 140
    3350, // 150
];

impl LoadIndex {
    /// The lowest index held.
    pub const MIN: u8 = 60;
    /// The highest index held.
    pub const MAX: u8 = 150;

    /// An index between [`MIN`](Self::MIN) and [`MAX`](Self::MAX); `None` outside.
    pub const fn new(index: u8) -> Option<Self> {
        if Self::MIN <= index && index <= Self::MAX { Some(Self(index)) } else { None }
    }

    /// The number on the sidewall.
    pub const fn index(self) -> u8 {
        self.0
    }

    /// The load one tire may carry at its reference pressure and speed, kg.
    ///
    /// ```
    /// assert_eq!(fitment::tire::LoadIndex::new(120).map(|index| index.load_kg()), Some(1400.0));
    /// ```
    pub fn load_kg(self) -> f64 {
        // Every index the constructor lets through has its row.
        LOAD_KG.get(usize::from(self.0 - Self::MIN)).copied().map_or(0.0, f64::from)
    }
}

/// A speed symbol: the letter after the load index.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SpeedSymbol(char);

impl SpeedSymbol {
    /// Every symbol with its speed in km/h. Source: UN Regulations 30 and 54, table of speed-category
    /// symbols, compared with tire makers' charts.
    pub const ALL: [(char, u16); 21] = [
        ('B', 50),
        ('C', 60),
        ('D', 65),
        ('E', 70),
        ('F', 80),
        ('G', 90),
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
    ];

    /// The symbol of a letter, either case; `None` for a letter that is none.
    pub fn new(letter: char) -> Option<Self> {
        let letter = letter.to_ascii_uppercase();
        Self::ALL.iter().any(|&(known, _)| known == letter).then_some(Self(letter))
    }

    /// The letter, upper case.
    pub const fn letter(self) -> char {
        self.0
    }

    /// The speed, km/h.
    pub fn kmh(self) -> u16 {
        Self::ALL.iter().find(|&&(known, _)| known == self.0).map_or(0, |&(_, kmh)| kmh)
    }
}

/// A load range letter, A to N: an old name for a strength class. It does not fix the pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct LoadRange(char);

impl LoadRange {
    /// Letters with their ply ratings (letters A, B, C, D, E, F, G; value from memory).
    pub const ALL: [(char, u8); 7] =
        [('A', 2), ('B', 4), ('C', 6), ('D', 8), ('E', 10), ('F', 12), ('G', 14)];

    /// The range of a letter, either case; `None` for a letter that is none.
    pub fn new(letter: char) -> Option<Self> {
        let letter = letter.to_ascii_uppercase();
        Self::ALL.iter().any(|&(known, _)| known == letter).then_some(Self(letter))
    }

    /// The range of a ply rating; `None` for a rating that is none.
    pub fn of_ply_rating(rating: u8) -> Option<Self> {
        Self::ALL.iter().find(|&&(_, known)| known == rating).map(|&(letter, _)| Self(letter))
    }

    /// The letter, upper case.
    pub const fn letter(self) -> char {
        self.0
    }

    /// The ply rating: a strength class, not a count of plies.
    pub fn ply_rating(self) -> u8 {
        Self::ALL.iter().find(|&&(known, _)| known == self.0).map_or(0, |&(_, rating)| rating)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_range_is_closed_and_rising() {
        assert_eq!(LoadIndex::new(59), None);
        assert_eq!(LoadIndex::new(151), None);
        let loads: Vec<f64> =
            (60..=150).map(|index| LoadIndex::new(index).unwrap().load_kg()).collect();
        assert!(loads.is_sorted_by(|a, b| a < b), "{loads:?}");
    }

    #[test]
    fn letters_in_either_case() {
        assert_eq!(SpeedSymbol::new('q').map(SpeedSymbol::kmh), Some(160));
        assert_eq!(SpeedSymbol::new('I'), None);
        assert_eq!(LoadRange::new('e').map(LoadRange::ply_rating), Some(10));
        assert_eq!(LoadRange::of_ply_rating(8).map(LoadRange::letter), Some('D'));
        assert_eq!(LoadRange::new('Z'), None);
    }
}
