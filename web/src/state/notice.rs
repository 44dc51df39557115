//! Short words to the person, each with what can be done about it.

/// How it sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// Good to know.
    Word,
    /// Something did not work.
    Trouble,
}

/// What a notice offers to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Offer {
    /// Bring back what was deleted last.
    Undelete,
}

/// One short word to the person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// Its name tag.
    pub id: u64,
    /// How it sounds.
    pub tone: Tone,
    /// The words.
    pub text: String,
    /// What it offers.
    pub offer: Option<Offer>,
}
