//! Offset, backspacing, spacers, track and tire edges against hand arithmetic and trade facts.

use crate::close;
use fitment::measure::units::MM_PER_INCH;
use fitment::wheel::{
    Seat, backspacing_mm, effective_offset_mm, offset_from_backspacing_mm, width_code, width_mm,
};

/// Source: ISO 3911:2004 (inset; sign from memory) and ISO 4000-2 (rim width between bead seats, code
/// × 25.4), with one inch for the two flanges, `common practice, no source`.
#[test]
fn backspacing() {
    close("8.0 offset +25", backspacing_mm(width_mm(8.0), 25.0), 139.3, 1e-9);
    close("in inches", backspacing_mm(width_mm(8.0), 25.0) / MM_PER_INCH, 5.48, 0.005);
    close(
        "8.0 at 4.50 in",
        offset_from_backspacing_mm(width_mm(8.0), 4.5 * MM_PER_INCH),
        0.0,
        1e-9,
    );
    close("203.2 mm", width_code(203.2), 8.0, 0.0);
}

/// Source: hand arithmetic on the definitions. A 7.0 wheel of offset 31 gives way to an 8.5 of −10: bead
/// edge 60.05 mm further out outside and 21.95 mm further out inside, track 82 mm wider.
#[test]
fn wheel_change() {
    let before = Seat::new(width_mm(7.0), 31.0, 0.0);
    let after = Seat::new(width_mm(8.5), -10.0, 0.0);
    let change = after.change_from(&before);
    close("outer edge", change.poke_mm, 60.05, 1e-9);
    close("inner edge", change.inner_room_mm, 21.95, 1e-9);
    close("track", change.track_mm, 82.0, 1e-9);
}

/// `common practice, no source`: a 1½ in spacer behind a zero-offset wheel is about −38 mm of offset.
#[test]
fn spacer_behind_a_zero_offset_wheel() {
    close("spacer", effective_offset_mm(0.0, 1.5 * MM_PER_INCH), -38.0, 0.5);
}

/// `common practice, no source`: at one offset a tire one inch wider takes half an inch more on each
/// side.
#[test]
fn wider_tire_at_one_offset() {
    let before = Seat::new(10.5 * MM_PER_INCH, -12.0, 0.0);
    let after = Seat::new(11.5 * MM_PER_INCH, -12.0, 0.0);
    let change = after.change_from(&before);
    close("outside", change.poke_mm, MM_PER_INCH / 2.0, 1e-9);
    close("inside", change.inner_room_mm, -MM_PER_INCH / 2.0, 1e-9);
    close("track", change.track_mm, 0.0, 1e-9);
}

/// Source: ISO 3911:2004 inset (sign from memory) in ISO 8855 axes, y outboard on the left wheel: a
/// positive offset puts the mounting face outboard of the rim centreline, so the wheel centre lies
/// inboard of the face; less offset, or a spacer, moves the wheel outboard and widens the track.
#[test]
fn signs() {
    let stock = Seat::new(265.0, 30.0, 0.0);
    close("centre", stock.centre_mm, -30.0, 1e-9);
    for (offset, spacer) in [(10.0, 0.0), (30.0, 20.0)] {
        let change = Seat::new(265.0, offset, spacer).change_from(&stock);
        close("poke", change.poke_mm, 20.0, 1e-9);
        close("room inside", change.inner_room_mm, 20.0, 1e-9);
        close("track", change.track_mm, 40.0, 1e-9);
    }
}
