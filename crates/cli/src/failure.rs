//! What can go wrong, in words and as JSON, with its exit code.

use buildfile::{LinkError, OpenError, Problem, SaveError};
use serde_json::{Value, json};

/// Why a command has no result.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// The file could not be read.
    #[error("cannot read {file}: {why}; check the name, or pipe the build in and give `-`")]
    Read {
        /// Its name.
        file: String,
        /// What the system says.
        why: std::io::Error,
    },
    /// The build does not open.
    #[error("{0}")]
    Open(#[from] OpenError),
    /// The link does not open or cannot be made.
    #[error("{0}")]
    Link(#[from] LinkError),
    /// The build cannot be written.
    #[error("{0}")]
    Save(#[from] SaveError),
    /// The build opens but has problems, which are listed.
    #[error("{}", lines(.0))]
    Problems(Vec<Problem>),
    /// A field that this command needs is missing or does not do.
    #[error("{path}: {what}; {remedy}")]
    Field {
        /// Dotted path.
        path: String,
        /// What is wrong there.
        what: String,
        /// What would fix it.
        remedy: String,
    },
    /// The position does not exist; the whole answer says where.
    #[error("unreachable: {why}")]
    Unreachable {
        /// In words.
        why: String,
        /// As JSON, with `unreachable` at its top.
        answer: Value,
    },
}

impl Failure {
    pub(crate) const fn exit_code(&self) -> u8 {
        match self {
            Self::Unreachable { .. } => 3,
            _ => 2,
        }
    }

    /// One object: `error` in words and `problems` by field, or the unreachable answer.
    pub(crate) fn to_json(&self) -> String {
        if let Self::Unreachable { answer, .. } = self {
            return pretty(answer);
        }
        pretty(&json!({ "error": self.to_string(), "problems": self.problems() }))
    }

    fn problems(&self) -> Vec<Value> {
        let build = |error: &OpenError| match error {
            OpenError::Problems(problems) => problems.iter().map(problem).collect(),
            OpenError::Field { path, what, remedy } => vec![entry(path, what, remedy)],
            _ => Vec::new(),
        };
        match self {
            Self::Open(error) | Self::Link(LinkError::Build(error)) => build(error),
            Self::Problems(problems) => problems.iter().map(problem).collect(),
            Self::Field { path, what, remedy } => vec![entry(path, what, remedy)],
            _ => Vec::new(),
        }
    }
}

/// JSON for people and programs alike, with a line end.
pub(crate) fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

fn problem(problem: &Problem) -> Value {
    entry(&problem.path, &problem.found, &problem.remedy)
}

fn entry(path: &str, found: &str, remedy: &str) -> Value {
    json!({ "path": path, "found": found, "remedy": remedy })
}

fn lines(problems: &[Problem]) -> String {
    let count = match problems.len() {
        1 => "1 problem".to_owned(),
        count => format!("{count} problems"),
    };
    let lines = problems.iter().map(|problem| {
        format!("\n  {}: {}\n      {}", problem.path, problem.found, problem.remedy)
    });
    std::iter::once(count).chain(lines).collect()
}
