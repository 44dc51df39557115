//! A person sends a build to a friend, whose browser has never seen the page.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};

use crate::look::Look;
use crate::stage::{self, Profile, Tab, Tools};

const LIFT: &str = "f-front.sitting.lift_mm";

/// The friend sees the same number, as a copy; the link is short enough for a code on paper.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.fill(LIFT, "137 mm").await?;
    let link = copied_link(&tab).await?;
    let code = link.split_once('#').map(|(_, code)| code.len()).unwrap_or_default();
    ensure!((40..=700).contains(&code), "the link's code has {code} characters");
    tab.quiet_console().await?;
    tab.close().await?;

    let friend = Profile::fresh()?;
    let tab = Tab::open(&tools, &friend, look).await?;
    tab.visit(&link).await?;
    tab.until(
        "the copy",
        "document.querySelector('.block-label')?.textContent === 'Received copy'",
    )
    .await?;
    tab.turn_to("truck").await?;
    ensure!(
        tab.value(LIFT).await?.starts_with("137"),
        "the friend sees {}",
        tab.value(LIFT).await?
    );
    let (address, _) = link.split_once('#').context("the link has no code")?;
    old_link(&tab, address).await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// A link of the first version, as people have kept it.
async fn old_link(tab: &Tab, address: &str) -> Result<()> {
    let code = include_str!("../../golden/v1/example.link").trim();
    tab.visit(&format!("{address}#{}", code.trim_start_matches('#'))).await?;
    tab.until(
        "the build of an old link",
        "document.querySelector('.block-value')?.textContent.startsWith('Orchard truck')",
    )
    .await?;
    tab.turn_to("lift").await?;
    tab.answered().await
}

/// What "Copy link" put on the clipboard.
pub async fn copied_link(tab: &Tab) -> Result<String> {
    tab.script("navigator.clipboard.writeText = (text) => { window.copied = text; return Promise.resolve(); }").await?;
    tab.click(".build-name").await?;
    tab.press("Copy link").await?;
    tab.until("the link to be copied", "window.copied").await?;
    let link = tab.script("return window.copied").await?;
    Ok(link.as_str().context("the link is not text")?.to_owned())
}
