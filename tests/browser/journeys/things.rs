//! A person adds what else the tire could meet, measures it, and takes it back.

use std::sync::Arc;

use anyhow::{Result, ensure};
use serde_json::json;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

const CARDS: &str = "document.querySelectorAll('.thing-card')";

/// Every kind can be added and shows where to hold the tape; what is typed stays, undo and the
/// button take it away again, and the answer counts it.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;
    tab.open_group("Around the tire").await?;
    let before = count(&tab).await?;

    tab.press("+ Body mount").await?;
    tab.until("the new one", &format!("{CARDS}.length === {}", before + 1)).await?;
    let field = format!("f-front.surroundings.things[{before}].shape.front_mm");
    // Two views of it, each with a dimension.
    let pictures = format!(
        "[...{CARDS}[{before}].querySelectorAll('figure')].filter((f) => f.querySelector('.thing') && f.querySelector('.dim')).length"
    );
    tab.until("where to hold the tape", &format!("{pictures} >= 2")).await?;
    tab.picture("thing").await?;
    let drawn = drawing(&tab, before).await?;
    tab.fill(&field, "-455 mm").await?;
    ensure!(tab.value(&field).await?.starts_with("-455"), "{}", tab.value(&field).await?);
    ensure!(drawing(&tab, before).await? != drawn, "the picture did not follow the number");
    axe::no_violations(&tab).await?;
    tab.no_sideways_scroll().await?;

    // Leaving the field ends one step: the number goes first, then the thing.
    tab.click("h1").await?;
    tab.click("[aria-label='Undo']:not(:disabled)").await?;
    tab.until(
        "the number before",
        &format!("!document.getElementById({}).value.startsWith('-455')", json!(field)),
    )
    .await?;
    tab.click("[aria-label='Undo']:not(:disabled)").await?;
    tab.until("it to be gone", &format!("{CARDS}.length === {before}")).await?;

    // One of each kind, one after the other.
    let kinds = tab
        .script(
            "return [...document.querySelectorAll('.add-thing button')].map((b) => b.innerText.trim())",
        )
        .await?;
    let kinds: Vec<String> = serde_json::from_value(kinds)?;
    ensure!(kinds.len() >= 13, "{kinds:?}");
    for kind in kinds {
        tab.press(&kind).await?;
        tab.until(&kind, &format!("{CARDS}.length === {}", before + 1)).await?;
        tab.until("its picture", &format!("{CARDS}[{before}].querySelector('figure .thing')"))
            .await?;
        tab.answered().await?;
        tab.script(&format!(
            "[...{CARDS}[{before}].querySelectorAll('button')].find((b) => b.innerText === 'Take it away').click()"
        ))
        .await?;
        tab.until("it to be gone", &format!("{CARDS}.length === {before}")).await?;
    }

    // What is measured is looked at on the fit page.
    tab.press("+ Body mount").await?;
    tab.until("the new one", &format!("{CARDS}.length === {}", before + 1)).await?;
    tab.turn_to("tire-fit").await?;
    tab.until(
        "the body mount among the nearest places",
        "[...document.querySelectorAll('.contact-pick')].some((b) => b.innerText.toLowerCase().includes('body mount'))",
    )
    .await?;
    tab.quiet_console().await?;
    tab.close().await
}

async fn count(tab: &Tab) -> Result<u64> {
    Ok(tab.script(&format!("return {CARDS}.length")).await?.as_u64().unwrap_or_default())
}

async fn drawing(tab: &Tab, card: u64) -> Result<String> {
    let script = format!(
        "return [...{CARDS}[{card}].querySelectorAll('.thing')].map((e) => e.getAttribute('d')).join()"
    );
    Ok(tab.script(&script).await?.as_str().unwrap_or_default().to_owned())
}
