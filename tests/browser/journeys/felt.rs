//! A driver says what the truck does, and reads what its own numbers speak for.

use std::sync::Arc;

use anyhow::{Result, ensure};
use serde_json::json;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// Every symptom says its causes, or that none speaks; rubbing waits for the tire fit.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("lift").await?;
    tab.until("the list", "document.getElementById('felt')").await?;

    let said = choose(&tab, "Wanders on a straight road").await?;
    ensure!(said.contains("Too little caster") && said.contains("likely"), "{said}");
    ensure!(said.contains("To confirm") && said.contains("What helps"), "{said}");
    tab.script("document.getElementById('felt-title').scrollIntoView()").await?;
    tab.picture("felt").await?;

    let said = choose(&tab, "Shakes like a loose caster wheel after a bump").await?;
    ensure!(said.contains("stop driving"), "{said}");
    ensure!(said.contains("balance"), "what geometry cannot see: {said}");

    choose(&tab, "Rubs with the wheels turned").await?;
    tab.until(
        "a tire's contact",
        "document.querySelector('.felt').textContent.includes('tire to')",
    )
    .await?;
    axe::no_violations(&tab).await?;
    tab.no_sideways_scroll().await?;
    tab.quiet_console().await?;
    tab.close().await
}

async fn choose(tab: &Tab, symptom: &str) -> Result<String> {
    tab.script(&format!(
        "const list = document.getElementById('felt');\
         list.selectedIndex = [...list.options].findIndex((o) => o.text === {});\
         list.dispatchEvent(new Event('change', {{ bubbles: true }}))",
        json!(symptom)
    ))
    .await?;
    tab.until("an answer", "document.querySelector('.felt .caution')").await?;
    let said = tab.script("return document.querySelector('.felt').textContent").await?;
    Ok(said.as_str().unwrap_or_default().to_owned())
}
