//! Takes out of the staged page what only people read: comments and indents of its style and of the
//! generated script, and the long names by which script and wasm find each other.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result};

use crate::page;

/// The file of the staged page that is styled by hand.
const STYLE: &str = "style.css";

/// Slims the staged page in place.
///
/// # Errors
/// When a file cannot be read or written, or is not what it should be.
pub fn slim(stage: &Path) -> Result<()> {
    let style = stage.join(STYLE);
    if style.is_file() {
        fs::write(&style, css(&fs::read_to_string(&style)?))?;
    }
    let (script, wasm) = (stage.join(page::GLUE), stage.join(page::WASM));
    if !(script.is_file() && wasm.is_file()) {
        return Ok(());
    }
    let (bytes, names) = short_imports(&fs::read(&wasm)?).context("could not read the wasm")?;
    let text = renamed(&js(&fs::read_to_string(&script)?), &names);
    fs::write(&wasm, bytes)?;
    fs::write(&script, text)?;
    Ok(())
}

/// A style without comments, and without space that separates nothing.
fn css(text: &str) -> String {
    let mut bare = String::new();
    let mut rest = text;
    while let Some((before, comment)) = rest.split_once("/*") {
        bare.push_str(before);
        rest = comment.split_once("*/").map_or("", |(_, after)| after);
    }
    bare.push_str(rest);
    let mut slim = String::new();
    for line in bare.lines().map(str::trim).filter(|line| !line.is_empty()) {
        // A selector or value that goes on in the next line keeps a space.
        if !slim.is_empty() && !slim.ends_with(['{', '}', ';', ',']) {
            slim.push(' ');
        }
        slim.push_str(line);
    }
    slim.replace(" {", "{").replace(";}", "}")
}

/// A generated script without indents and whole lines of comment.
fn js(text: &str) -> String {
    let lines = text.lines().map(str::trim).filter(|line| {
        !(line.is_empty() || ["//", "/*", "*"].iter().any(|start| line.starts_with(start)))
    });
    lines.fold(String::new(), |slim, line| slim + line + "\n")
}

/// A script with other names; a name ends where no letter, digit or `_` follows.
fn renamed(text: &str, names: &BTreeMap<String, String>) -> String {
    let is_name = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(is_name) {
        let (before, from) = rest.split_at(at);
        let (word, after) = from.split_at(from.find(|c| !is_name(c)).unwrap_or(from.len()));
        out.push_str(before);
        out.push_str(names.get(word).map_or(word, String::as_str));
        rest = after;
    }
    out + rest
}

/// The wasm with its generated imports named shortly, and the names by what they were.
fn short_imports(wasm: &[u8]) -> Option<(Vec<u8>, BTreeMap<String, String>)> {
    let (header, mut rest) = wasm.split_at_checked(8)?;
    let mut out = header.to_vec();
    let mut names = BTreeMap::new();
    while let Some((&id, after)) = rest.split_first() {
        let mut reader = Reader(after);
        let length = reader.number()?;
        let content = reader.take(length)?;
        rest = reader.0;
        out.push(id);
        // The section of imports.
        if id == 2 {
            let content = imports(content, &mut names)?;
            number(&mut out, content.len());
            out.extend(content);
        } else {
            number(&mut out, content.len());
            out.extend_from_slice(content);
        }
    }
    Some((out, names))
}

fn imports(section: &[u8], names: &mut BTreeMap<String, String>) -> Option<Vec<u8>> {
    let mut reader = Reader(section);
    let count = reader.number()?;
    let mut out = Vec::new();
    number(&mut out, count);
    for _ in 0..count {
        let module = reader.name()?;
        let name = reader.name()?;
        let from = reader.0;
        reader.skip_kind()?;
        let kind = from.get(..from.len() - reader.0.len())?;
        let next = format!("i{}", names.len());
        let short = if name.starts_with("__wb") {
            names.entry(name.to_owned()).or_insert(next).clone()
        } else {
            name.to_owned()
        };
        for word in [module, &short] {
            number(&mut out, word.len());
            out.extend_from_slice(word.as_bytes());
        }
        out.extend_from_slice(kind);
    }
    Some(out)
}

/// Reads the binary format (WebAssembly Core Specification, ch. 5).
struct Reader<'a>(&'a [u8]);

impl<'a> Reader<'a> {
    fn take(&mut self, count: usize) -> Option<&'a [u8]> {
        let (taken, rest) = self.0.split_at_checked(count)?;
        self.0 = rest;
        Some(taken)
    }

    fn byte(&mut self) -> Option<u8> {
        self.take(1)?.first().copied()
    }

    /// An unsigned LEB128 number.
    fn number(&mut self) -> Option<usize> {
        let (mut value, mut shift) = (0_usize, 0);
        loop {
            let byte = self.byte()?;
            value |= usize::from(byte & 0x7f).checked_shl(shift)?;
            shift += 7;
            if byte & 0x80 == 0 {
                return Some(value);
            }
        }
    }

    fn name(&mut self) -> Option<&'a str> {
        let length = self.number()?;
        std::str::from_utf8(self.take(length)?).ok()
    }

    /// What is imported: a function by its type, a table, a memory or a global.
    fn skip_kind(&mut self) -> Option<()> {
        match self.byte()? {
            0 => {
                self.number()?;
            }
            kind @ (1 | 2) => {
                if kind == 1 {
                    self.byte()?;
                }
                let flags = self.byte()?;
                self.number()?;
                if flags & 1 == 1 {
                    self.number()?;
                }
            }
            3 => {
                self.take(2)?;
            }
            _ => return None,
        }
        Some(())
    }
}

/// Appends an unsigned LEB128 number.
fn number(out: &mut Vec<u8>, mut value: usize) {
    loop {
        let low = u8::try_from(value & 0x7f).unwrap_or_default();
        value >>= 7;
        if value == 0 {
            out.push(low);
            return;
        }
        out.push(low | 0x80);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_style_keeps_what_it_says() {
        let check = |text: &str, want: &str| assert_eq!(css(text), want);
        check("a {\n  color: red;\n}\n", "a{color: red}");
        check("/* why */\na,\nb > c {\n  margin: 0 1px;\n}\n", "a,b > c{margin: 0 1px}");
        check(
            "a {\n  grid-template:\n    \"x y\"\n    \"z z\";\n}",
            "a{grid-template: \"x y\" \"z z\"}",
        );
    }

    #[test]
    fn a_script_loses_indents_and_comments_alone() {
        let text = "/**\n * Why\n */\nfunction f() {\n    // so\n    return \"a // b\";\n}\n";
        assert_eq!(js(text), "function f() {\nreturn \"a // b\";\n}\n");
    }

    /// Two imported functions of one type: the generated name gets short in wasm and script alike, the
    /// other stays, and so does what follows.
    #[test]
    fn imports_are_renamed_on_both_sides() {
        let section = |name: &str| {
            let mut section = vec![2];
            for (module, name) in [("./a.js", name), ("./a.js", "other")] {
                for word in [module, name] {
                    number(&mut section, word.len());
                    section.extend_from_slice(word.as_bytes());
                }
                section.extend_from_slice(&[0, 5]);
            }
            section
        };
        let module = |name: &str| {
            let mut wasm = b"\0asm\x01\0\0\0".to_vec();
            let imports = section(name);
            wasm.push(2);
            number(&mut wasm, imports.len());
            wasm.extend(imports);
            wasm.extend_from_slice(&[10, 1, 0]);
            wasm
        };
        let long = format!("__wbg_log_{}", "0123456789abcdef".repeat(10));
        let (wasm, names) = short_imports(&module(&long)).unwrap();
        assert_eq!(wasm, module("i0"));
        let script = format!("{long}: f, {long}x: g, y{long}");
        assert_eq!(renamed(&script, &names), format!("i0: f, {long}x: g, y{long}"));
        assert!(short_imports(&module(&long)[..40]).is_none());
    }
}
