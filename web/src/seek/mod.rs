//! The search for the best plan, apart from the page: what is asked and what comes back are texts, so
//! that it can run on a thread of its own, and everything in it is tested where the compiler runs.

mod order;
mod seeker;
mod told;

pub use order::{Order, write as ask_text};
pub use seeker::Seeker;
pub use told::{Clash, Pick, Proposal, Row, Stage, Told, Way};

/// Between fields and between records: the characters ASCII has for this.
const FIELD: char = '\u{1f}';
const RECORD: char = '\u{1e}';
