//! Rules of the house that no compiler checks: what every file starts with, what the engine never
//! touches, what the page never calls.

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every file of ours with one of these extensions, with its text.
#[expect(clippy::unwrap_used, reason = "a source that cannot be read is a failed test")]
fn sources(extensions: &[&str]) -> Vec<(PathBuf, String)> {
    fn walk(dir: &Path, extensions: &[&str], found: &mut Vec<(PathBuf, String)>) {
        for entry in fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let generated = ["target", "dist", "node_modules", "corpus", "artifacts"];
            if path.is_dir() {
                if !name.starts_with('.') && !generated.contains(&name.as_str()) {
                    walk(&path, extensions, found);
                }
            } else if path.extension().is_some_and(|ext| extensions.iter().any(|want| ext == *want))
            {
                let text = fs::read_to_string(&path).unwrap();
                found.push((path, text));
            }
        }
    }
    let mut found = Vec::new();
    for top in ["crates", "web", "tests"] {
        walk(&root().join(top), extensions, &mut found);
    }
    assert!(!found.is_empty(), "no sources found: the walk is broken");
    found
}

fn complain(faults: &[String]) {
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

/// Lines of a file that contain a word, as `path:line: word`.
fn lines_with(path: &Path, text: &str, word: &str) -> Vec<String> {
    let hits = text.lines().enumerate().filter(|(_, line)| line.contains(word));
    hits.map(|(at, _)| format!("{}:{}: {word}", path.display(), at + 1)).collect()
}

#[test]
fn every_file_says_first_what_it_is_for() {
    let silent = sources(&["rs"]).into_iter().filter(|(_, text)| !text.starts_with("//! "));
    complain(
        &silent
            .map(|(path, _)| format!("{}: no `//!` on its first line", path.display()))
            .collect::<Vec<_>>(),
    );
}

#[test]
fn nothing_is_left_for_later() {
    // Put together here, so that this file does not find itself.
    let words =
        [["TO", "DO"], ["FIX", "ME"], ["#[ign", "ore"], ["unimplem", "ented!"], ["to", "do!("]];
    let all = sources(&["rs", "js", "css", "html", "toml", "py"]);
    let faults = words.iter().map(|parts| parts.concat()).flat_map(|word| {
        all.iter().flat_map(|(path, text)| lines_with(path, text, &word)).collect::<Vec<_>>()
    });
    complain(&faults.collect::<Vec<_>>());
}

#[test]
fn the_engine_touches_nothing_outside_itself() {
    let words = [
        "std::fs",
        "std::net",
        "std::time",
        "std::env",
        "std::process",
        "println!",
        "eprintln!",
        "dbg!(",
        "web_sys",
        "js_sys",
    ];
    let engine = ["fitment", "checks"].map(|name| root().join("crates").join(name).join("src"));
    let faults: Vec<String> = sources(&["rs"])
        .iter()
        .filter(|(path, _)| engine.iter().any(|engine| path.starts_with(engine)))
        .flat_map(|(path, text)| {
            words.iter().flat_map(|word| lines_with(path, text, word)).collect::<Vec<_>>()
        })
        .collect();
    complain(&faults);
}

#[test]
fn distance_queries_sit_behind_one_bridge() {
    let home = root().join("crates").join("fitment").join("src").join("clearance");
    let faults: Vec<String> = sources(&["rs"])
        .iter()
        .filter(|(path, _)| !path.starts_with(&home) && !path.ends_with("tests/tidy.rs"))
        .flat_map(|(path, text)| lines_with(path, text, "parry3d_f64::"))
        .collect();
    complain(&faults);
}

#[test]
fn the_page_names_no_address_elsewhere() {
    let faults: Vec<String> = sources(&["html", "js", "css", "webmanifest", "svg"])
        .iter()
        .flat_map(|(path, text)| {
            let text = text.replace("http://www.w3.org/", "");
            ["http://", "https://", "@import"]
                .iter()
                .flat_map(|word| lines_with(path, &text, word))
                .collect::<Vec<_>>()
        })
        .collect();
    complain(&faults);
}

#[test]
fn the_bindings_generator_is_the_one_the_page_uses() {
    let pinned = |file: &str, name: &str| {
        let text = fs::read_to_string(root().join(file)).unwrap();
        let line =
            text.lines().find(|line| line.starts_with(&format!("{name} = "))).map(str::to_owned);
        let line = line.unwrap_or_else(|| panic!("{file} does not name {name}"));
        line.split('"').nth(1).unwrap().trim_start_matches('=').to_owned()
    };
    let page = pinned("web/Cargo.toml", "wasm-bindgen");
    assert_eq!(page, pinned("crates/xtask/Cargo.toml", "wasm-bindgen-cli-support"));
    assert_eq!(page, pinned("Trunk.toml", "wasm_bindgen"));
    let tools = fs::read_to_string(root().join("crates/xtask/src/tools.rs")).unwrap();
    assert!(tools.contains(&format!("WASM_BINDGEN: &str = \"{page}\"")));
}

/// The published checks of a card: its file's tests, each of which names where its numbers are from.
fn published_checks(slug: &str) -> Vec<String> {
    let path = root().join("tests/published/checks").join(slug.replace('-', "_") + ".rs");
    let text = fs::read_to_string(path).unwrap_or_default();
    // What stands before a test since the last blank line is its comment.
    let parts: Vec<&str> = text.split("#[test]").collect();
    let comments = parts.iter().take(parts.len().saturating_sub(1));
    comments.map(|part| part.rsplit("\n\n").next().unwrap_or_default().to_owned()).collect()
}

#[test]
fn every_card_has_five_published_checks_that_name_their_source() {
    let mut faults = Vec::new();
    for card in checks::ALL.iter() {
        let found = published_checks(card.slug);
        let named = |words: &&String| {
            words.contains("Source: ") || words.contains("common practice, no source")
        };
        let (all, named) = (found.len(), found.iter().filter(named).count());
        if named < 5 || named < all {
            faults.push(format!("{}: {named} of {all} checks name a source, five must", card.slug));
        }
    }
    complain(&faults);
}

#[test]
fn the_trades_facts_are_checks_marked_as_such() {
    let facts = [
        ("welder", "258 in/min at 19.5 V"),
        ("welder", "1/8 in is the thin side"),
        ("bracket", "1/8 in wider than the stock mount"),
        ("welder", "downhill penetrates less"),
        ("welder", "overhead is the"),
        ("bracket", "worn bushings are replaced with the job"),
    ];
    let missing = facts.into_iter().filter(|(slug, fact)| {
        let said = |comment: &String| {
            let flat = comment.replace("\n/// ", " ");
            flat.contains(fact) && flat.contains("common practice, no source")
        };
        !published_checks(slug).iter().any(said)
    });
    complain(
        &missing.map(|(slug, fact)| format!("{slug}: no check of: {fact}")).collect::<Vec<_>>(),
    );
}
