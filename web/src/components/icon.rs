//! Line icons, drawn like the rest of the page: one weight, square ends.

use yew::prelude::*;

/// Which.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Icon {
    /// An axle with two wheels.
    Truck,
    /// A tape with its marks.
    Measure,
    /// An arrow from a line up.
    Lift,
    /// A tire in its arch.
    Fit,
    /// A bracket with holes.
    Fixes,
    /// A card from a box of cards.
    LookUps,
    /// A sheet with a title block.
    Sheet,
    /// Back.
    Undo,
    /// Forth.
    Redo,
    /// More below.
    Down,
    /// Away.
    Close,
    /// Add.
    Plus,
}

/// Draws one; it says nothing to a screen reader, the text beside it does.
pub fn icon(which: Icon) -> Html {
    let d = match which {
        Icon::Truck => "M4 6v12M8 6v12M4 6h4M4 18h4M16 6v12M20 6v12M16 6h4M16 18h4M8 12h8M12 12v-4",
        Icon::Measure => "M3 8h18v8H3zM7 8v4M11 8v3M15 8v4M19 8v3",
        Icon::Lift => "M4 20h16M4 15h5M15 15h5M12 16V4M8 8l4-4 4 4",
        Icon::Fit => "M3 17a9 9 0 0 1 18 0M7 17a5 5 0 0 1 10 0a5 5 0 0 1-10 0",
        Icon::Fixes => {
            "M6 3h8l4 5v13H6zM10.5 9a1.5 1.5 0 1 0 3 0a1.5 1.5 0 1 0-3 0M10.5 16a1.5 1.5 0 1 0 3 0a1.5 1.5 0 1 0-3 0"
        }
        Icon::LookUps => "M3 9h18v11H3zM6 9V6h12v3M9 6V3h6v3M7 13h10M7 16h6",
        Icon::Sheet => "M4 3h16v18H4zM4 16h16M12 16v5",
        Icon::Undo => "M9 14l-5-5 5-5M4 9h10a6 6 0 0 1 0 12h-3",
        Icon::Redo => "M15 14l5-5-5-5M20 9H10a6 6 0 0 0 0 12h3",
        Icon::Down => "M6 9l6 6 6-6",
        Icon::Close => "M6 6l12 12M18 6L6 18",
        Icon::Plus => "M12 5v14M5 12h14",
    };
    html! {
        <svg class="icon" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">
            <path d={d} />
        </svg>
    }
}
