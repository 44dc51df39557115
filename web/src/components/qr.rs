//! A link as a code for a phone's camera.

use fast_qr::ECL;
use fast_qr::qr::QRBuilder;
use std::fmt::Write;
use yew::prelude::*;

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
pub fn qr(text: &str) -> Html {
    match squares(text) {
        None => html! { <p class="help">{ "The link is too long for a code." }</p> },
        Some((d, size)) => {
            let across = (size + 8).to_string();
            html! {
                <svg class="qr" viewBox={format!("-4 -4 {across} {across}")} role="img" aria-label="Code that opens this build">
                    <rect class="qr-paper" x="-4" y="-4" width={across.clone()} height={across} />
                    <path class="qr-ink" {d} />
                </svg>
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::squares;

    #[test]
    fn a_camera_reads_the_link_back() {
        // Twelve pixels to a square on a white border, decoded by a reader that shares no code.
        for length in [30, 300, 700] {
            let link = format!("https://example.org/truck/#t1.{}", "aB3_-xZ9".repeat(length / 8));
            let (path, size) = squares(&link).expect("a code");
            let mut dark = vec![false; size * size];
            for run in path.split('M').skip(1) {
                let numbers: Vec<usize> = run
                    .split(|c: char| !c.is_ascii_digit())
                    .filter_map(|text| text.parse().ok())
                    .collect();
                let (column, row, run) = (numbers[0], numbers[1], numbers[2]);
                dark[row * size + column..][..run].fill(true);
            }
            let (scale, border) = (12, 4);
            let side = (size + 2 * border) * scale;
            let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
                let at = |pixel: usize| (pixel / scale).checked_sub(border).filter(|i| *i < size);
                let is_dark = at(x).zip(at(y)).is_some_and(|(x, y)| dark[y * size + x]);
                if is_dark { 0 } else { 255 }
            });
            let grids = image.detect_grids();
            let read: Vec<String> =
                grids.iter().map(|grid| grid.decode().expect("readable").1).collect();
            assert_eq!(read, [link]);
        }
    }

    #[test]
    fn a_link_makes_a_code_and_a_book_does_not() {
        let (path, size) = squares("https://example.org/#t1.abc").expect("a code");
        // The finder pattern in the corner is seven squares wide.
        assert!(size >= 21 && path.starts_with("M0 0h7v1h-7z"), "{size} {path}");
        assert!(squares(&"x".repeat(5000)).is_none());
    }
}
