//! The finishing step: what either bundler staged becomes the page that is served.
//!
//! Scripts move out of the HTML, what only people read goes (`slim.rs`), file names carry the hash of their bytes, the service worker gets
//! its list, and every file gets its compressed copies. No clock and no machine's name goes in:
//! the same staged files give the same bytes.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail, ensure};
use sha2::{Digest, Sha256};

use crate::{house, page, slim};

/// Finishes the staged page in place.
///
/// # Errors
/// When a file cannot be read or written, the page breaks its own policy, or calls out.
pub fn finish(stage: &Path) -> Result<()> {
    let html = stage.join("index.html");
    let source = fs::read_to_string(&html).context("the staged page has no index.html")?;
    let tidy = page::normalise(&source)?;
    let faults = page::faults(&tidy)?;
    ensure!(faults.is_empty(), "index.html: {}", faults.join("; "));
    fs::write(&html, tidy)?;
    slim::slim(stage)?;
    hash_names(stage)?;
    for file in files(stage)? {
        calls_out(stage, &file)?;
    }
    write_worker(stage)?;
    compress(stage)
}

/// Every file under `dir` as `/`-separated relative paths, sorted.
///
/// # Errors
/// When a folder cannot be listed.
pub fn files(dir: &Path) -> Result<Vec<String>> {
    fn walk(dir: &Path, prefix: &str, found: &mut Vec<String>) -> Result<()> {
        for entry in fs::read_dir(dir)? {
            let entry = entry?;
            let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
            if entry.file_type()?.is_dir() {
                walk(&entry.path(), &format!("{path}/"), found)?;
            } else {
                found.push(path);
            }
        }
        Ok(())
    }
    let mut found = Vec::new();
    walk(dir, "", &mut found).with_context(|| format!("could not list {}", dir.display()))?;
    found.sort();
    Ok(found)
}

/// Lower-case hexadecimal SHA-256.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// True for a name this step made: `stem-<16 hex digits>.ext`, whose bytes never change.
pub fn is_hashed(name: &str) -> bool {
    let Some((stem, _)) = name.rsplit_once('.') else { return false };
    let Some((_, hash)) = stem.rsplit_once('-') else { return false };
    hash.len() == 16 && hash.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

/// Puts content hashes into the names of scripts, styles and wasm, what is referred to first.
fn hash_names(stage: &Path) -> Result<()> {
    // Snippets sit in a folder that already carries a hash.
    let mut plain: Vec<String> = files(stage)?
        .into_iter()
        .filter(|path| !path.contains('/') && has_extension(path, &["js", "css", "wasm"]))
        .collect();
    while !plain.is_empty() {
        let mut settled = None;
        for name in &plain {
            let text = String::from_utf8_lossy(&fs::read(stage.join(name))?).into_owned();
            let waits = !has_extension(name, &["wasm"])
                && plain.iter().any(|other| refers_to(&text, other));
            if !waits {
                settled = Some(name.clone());
                break;
            }
        }
        let Some(name) = settled else {
            bail!(
                "{} refer to each other in a ring, so no name can carry a hash",
                plain.join(", ")
            );
        };
        plain.retain(|other| *other != name);
        let hashed = hashed_name(&name, &fs::read(stage.join(&name))?);
        fs::rename(stage.join(&name), stage.join(&hashed))?;
        for reader in plain.iter().map(String::as_str).chain(["index.html"]) {
            if has_extension(reader, &["wasm"]) {
                continue;
            }
            let path = stage.join(reader);
            let text =
                fs::read_to_string(&path).with_context(|| format!("{reader} is not text"))?;
            fs::write(&path, redirect(&text, &name, &hashed))?;
        }
    }
    Ok(())
}

fn hashed_name(name: &str, bytes: &[u8]) -> String {
    let digest = sha256(bytes);
    let (stem, extension) = name.rsplit_once('.').unwrap_or((name, ""));
    format!("{stem}-{}.{extension}", digest.get(..16).unwrap_or(&digest))
}

/// A reference is the file's name, quoted, with or without `./` before it.
fn forms(name: &str) -> [String; 4] {
    [format!("\"./{name}\""), format!("\"{name}\""), format!("'./{name}'"), format!("'{name}'")]
}

fn refers_to(text: &str, name: &str) -> bool {
    forms(name).iter().any(|form| text.contains(form))
}

fn redirect(text: &str, name: &str, hashed: &str) -> String {
    forms(name)
        .iter()
        .zip(forms(hashed))
        .fold(text.to_owned(), |text, (from, to)| text.replace(from, &to))
}

/// Nothing the page runs may come from elsewhere. Only quoted or bracketed addresses count: a
/// comment may cite one; and XML's namespace names are names, not addresses.
fn calls_out(stage: &Path, file: &str) -> Result<()> {
    if !has_extension(file, &["js", "css", "html", "svg", "webmanifest"]) {
        return Ok(());
    }
    let text = fs::read_to_string(stage.join(file))?;
    match address_elsewhere(&text) {
        Some(address) => bail!("{file} names an address elsewhere: {address}"),
        None => Ok(()),
    }
}

fn address_elsewhere(text: &str) -> Option<&str> {
    let starts = ["http://", "https://"].iter().flat_map(|scheme| text.match_indices(scheme));
    starts
        .filter(|(at, _)| {
            text.get(..*at).is_some_and(|before| before.ends_with(['"', '\'', '`', '(']))
        })
        .filter_map(|(at, _)| text.get(at..)?.split(['"', '\'', '`', ')', ' ', '\n']).next())
        .find(|address| !address.starts_with("http://www.w3.org/"))
}

fn write_worker(stage: &Path) -> Result<()> {
    let template = house::root().join("web").join("sw.template.js");
    let template = fs::read_to_string(template).context("could not read web/sw.template.js")?;
    let mut list = BTreeMap::new();
    for file in files(stage)? {
        list.insert(file.clone(), sha256(&fs::read(stage.join(&file))?));
    }
    fs::write(stage.join("sw.js"), worker(&template, &list)?)?;
    Ok(())
}

/// The service worker's text: the template with its version and its list.
fn worker(template: &str, list: &BTreeMap<String, String>) -> Result<String> {
    for mark in ["@VERSION@", "@FILES@"] {
        ensure!(template.matches(mark).count() == 1, "web/sw.template.js needs {mark} once");
    }
    let lines: String = list.iter().fold(String::new(), |mut text, (file, digest)| {
        let _ = writeln!(text, "  {file:?}: {digest:?},");
        text
    });
    let files = format!("{{\n{lines}}}");
    let digest = sha256(format!("{template}{files}").as_bytes());
    Ok(template
        .replace("@VERSION@", digest.get(..16).unwrap_or(&digest))
        .replace("@FILES@", &files))
}

fn compress(stage: &Path) -> Result<()> {
    for file in files(stage)? {
        if !has_extension(&file, &["html", "js", "css", "wasm", "svg", "webmanifest", "json"]) {
            continue;
        }
        let path = stage.join(&file);
        let bytes = fs::read(&path)?;
        fs::write(sibling(&path, "br"), brotli(&bytes)?)?;
        fs::write(sibling(&path, "gz"), gzip(&bytes)?)?;
    }
    Ok(())
}

fn brotli(bytes: &[u8]) -> Result<Vec<u8>> {
    let params = brotli::enc::BrotliEncoderParams { quality: 11, lgwin: 22, ..Default::default() };
    let mut packed = Vec::new();
    brotli::BrotliCompress(&mut &*bytes, &mut packed, &params)?;
    Ok(packed)
}

fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    packer.write_all(bytes)?;
    Ok(packer.finish()?)
}

fn sibling(path: &Path, extension: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(extension);
    name.into()
}

/// True when the name ends in one of these, as we write them: in lower case.
pub(crate) fn has_extension(path: &str, wanted: &[&str]) -> bool {
    path.rsplit_once('.').is_some_and(|(_, extension)| wanted.contains(&extension))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_follow_a_name_and_nothing_else() {
        let check = |text: &str, want: &str| {
            assert_eq!(redirect(text, "a.js", "a-1.js"), want, "{text}");
        };
        check(r#"import x from "./a.js";"#, r#"import x from "./a-1.js";"#);
        check("import x from './a.js';", "import x from './a-1.js';");
        check(r#"<script src="a.js">"#, r#"<script src="a-1.js">"#);
        check(r#""./aa.js" "b/a.js" a.js"#, r#""./aa.js" "b/a.js" a.js"#);
    }

    #[test]
    fn an_address_elsewhere_is_found_where_it_would_be_used() {
        let check =
            |text: &str, want: Option<&str>| assert_eq!(address_elsewhere(text), want, "{text}");
        check("import 'https://a.example/x.js';", Some("https://a.example/x.js"));
        check("b { background: url(http://a.example/x.png) }", Some("http://a.example/x.png"));
        check("// see https://a.example/x", None);
        check("<svg xmlns=\"http://www.w3.org/2000/svg\">", None);
    }

    #[test]
    fn only_our_own_hashed_names_are_kept_forever() {
        let check = |name: &str, want: bool| assert_eq!(is_hashed(name), want, "{name}");
        check("style-0123456789abcdef.css", true);
        check("style.css", false);
        check("mark-maskable-512.png", false);
        check("mark-0123456789ABCDEF.png", false);
        check("index.html", false);
    }

    #[test]
    fn a_digest_is_the_published_one() {
        // FIPS 180-2, appendix B.1: the message "abc".
        let want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sha256(b"abc"), want);
    }

    #[test]
    fn the_workers_version_follows_its_list_and_its_text() {
        let list = |digest: &str| BTreeMap::from([("index.html".to_owned(), digest.to_owned())]);
        let text = |template: &str, digest: &str| worker(template, &list(digest)).unwrap();
        let first = text("v=\"@VERSION@\"; f=@FILES@;", "aa");
        assert_eq!(first, text("v=\"@VERSION@\"; f=@FILES@;", "aa"));
        assert!(first.contains("\"index.html\": \"aa\""), "{first}");
        let version = |text: &str| text.split('"').nth(1).map(str::to_owned);
        assert_ne!(version(&first), version(&text("v=\"@VERSION@\"; f=@FILES@;", "bb")));
        assert_ne!(version(&first), version(&text("v=\"@VERSION@\"; g=@FILES@;", "aa")));
        assert!(worker("no marks", &list("aa")).is_err());
    }

    #[test]
    fn packing_is_reproducible_and_unpacks() {
        let text = b"tape and level, tape and level".repeat(40);
        assert_eq!(brotli(&text).unwrap(), brotli(&text).unwrap());
        let mut back = Vec::new();
        brotli::BrotliDecompress(&mut &*brotli(&text).unwrap(), &mut back).unwrap();
        assert_eq!(back, text);
        assert_eq!(gzip(&text).unwrap(), gzip(&text).unwrap());
    }
}
