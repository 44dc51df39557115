//! Bits in and out, and the variable-length code for whole numbers. Frozen: links of versions 1 and 2 are read by it.

use super::walk::Bad;

/// Collects bits, most significant first.
#[derive(Debug, Clone, Default)]
pub(super) struct Writer {
    bytes: Vec<u8>,
    /// Bits used in the last byte, 0 when it is full or there is none.
    used: u32,
}

impl Writer {
    pub(super) fn bit(&mut self, bit: bool) {
        if self.used == 0 {
            self.bytes.push(0);
        }
        if let Some(last) = self.bytes.last_mut() {
            *last |= u8::from(bit) << (7 - self.used);
        }
        self.used = (self.used + 1) % 8;
    }

    /// The lowest `count` bits of a number.
    pub(super) fn bits(&mut self, number: u64, count: u32) {
        for place in (0..count).rev() {
            self.bit(number >> place & 1 == 1);
        }
    }

    /// Exponential-Golomb code of order `k`: short for numbers below 2^k, growing with the
    /// logarithm. `number` must be below 2^62.
    pub(super) fn count(&mut self, number: u64, k: u32) {
        let shifted = number + (1 << k);
        let length = 64 - shifted.leading_zeros();
        self.bits(0, length - k - 1);
        self.bits(shifted, length);
    }

    /// Bits so far.
    pub(super) const fn length(&self) -> usize {
        match self.used {
            0 => self.bytes.len() * 8,
            used => self.bytes.len() * 8 - 8 + used as usize,
        }
    }

    /// All of it, the last byte filled up with zeros.
    pub(super) fn finish(self) -> Vec<u8> {
        self.bytes
    }
}

/// Hands bits out again.
#[derive(Debug)]
pub(super) struct Reader<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Reader<'a> {
    pub(super) const fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0 }
    }

    pub(super) fn bit(&mut self) -> Result<bool, Bad> {
        let byte = self.bytes.get(self.at / 8).ok_or(Bad("it ends in the middle"))?;
        let bit = byte >> (7 - self.at % 8) & 1 == 1;
        self.at += 1;
        Ok(bit)
    }

    /// How many ones come before a zero, `most` at most; the zero is taken along.
    pub(super) fn ones(&mut self, most: u32) -> Result<u32, Bad> {
        let mut ones = 0;
        while ones < most && self.bit()? {
            ones += 1;
        }
        Ok(ones)
    }

    pub(super) fn bits(&mut self, count: u32) -> Result<u64, Bad> {
        let mut number = 0;
        for _ in 0..count {
            number = number << 1 | u64::from(self.bit()?);
        }
        Ok(number)
    }

    pub(super) fn count(&mut self, k: u32) -> Result<u64, Bad> {
        let mut zeros = 0;
        while !self.bit()? {
            zeros += 1;
            if zeros + k > 61 {
                return Err(Bad("a number without end"));
            }
        }
        let rest = self.bits(zeros + k)?;
        Ok((1 << (zeros + k) | rest) - (1 << k))
    }

    /// Nothing but the filling may be left.
    pub(super) fn finish(mut self) -> Result<(), Bad> {
        if self.bytes.len() * 8 - self.at >= 8 {
            return Err(Bad("more than a build"));
        }
        while self.at < self.bytes.len() * 8 {
            if self.bit()? {
                return Err(Bad("more than a build"));
            }
        }
        Ok(())
    }
}

/// Bits the code of `number` takes.
pub(super) const fn count_length(number: u64, k: u32) -> u32 {
    let length = 64 - (number + (1 << k)).leading_zeros();
    2 * length - k - 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_come_back_at_their_stated_length() {
        for k in [0, 2, 5] {
            for number in [0, 1, 2, 31, 32, 33, 1000, (1 << 55) + 12345] {
                let mut writer = Writer::default();
                writer.count(number, k);
                let length = count_length(number, k);
                writer.bit(true);
                let bytes = writer.finish();
                assert_eq!(bytes.len(), (length as usize + 1).div_ceil(8), "{number} {k}");
                let mut reader = Reader::new(&bytes);
                assert_eq!(reader.count(k), Ok(number));
                assert_eq!(reader.at, length as usize);
                assert_eq!(reader.bit(), Ok(true));
                assert_eq!(reader.finish(), Ok(()));
            }
        }
    }

    #[test]
    fn an_end_in_the_middle_and_a_number_without_end_are_refused() {
        assert!(Reader::new(&[0]).count(0).is_err());
        assert!(Reader::new(&[0; 32]).count(0).is_err());
        assert!(Reader::new(&[0, 0]).finish().is_err());
        assert!(Reader::new(&[]).finish().is_ok());
    }
}
