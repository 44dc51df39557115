//! Bits in and out, and the variable-length code for whole numbers. Frozen: links of every
//! version are read by it.
//!
//! Version 1 lays bits side by side. Later ones weigh each by how often it came before in its
//! [`Place`], so that a bit which is nearly always the same costs nearly nothing (a binary range
//! coder, as first described by G. N. N. Martin, 1979, with the estimate of Krichevsky and
//! Trofimov, 1981, for the odds).

use super::walk::Bad;

/// Where in a document a bit stands: bits of one place are weighed together.
#[derive(Debug, Clone, Copy)]
pub(super) enum Place {
    /// Told bit by bit, each as likely as not.
    Even,
    /// A number is as in the base; after so many of the last two that were.
    SameNumber(u8),
    /// Anything else is as in the base.
    SameOther,
    /// A field is there.
    Present,
    /// A field that seldom is there is there; since version 3.
    Seldom,
    /// A field is told against the second of two.
    Second,
    /// A number's origin, uncertainty and value, against the base's.
    Origin,
    Tape,
    Sigma,
    Value,
    /// The form of a number, by how far its code has come.
    Form(u8),
    /// The size of a number's steps, by how far its code has come.
    Steps(u8),
    /// The size of a count, by how far its code has come.
    Count(u8),
    /// A text or part that came before.
    Again,
}

/// Longest code whose steps have places of their own.
const LONGEST: u8 = 15;
const PLACES: usize = 64;

impl Place {
    /// Its number; none for [`Place::Even`].
    fn index(self) -> Option<usize> {
        let at = |first: usize, step: u8| first + usize::from(step.min(LONGEST));
        Some(match self {
            Self::Even => return None,
            Self::SameNumber(of) => at(0, of.min(2)),
            Self::SameOther => 3,
            Self::Present => 4,
            Self::Second => 5,
            Self::Origin => 6,
            Self::Tape => 7,
            Self::Sigma => 8,
            Self::Value => 9,
            Self::Again => 10,
            Self::Seldom => 11,
            Self::Form(step) => at(16, step),
            Self::Steps(step) => at(32, step),
            Self::Count(step) => at(48, step),
        })
    }
}

/// How often each bit came in each place.
#[derive(Debug, Clone)]
pub(super) struct Odds([[u16; 2]; PLACES]);

impl Odds {
    const fn new() -> Self {
        Self([[0; 2]; PLACES])
    }

    /// The share of `range` that a zero in this place is worth; never nothing and never all.
    fn zero(&self, place: Place, range: u32) -> u32 {
        match place.index().and_then(|at| self.0.get(at)) {
            Some(&[zeros, ones]) => {
                let (zeros, ones) = (u32::from(zeros), u32::from(ones));
                (range >> 16) * ((2 * zeros + 1) * 0x1_0000 / (2 * (zeros + ones) + 2))
            }
            None => range >> 1,
        }
    }

    fn saw(&mut self, place: Place, bit: bool) {
        if let Some(seen) = place.index().and_then(|at| self.0.get_mut(at)) {
            let [zeros, ones] = seen;
            *(if bit { &mut *ones } else { &mut *zeros }) += 1;
            // What came long ago weighs less.
            if *zeros + *ones >= MEMORY {
                *zeros = (*zeros).div_ceil(2);
                *ones = (*ones).div_ceil(2);
            }
        }
    }
}

/// How many bits of a place are remembered in full.
const MEMORY: u16 = 32;
/// The range is widened whenever it falls below this.
const NARROW: u32 = 1 << 24;

/// Collects bits as the newest version does.
#[derive(Debug, Clone)]
pub(super) struct Writer {
    bytes: Vec<u8>,
    low: u32,
    range: u32,
    odds: Odds,
}

impl Default for Writer {
    fn default() -> Self {
        Self { bytes: Vec::new(), low: 0, range: u32::MAX, odds: Odds::new() }
    }
}

impl Writer {
    pub(super) fn bit(&mut self, place: Place, bit: bool) {
        let zero = self.odds.zero(place, self.range);
        if bit {
            self.add(zero);
            self.range -= zero;
        } else {
            self.range = zero;
        }
        self.odds.saw(place, bit);
        while self.range < NARROW {
            self.push();
            self.range <<= 8;
        }
    }

    /// The lowest `count` bits of a number, each as likely as not.
    pub(super) fn bits(&mut self, number: u64, count: u32) {
        for at in (0..count).rev() {
            self.bit(Place::Even, number >> at & 1 == 1);
        }
    }

    /// Ones and then a zero, which is left out after `most` ones.
    pub(super) fn ones(&mut self, place: fn(u8) -> Place, ones: u8, most: u8) {
        for step in 0..ones {
            self.bit(place(step), true);
        }
        if ones < most {
            self.bit(place(ones), false);
        }
    }

    /// Exponential-Golomb code of order `k`: short for numbers below 2^k, growing with the
    /// logarithm. `number` must be below 2^62.
    pub(super) fn count(&mut self, place: fn(u8) -> Place, number: u64, k: u32) {
        let shifted = number + (1 << k);
        let length = shifted.ilog2();
        let mut step = 0;
        for _ in k..length {
            self.bit(place(step), false);
            step += 1;
        }
        self.bit(place(step), true);
        self.bits(shifted, length);
    }

    /// Bits so far, to within one.
    pub(super) const fn length(&self) -> usize {
        self.bytes.len() * 8 + self.range.leading_zeros() as usize
    }

    /// All of it, in as few bytes as tell it apart from everything else.
    pub(super) fn finish(mut self) -> Vec<u8> {
        for bytes in 0..=4 {
            // The next number that is all zeros after so many bytes.
            let rest = u32::MAX.checked_shr(8 * bytes).unwrap_or(0);
            let more = self.low.wrapping_neg() & rest;
            if more < self.range {
                self.add(more);
                for _ in 0..bytes {
                    self.push();
                }
                break;
            }
        }
        self.bytes
    }

    fn add(&mut self, more: u32) {
        let (low, carry) = self.low.overflowing_add(more);
        self.low = low;
        if carry {
            for byte in self.bytes.iter_mut().rev() {
                *byte = byte.wrapping_add(1);
                if *byte != 0 {
                    break;
                }
            }
        }
    }

    fn push(&mut self) {
        self.bytes.push(self.low.to_be_bytes()[0]);
        self.low <<= 8;
    }
}

/// Hands bits out again.
#[derive(Debug)]
pub(super) enum Reader<'a> {
    /// Of version 1: bits side by side, most significant first.
    Plain { bytes: &'a [u8], at: usize },
    /// Since version 2: each weighed by what came before in its place.
    Weighed { bytes: &'a [u8], taken: usize, code: u32, range: u32, odds: Box<Odds> },
}

impl<'a> Reader<'a> {
    /// Of version 1.
    pub(super) const fn plain(bytes: &'a [u8]) -> Self {
        Self::Plain { bytes, at: 0 }
    }

    /// Since version 2.
    pub(super) fn weighed(bytes: &'a [u8]) -> Self {
        let byte = |at: usize| bytes.get(at).copied().unwrap_or(0);
        let code = u32::from_be_bytes([byte(0), byte(1), byte(2), byte(3)]);
        Self::Weighed { bytes, taken: 4, code, range: u32::MAX, odds: Box::new(Odds::new()) }
    }

    pub(super) fn bit(&mut self, place: Place) -> Result<bool, Bad> {
        match self {
            Self::Plain { bytes, at } => {
                let byte = bytes.get(*at / 8).ok_or(ENDS)?;
                let bit = byte >> (7 - *at % 8) & 1 == 1;
                *at += 1;
                Ok(bit)
            }
            Self::Weighed { bytes, taken, code, range, odds } => {
                let zero = odds.zero(place, *range);
                let bit = *code >= zero;
                if bit {
                    *code -= zero;
                    *range -= zero;
                } else {
                    *range = zero;
                }
                odds.saw(place, bit);
                while *range < NARROW {
                    // The last four bytes may be zeros that were not written.
                    if *taken >= bytes.len() + 4 {
                        return Err(ENDS);
                    }
                    *code = *code << 8 | u32::from(bytes.get(*taken).copied().unwrap_or(0));
                    *range <<= 8;
                    *taken += 1;
                }
                Ok(bit)
            }
        }
    }

    pub(super) fn bits(&mut self, count: u32) -> Result<u64, Bad> {
        let mut number = 0;
        for _ in 0..count {
            number = number << 1 | u64::from(self.bit(Place::Even)?);
        }
        Ok(number)
    }

    /// How many ones come before a zero, `most` at most; the zero is taken along.
    pub(super) fn ones(&mut self, place: fn(u8) -> Place, most: u8) -> Result<u8, Bad> {
        let mut ones = 0;
        while ones < most && self.bit(place(ones))? {
            ones += 1;
        }
        Ok(ones)
    }

    pub(super) fn count(&mut self, place: fn(u8) -> Place, k: u32) -> Result<u64, Bad> {
        let mut zeros = 0;
        while !self.bit(place(zeros))? {
            zeros += 1;
            if u32::from(zeros) + k > 61 {
                return Err(Bad("a number without end"));
            }
        }
        let length = u32::from(zeros) + k;
        let rest = self.bits(length)?;
        Ok((1 << length | rest) - (1 << k))
    }

    /// Nothing may be left: of version 1 but the zeros that fill the last byte, of later ones but
    /// what tells the end apart.
    pub(super) fn finish(mut self) -> Result<(), Bad> {
        let left = match &self {
            Self::Plain { bytes, at } => bytes.len() * 8 - at,
            Self::Weighed { bytes, taken, .. } if *taken < bytes.len() => return Err(MORE),
            Self::Weighed { .. } => 0,
        };
        if left >= 8 || self.bits(u32::try_from(left).unwrap_or(0))? != 0 {
            return Err(MORE);
        }
        Ok(())
    }
}

const ENDS: Bad = Bad("it ends in the middle");
const MORE: Bad = Bad("more than a build");

/// Bits the code of `number` takes side by side.
pub(super) const fn count_length(number: u64, k: u32) -> u32 {
    let length = 64 - (number + (1 << k)).leading_zeros();
    2 * length - k - 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// What a test writes and reads again.
    #[derive(Debug, Clone)]
    enum Piece {
        Bit(Place, bool),
        Bits(u64, u32),
        Ones(u8, u8),
        Count(u64, u32),
    }

    fn piece() -> impl Strategy<Value = Piece> {
        let place = prop_oneof![
            Just(Place::Even),
            Just(Place::Sigma),
            (0_u8..40).prop_map(Place::Form),
            (0_u8..4).prop_map(Place::SameNumber),
        ];
        prop_oneof![
            4 => (place, proptest::bool::weighted(0.9)).prop_map(|(p, b)| Piece::Bit(p, b)),
            1 => (0_u32..=64, any::<u64>())
                .prop_map(|(n, x)| Piece::Bits(if n == 64 { x } else { x & ((1 << n) - 1) }, n)),
            1 => (0_u8..5).prop_map(|ones| Piece::Ones(ones, 4.max(ones))),
            2 => (0_u32..62, any::<u64>(), 0_u32..6)
                .prop_map(|(n, x, k)| Piece::Count(x & ((1 << n) - 1), k)),
        ]
    }

    fn write(pieces: &[Piece]) -> Vec<u8> {
        let mut writer = Writer::default();
        for piece in pieces {
            match *piece {
                Piece::Bit(place, bit) => writer.bit(place, bit),
                Piece::Bits(number, count) => writer.bits(number, count),
                Piece::Ones(ones, most) => writer.ones(Place::Form, ones, most),
                Piece::Count(number, k) => writer.count(Place::Steps, number, k),
            }
        }
        writer.finish()
    }

    fn read_back(pieces: &[Piece], bytes: &[u8]) -> Result<(), Bad> {
        let mut reader = Reader::weighed(bytes);
        for piece in pieces {
            let same = match *piece {
                Piece::Bit(place, bit) => reader.bit(place)? == bit,
                Piece::Bits(number, count) => reader.bits(count)? == number,
                Piece::Ones(ones, most) => reader.ones(Place::Form, most)? == ones,
                Piece::Count(number, k) => reader.count(Place::Steps, k)? == number,
            };
            assert!(same, "{piece:?}");
        }
        reader.finish()
    }

    proptest! {
        #[test]
        fn what_was_written_is_read(pieces in proptest::collection::vec(piece(), 0..300)) {
            let bytes = write(&pieces);
            prop_assert_eq!(read_back(&pieces, &bytes), Ok(()));
        }

        #[test]
        fn any_bytes_end(bytes in proptest::collection::vec(any::<u8>(), 0..60), places in proptest::collection::vec(0_u8..16, 1..20)) {
            let mut reader = Reader::weighed(&bytes);
            let mut bits = 0_u32;
            for place in places.iter().cycle() {
                if reader.bit(Place::Form(*place)).is_err() || reader.bit(Place::Even).is_err() {
                    break;
                }
                bits += 2;
                prop_assert!(bits < 20_000);
            }
        }
    }

    #[test]
    fn what_is_always_the_same_costs_next_to_nothing() {
        let same = |bit| vec![Piece::Bit(Place::SameOther, bit); 200];
        for bit in [false, true] {
            assert!(write(&same(bit)).len() <= 2, "{}", write(&same(bit)).len());
        }
        let mut writer = Writer::default();
        writer.bits(0x1234_5678_9abc, 48);
        assert!((47..=49).contains(&writer.length()), "{}", writer.length());
        assert_eq!(writer.finish().len(), 6);
    }

    #[test]
    fn what_follows_the_end_or_is_missing_from_it_is_refused() {
        let pieces = vec![Piece::Bits(0x1234_5678_9abc, 48); 3];
        let mut bytes = write(&pieces);
        assert_eq!(read_back(&pieces, &bytes), Ok(()));
        bytes.extend([0; 5]);
        assert!(read_back(&pieces, &bytes).is_err());
        let mut reader = Reader::weighed(&bytes[..6]);
        assert!((0..3).any(|_| reader.bits(48).is_err()));
        // All zeros: a carry out of the last byte, and none written at all.
        assert_eq!(read_back(&[], &write(&[])), Ok(()));
        assert_eq!(write(&[]), [0_u8; 0]);
    }

    /// Version 1, bit by bit by hand: 0b1011_0110, then a count of 5 at order 1 (0b0111).
    #[test]
    fn plain_bits_lie_side_by_side() {
        let mut reader = Reader::plain(&[0b1011_0110, 0b0111_0000]);
        assert_eq!(reader.ones(Place::Form, 4), Ok(1));
        assert_eq!(reader.bit(Place::Sigma), Ok(true));
        assert_eq!(reader.bits(3), Ok(0b101));
        assert_eq!(reader.bits(2), Ok(0b10));
        assert_eq!(reader.count(Place::Count, 1), Ok(5));
        assert_eq!(reader.finish(), Ok(()));
        assert!(Reader::plain(&[0]).count(Place::Count, 0).is_err());
        assert!(Reader::plain(&[0; 32]).count(Place::Count, 0).is_err());
        assert!(Reader::plain(&[0, 0]).finish().is_err());
        assert!(Reader::plain(&[1]).finish().is_err());
        assert!(Reader::plain(&[]).finish().is_ok());
    }
}
