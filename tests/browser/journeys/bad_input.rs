//! Links, files and stored texts that are spoiled: each is said to be, and nothing of one's own goes.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use buildfile::link::MARK;
use serde_json::json;
use thirtyfour::By;

use super::share::copied_link;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

const LIFT: &str = "f-front.sitting.lift_mm";
const REFUSED: &str = "document.querySelector('.notice.trouble')";

/// A link cut short, changed, from a later version or far too long.
pub async fn links(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (server, _profile, tab) = with_own_number(&tools, look).await?;
    let good = copied_link(&tab).await?;
    tab.press("Close").await?;
    let (address, code) = good.split_once('#').context("the link has no code")?;
    let middle = code.len() / 2;
    let (head, tail) = code.split_at(middle);
    let other = if tail.starts_with('A') { "B" } else { "A" };
    let spoiled = [
        ("cut short", head.to_owned()),
        ("changed", format!("{head}{other}{}", &tail[1..])),
        ("of a later version", code.replacen(MARK, "t9.", 1)),
        ("far too long", format!("{code}{}", "A".repeat(40_000))),
        ("nonsense", format!("{MARK}%%%%")),
    ];
    for (how, code) in spoiled {
        tab.visit(&stage::address(&server)).await?;
        tab.script(&format!("location.hash = {}", json!(code))).await?;
        tab.until(&format!("a link {how} to be refused"), REFUSED).await?;
        ensure!(
            !tab.words().await?.contains(address) || !tab.words().await?.contains("NaN"),
            "{how}"
        );
        still_there(&tab, how).await?;
    }
    tab.close().await
}

/// A file that is no build, one with impossible numbers, one of 50 MB.
pub async fn files(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = with_own_number(&tools, look).await?;
    let folder = tempfile::tempdir()?;
    let example = serde_json::to_string(&json!({ "format": "something else" }))?;
    let files = [
        ("not JSON", b"{ truck".to_vec()),
        ("another format", example.into_bytes()),
        ("a number that is none", br#"{"version":1,"truck":{"wheelbase_mm":NaN}}"#.to_vec()),
        ("50 MB", vec![b' '; 50_000_000]),
    ];
    for (how, bytes) in files {
        let file = folder.path().join("build.json");
        std::fs::write(&file, bytes)?;
        tab.click(".build-name").await?;
        tab.until("the dialog", "document.querySelector('#open-file')").await?;
        tab.driver().find(By::Css("#open-file")).await?.send_keys(file.to_string_lossy()).await?;
        tab.until(&format!("the file ({how}) to be refused"), REFUSED).await?;
        tab.press("Close").await?;
        still_there(&tab, how).await?;
        tab.reload().await?;
    }
    tab.close().await
}

/// Texts in the browser's store that something else spoiled.
pub async fn store(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = with_own_number(&tools, look).await?;
    tab.script(
        "for (const key of Object.keys(localStorage)) if (key.startsWith('tapewright.'))\
           localStorage.setItem(key, localStorage.getItem(key).slice(0, -3))",
    )
    .await?;
    tab.reload().await?;
    tab.reads("Not done").await?;
    ensure!(
        tab.script(
            "return Object.keys(localStorage).some((key) => key.startsWith('tapewright.aside.'))"
        )
        .await?
            == true,
        "the spoiled texts were thrown away"
    );
    tab.turn_to("lift").await?;
    tab.until("answers all the same", "document.querySelector('main#page.at-lift table')").await?;
    tab.close().await
}

async fn with_own_number(tools: &Tools, look: Look) -> Result<stage::Visit> {
    let (server, profile, tab) = stage::first_visit(tools, look).await?;
    tab.turn_to("truck").await?;
    tab.fill(LIFT, "137 mm").await?;
    Ok((server, profile, tab))
}

async fn still_there(tab: &Tab, how: &str) -> Result<()> {
    tab.turn_to("truck").await?;
    let value = tab.value(LIFT).await?;
    ensure!(value.starts_with("137"), "after {how} the person's own number reads {value:?}");
    Ok(())
}
