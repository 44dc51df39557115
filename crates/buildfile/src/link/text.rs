//! Text in six bits a character. Frozen: links of every version are read by it.

use super::bits::{Place, Reader, Writer};
use super::walk::Bad;

/// Codes from 2 up; 0 announces any character by its number, 1 the capital of the next letter.
const COMMON: &str = "abcdefghijklmnopqrstuvwxyz0123456789 ./,-()'\"+#:&_RLTPABCD\n!?°";
const ANY: u64 = 0;
const CAPITAL: u64 = 1;

pub(super) fn write(writer: &mut Writer, text: &str) {
    writer.count(Place::Count, text.chars().count() as u64, 3);
    for character in text.chars() {
        if let Some(code) = code(character) {
            writer.bits(code, 6);
        } else if let (true, Some(code)) =
            (character.is_ascii_uppercase(), code(character.to_ascii_lowercase()))
        {
            writer.bits(CAPITAL, 6);
            writer.bits(code, 6);
        } else {
            writer.bits(ANY, 6);
            writer.bits(u64::from(u32::from(character)), 21);
        }
    }
}

pub(super) fn read(reader: &mut Reader<'_>, longest: usize) -> Result<String, Bad> {
    let length = reader.count(Place::Count, 3)?;
    if length > longest as u64 {
        return Err(Bad("a text too long"));
    }
    (0..length)
        .map(|_| {
            match reader.bits(6)? {
                ANY => u32::try_from(reader.bits(21)?).ok().and_then(char::from_u32),
                CAPITAL => common(reader.bits(6)?).map(|letter| letter.to_ascii_uppercase()),
                code => common(code),
            }
            .ok_or(Bad("a character that is none"))
        })
        .collect()
}

fn code(character: char) -> Option<u64> {
    COMMON.chars().position(|common| common == character).map(|at| at as u64 + 2)
}

fn common(code: u64) -> Option<char> {
    let at = usize::try_from(code.checked_sub(2)?).ok()?;
    COMMON.chars().nth(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_bits_name_every_common_character() {
        assert_eq!(COMMON.chars().count(), 62);
    }

    #[test]
    fn text_comes_back() {
        for text in ["", "315/75R16", "33x12.50R15LT", "Möhrenwagen №7 🚙", "ZQ \t\u{10ffff}"]
        {
            let mut writer = Writer::default();
            write(&mut writer, text);
            let bytes = writer.finish();
            assert_eq!(read(&mut Reader::weighed(&bytes), 200).as_deref(), Ok(text));
        }
    }

    #[test]
    fn a_text_longer_than_allowed_is_refused() {
        let mut writer = Writer::default();
        write(&mut writer, "abcdef");
        assert!(read(&mut Reader::weighed(&writer.finish()), 5).is_err());
    }
}
