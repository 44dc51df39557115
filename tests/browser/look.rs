//! The sizes and themes a journey is made at.

use std::fmt;

/// One way of looking at the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// 390 × 844 with touch, or 1280 × 800.
    pub phone: bool,
    /// The system's theme.
    pub dark: bool,
}

impl Look {
    /// Every size in every theme.
    pub const ALL: [Self; 4] = [
        Self { phone: true, dark: false },
        Self { phone: true, dark: true },
        Self { phone: false, dark: false },
        Self { phone: false, dark: true },
    ];
    /// Each size and each theme once, for journeys long enough: every page is looked at in all four.
    pub const CROSSED: [Self; 2] =
        [Self { phone: true, dark: false }, Self { phone: false, dark: true }];
    /// For what does not depend on the looks.
    pub const PHONE: [Self; 1] = [Self { phone: true, dark: false }];
    /// For what needs a keyboard.
    pub const DESKTOP: [Self; 1] = [Self { phone: false, dark: false }];
    /// Both sizes, one theme.
    pub const SIZES: [Self; 2] =
        [Self { phone: true, dark: false }, Self { phone: false, dark: false }];

    /// Width and height of the page, CSS pixels.
    pub fn size(self) -> (u32, u32) {
        if self.phone { (390, 844) } else { (1280, 800) }
    }
}

impl fmt::Display for Look {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let size = if self.phone { "phone" } else { "desktop" };
        let theme = if self.dark { "dark" } else { "light" };
        write!(f, "{size}_{theme}")
    }
}
