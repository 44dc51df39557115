//! Our own words at the start and in the middle of a sentence.
//!
//! What we write starts with ASCII letters, so the big case tables stay out of the page.

/// The text with a capital first letter.
pub fn capital(text: &str) -> String {
    recased(text, char::to_ascii_uppercase)
}

/// The text as it stands inside a sentence; "Panhard" is a name and keeps its capital.
pub fn inside(text: &str) -> String {
    if text.starts_with("Panhard") {
        return text.to_owned();
    }
    recased(text, char::to_ascii_lowercase)
}

fn recased(text: &str, case: impl Fn(&char) -> char) -> String {
    let mut letters = text.chars();
    let mut out = String::with_capacity(text.len());
    out.extend(letters.next().map(|first| case(&first)));
    out.push_str(letters.as_str());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_first_letter_changes() {
        assert_eq!(capital("arm Brackets"), "Arm Brackets");
        assert_eq!(inside("Axle to the left"), "axle to the left");
        assert_eq!(inside("Panhard angle"), "Panhard angle");
        assert_eq!(capital("½ in"), "½ in");
        assert_eq!(capital(""), "");
    }
}
