//! The log of readings over a season, and where it is kept: told apart set by set, saved, merged, printed, and
//! nothing of it lost where the browser keeps little or nothing.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;
use thirtyfour::By;
use xtask::house;

use super::measure::{NEW_SET, pick, read};
use super::print::print_picture;
use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// Sets before the work, after it and after a season, with their notes; saved, brought back, merged both ways,
/// printed.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    // What the page does beyond itself is watched: storage asked for, files saved.
    tab.script(
        "window.asked = 0; const keep = navigator.storage.persist.bind(navigator.storage); \
         navigator.storage.persist = () => { window.asked++; return keep(); }; \
         const make = URL.createObjectURL; URL.createObjectURL = (it) => { window.saved = it; return make(it); }",
    )
    .await?;
    tab.turn_to("measure").await?;
    ensure!(tab.script("return window.asked").await? == json!(0), "asked for the example alone");
    let bar = "Panhard bar, eye to eye";
    let arch = "Hub to arch, left";
    read(&tab, bar, "832").await?;
    read(&tab, arch, "635").await?;
    tab.until("storage that is kept", "window.asked === 1").await?;
    named(&tab, "Before", "street pressures").await?;
    tab.press(NEW_SET).await?;
    read(&tab, bar, "833").await?;
    read(&tab, arch, "600").await?;
    named(&tab, "After the bracket", "").await?;
    tab.until("the plan against the work", &row("Foretold and measured", bar, "as foretold"))
        .await?;
    tab.until("what came down", &row("Foretold and measured", arch, "not as foretold")).await?;
    tab.press(NEW_SET).await?;
    read(&tab, arch, "598").await?;
    named(&tab, "After a season", "springs settle").await?;
    // Table, change from first to last, chart, notes.
    tab.until("the change", &row("Log of readings", arch, "−37.0 mm")).await?;
    tab.until("a strip a row", "document.querySelectorAll('.log svg.strip').length === 2").await?;
    tab.reads("street pressures").await?;
    tab.script("document.querySelector('.sets').scrollIntoView()").await?;
    tab.no_sideways_scroll().await?;
    axe::no_violations(&tab).await?;
    tab.picture("log-sets").await?;
    tab.script("document.querySelector('section.log').scrollIntoView()").await?;
    tab.picture("log-table").await?;
    // Saved, then one reading more, then the file opened: a copy beside it.
    tab.click(".build-name").await?;
    tab.press("Save as file").await?;
    let file = tab.promise("window.saved.text()").await?;
    let file = file.as_str().context("a file")?;
    for words in ["After the bracket", "springs settle", "598"] {
        ensure!(file.contains(words), "not in the file: {words}");
    }
    tab.press("Close").await?;
    tab.press(NEW_SET).await?;
    read(&tab, arch, "597").await?;
    let folder = tempfile::tempdir()?;
    let path = folder.path().join("build.json");
    std::fs::write(&path, file)?;
    tab.click(".build-name").await?;
    tab.driver().find(By::Css("#open-file")).await?.send_keys(path.to_string_lossy()).await?;
    let builds = "document.querySelectorAll('.build-row').length";
    tab.until("a second build", &format!("{builds} === 2")).await?;
    let sets = "[...document.querySelectorAll('section.log thead th small')].length";
    // Either way round, each ends with all four sets, and once more changes nothing.
    for _ in 0..2 {
        tab.click(".build-row:not(.here) button[aria-label^='Bring the readings']").await?;
        tab.press("Close").await?;
        tab.until("all four sets", &format!("{sets} === 4")).await?;
        tab.click(".build-name").await?;
        tab.click(".build-row:not(.here) .primary").await?;
    }
    tab.press("Close").await?;
    tab.until("all four sets still", &format!("{sets} === 4")).await?;
    // The version before the merge is still there, and going back to it is a step like any other.
    tab.click(".build-name").await?;
    tab.press("Earlier versions of this build (1)").await?;
    tab.click(".versions button").await?;
    tab.press("Close").await?;
    tab.until("three sets", &format!("{sets} === 3")).await?;
    tab.press("Undo").await?;
    tab.until("all four sets again", &format!("{sets} === 4")).await?;
    // On paper: the table, the notes, and the plan against the work.
    tab.turn_to("sheet").await?;
    tab.until("the change on paper", &row("Log of readings", arch, "−38.0 mm")).await?;
    tab.until("the work on paper", &row("Foretold and measured", arch, "not as foretold")).await?;
    tab.reads("springs settle").await?;
    tab.script("document.querySelector('.sheet .log').scrollIntoView()").await?;
    print_picture(&tab, "log-printed").await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// Names the set in hand, with a note.
async fn named(tab: &Tab, name: &str, note: &str) -> Result<()> {
    tab.script("document.querySelector('.sets details').open = true").await?;
    tab.fill("set-name", name).await?;
    tab.fill("set-note", note).await
}

/// Whether a table has a row that starts so and has such a cell.
fn row(table: &str, start: &str, words: &str) -> String {
    format!(
        "[...document.querySelectorAll('section[aria-label={}] tbody tr')]\
           .some(r => r.cells[0].textContent === {} && [...r.cells].some(c => c.innerText.trim() === {}))",
        json!(table),
        json!(start),
        json!(words)
    )
}

/// A private window that keeps nothing: told at once, and everything goes on, a file takes it along.
pub async fn private(tools: Arc<Tools>, look: Look) -> Result<()> {
    let server = stage::serve(&house::dist())?;
    let profile = stage::Profile::fresh()?;
    let tab = Tab::open(&tools, &profile, look).await?;
    let refuse = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } })";
    tab.driver()
        .cdp()
        .send_raw("Page.addScriptToEvaluateOnNewDocument", json!({ "source": refuse }))
        .await?;
    tab.visit(&stage::address(&server)).await?;
    tab.reads("keeps nothing for this page").await?;
    tab.picture("private-window").await?;
    tab.turn_to("measure").await?;
    read(&tab, "Panhard bar, eye to eye", "832").await?;
    tab.reads("Mean 832.0 mm").await?;
    tab.click(".build-name").await?;
    tab.script("const make = URL.createObjectURL; URL.createObjectURL = (it) => { window.saved = it; return make(it); }")
        .await?;
    tab.press("Save as file").await?;
    let file = tab.promise("window.saved.text()").await?;
    ensure!(
        file.as_str().is_some_and(|it| it.contains("length panhard")),
        "not in the file: {file}"
    );
    tab.close().await
}

/// The storage is full: told, and what was read is still on the page and in its file.
pub async fn full(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("measure").await?;
    pick(&tab, "Panhard bar, eye to eye").await?;
    tab.script(
        "let n = 1 << 20; while (n > 1) { try { localStorage.setItem('other.' + Math.random(), 'x'.repeat(n)); } catch { n >>= 1; } }",
    )
    .await?;
    tab.fill("reading", "880").await?;
    tab.click(".entry button[type=submit]").await?;
    tab.reads("storage of this page is full").await?;
    tab.reads("Mean 880.0 mm").await?;
    tab.script("for (const k of Object.keys(localStorage)) if (k.startsWith('other.')) localStorage.removeItem(k)").await?;
    tab.fill("reading", "881").await?;
    tab.click(".entry button[type=submit]").await?;
    tab.reads("Mean 880.5 mm").await?;
    tab.reload().await?;
    tab.turn_to("measure").await?;
    tab.reads("880.5 mm").await?;
    tab.close().await
}
