//! A person says how their axle is put together, every layout in turn, and asks what the lift did.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// A layout's name, what holds it sideways besides, and a group of fields only it has.
const LAYOUTS: [(&str, &[&str], &str); 5] = [
    ("Three-link", &["Watts linkage", "Panhard bar"], "Links"),
    ("Four-link", &["Watts linkage", "Panhard bar"], "Links"),
    ("Triangulated four-link", &[], "Links"),
    ("Leaf springs", &["Panhard bar", "Watts linkage", "The leaves alone"], "Leaf springs"),
    ("Radius arms", &["Watts linkage", "Panhard bar"], "Radius arms"),
];

const LIFT: &str = "f-front.sitting.lift_mm";

/// Every layout has its fields and an answer; nothing else that was typed goes, and undo brings the
/// first layout back.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.fill(LIFT, "63 mm").await?;
    for (layout, held, group) in LAYOUTS {
        chosen(&tab, layout, held, group).await.context(layout)?;
    }
    tab.press("Leaf springs").await?;
    for (press, group) in [("Under the axle", "Leaf springs"), ("At the rear", "Leaf springs")] {
        tab.press(press).await?;
        answered(&tab, group).await.context(press)?;
    }
    tab.press("Right side differs").await?;
    tab.until(
        "fields of the right spring",
        "document.getElementById('f-front.layout.right.seat.y_mm')",
    )
    .await?;
    axe::no_violations(&tab).await?;
    tab.picture("layouts").await?;
    for _ in 0..4 {
        tab.click("[aria-label='Undo']:not(:disabled)").await?;
    }
    tab.until("radius arms again", &pressed("Radius arms")).await?;
    ensure!(tab.value(LIFT).await?.starts_with("63"), "the lift typed first is gone");
    tab.quiet_console().await?;
    tab.close().await
}

fn pressed(name: &str) -> String {
    format!(
        "[...document.querySelectorAll('[aria-pressed=true]')].some((e) => e.innerText.trim() === {})",
        serde_json::json!(name)
    )
}

async fn chosen(tab: &Tab, layout: &str, held: &[&str], group: &str) -> Result<()> {
    tab.press(layout).await?;
    answered(tab, group).await?;
    for by in held {
        tab.press(by).await?;
        answered(tab, group).await.with_context(|| format!("held by {by}"))?;
        tab.until(by, &pressed(by)).await?;
    }
    ensure!(tab.value(LIFT).await?.starts_with("63"), "the lift typed before is gone");
    tab.no_sideways_scroll().await
}

/// The axle has an answer, and the group of fields is there and open.
async fn answered(tab: &Tab, group: &str) -> Result<()> {
    tab.open_group(group).await?;
    tab.answered().await
}
