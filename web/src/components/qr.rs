//! A link as a code for a phone's camera.

use fast_qr::ECL;
use fast_qr::qr::QRBuilder;
use std::fmt::Write;
use yew::prelude::*;

/// The link.
#[derive(Properties, PartialEq)]
pub struct QrProps {
    /// What the code says.
    pub text: AttrValue,
}

/// The dark squares as one path, and the number of squares across.
pub fn squares(text: &str) -> Option<(String, usize)> {
    let code = QRBuilder::new(text.to_owned()).ecl(ECL::L).build().ok()?;
    let mut d = String::new();
    for row in 0..code.size {
        let mut column = 0;
        while column < code.size {
            let from = column;
            while column < code.size && code[row][column].value() {
                column += 1;
            }
            if column > from {
                let run = column - from;
                // Writing to a String does not fail.
                let _ = write!(d, "M{from} {row}h{run}v1h-{run}z");
            }
            column += 1;
        }
    }
    Some((d, code.size))
}

/// The code, black on white whatever the theme, with the quiet border cameras need.
#[component]
pub fn Qr(props: &QrProps) -> Html {
    let squares = use_memo(props.text.clone(), |text| squares(text));
    match &*squares {
        None => html! { <p class="help">{ "The link is too long for a code." }</p> },
        Some((d, size)) => {
            let across = (size + 8).to_string();
            html! {
                <svg class="qr" viewBox={format!("-4 -4 {across} {across}")} role="img" aria-label="Code that opens this build">
                    <rect class="qr-paper" x="-4" y="-4" width={across.clone()} height={across} />
                    <path class="qr-ink" d={d.clone()} />
                </svg>
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::squares;

    #[test]
    fn a_link_makes_a_code_and_a_book_does_not() {
        let (path, size) = squares("https://example.org/#t1.abc").expect("a code");
        // The finder pattern in the corner is seven squares wide.
        assert!(size >= 21 && path.starts_with("M0 0h7v1h-7z"), "{size} {path}");
        assert!(squares(&"x".repeat(5000)).is_none());
    }
}
