//! Small random changes to inputs, repeatable from a seed.

/// Longest input worth trying.
const LONGEST: usize = 1 << 17;

/// Makes new inputs from old ones.
pub struct Mutator<'a> {
    state: u64,
    words: &'a [&'a str],
}

impl<'a> Mutator<'a> {
    pub const fn new(seed: u64, words: &'a [&'a str]) -> Self {
        Self { state: seed, words }
    }

    /// An input of the corpus with one to eight changes.
    pub fn next(&mut self, corpus: &[Vec<u8>]) -> Vec<u8> {
        let mut input = corpus.get(self.below(corpus.len())).cloned().unwrap_or_default();
        for _ in 0..=self.below(8) {
            self.change(&mut input, corpus);
        }
        input.truncate(LONGEST);
        input
    }

    fn change(&mut self, input: &mut Vec<u8>, corpus: &[Vec<u8>]) {
        let at = self.below(input.len() + 1);
        let to = (at + self.below(16)).min(input.len());
        match self.below(8) {
            0 => {
                let bit = self.below(8);
                if let Some(byte) = input.get_mut(at) {
                    *byte ^= 1 << bit;
                }
            }
            1 => {
                let byte = self.byte();
                input.insert(at, byte);
            }
            2 => drop(input.drain(at..to)),
            3 => {
                let piece = input.get(at..to).unwrap_or_default().to_vec();
                input.splice(at..at, piece);
            }
            4 => {
                // A digit for another: values change while the form holds.
                let digits: Vec<usize> = (0..input.len())
                    .filter(|i| input.get(*i).is_some_and(u8::is_ascii_digit))
                    .collect();
                let digit = b'0' + u8::try_from(self.below(10)).unwrap_or(0);
                if let Some(byte) =
                    digits.get(self.below(digits.len())).and_then(|at| input.get_mut(*at))
                {
                    *byte = digit;
                }
            }
            5 => {
                let other = corpus.get(self.below(corpus.len())).cloned().unwrap_or_default();
                let from = self.below(other.len() + 1);
                let until = (from + self.below(64)).min(other.len());
                let piece = other.get(from..until).unwrap_or_default().to_vec();
                input.splice(at..to, piece);
            }
            6 => self.number(input),
            _ => {
                let word = self.words.get(self.below(self.words.len())).copied().unwrap_or("");
                input.splice(at..to, word.bytes());
            }
        }
    }

    /// Puts a word in place of a whole number, where there is one.
    fn number(&mut self, input: &mut Vec<u8>) {
        let part = |byte: &u8| byte.is_ascii_digit() || matches!(byte, b'.' | b'-');
        let from = self.below(input.len() + 1);
        let Some(start) = (from..input.len()).find(|i| input.get(*i).is_some_and(part)) else {
            return;
        };
        let end =
            (start..input.len()).find(|i| !input.get(*i).is_some_and(part)).unwrap_or(input.len());
        let word = self.words.get(self.below(self.words.len())).copied().unwrap_or("");
        input.splice(start..end, word.bytes());
    }

    /// A number below `most`, 0 when that is 0.
    fn below(&mut self, most: usize) -> usize {
        if most == 0 { 0 } else { usize::try_from(self.random() % most as u64).unwrap_or(0) }
    }

    fn byte(&mut self) -> u8 {
        self.random().to_le_bytes()[0]
    }

    /// SplitMix64 (Steele, Lea and Flood 2014, doi:10.1145/2660193.2660195).
    const fn random(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
}
