//! A person changes a number, and the tab is gone before anything was saved by hand.

use std::sync::Arc;

use anyhow::{Result, ensure};
use serde_json::json;

use crate::look::Look;
use crate::stage::{self, Tab, Tools};

const LIFT: &str = "f-front.sitting.lift_mm";

/// What was typed survives a reload and a new start of the browser; undo brings the old number back.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (server, profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.press("Replace it with mine, number by number").await?;
    tab.until(
        "the person's own build",
        "document.querySelector('.block-label')?.textContent === 'Build'",
    )
    .await?;
    if tab.value(LIFT).await?.is_empty() {
        tab.press("All numbers").await?;
    }
    let before = tab.value(LIFT).await?;
    tab.fill(LIFT, "137 mm").await?;
    // Still in the field: nothing was confirmed.
    tab.reload().await?;
    ensure!(
        tab.value(LIFT).await?.starts_with("137"),
        "the reload lost the number: {}",
        tab.value(LIFT).await?
    );
    tab.close().await?;

    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&stage::address(&server)).await?;
    tab.turn_to("truck").await?;
    ensure!(tab.value(LIFT).await?.starts_with("137"), "the new start lost the number");
    // A half-typed number is said to be one, and does not break the rest.
    tab.fill(LIFT, "13 1/").await?;
    tab.until("the field to complain", "document.querySelector('.complaint')").await?;
    tab.fill(LIFT, "5 1/2\"").await?;
    tab.until("the complaint to go", "!document.querySelector('.complaint')").await?;
    // Leaving the field ends one step of undo; the next number is another.
    tab.click("h1").await?;
    let sitting = tab.value(LIFT).await?;
    tab.fill(LIFT, "99 mm").await?;
    tab.click("[aria-label='Undo']:not(:disabled)").await?;
    tab.until(
        "the number before the last",
        &format!("document.getElementById('{LIFT}').value === {}", json!(sitting)),
    )
    .await?;
    ensure!(before != sitting, "the example's own lift is the one typed, so nothing was shown");
    tab.quiet_console().await?;
    tab.close().await
}
