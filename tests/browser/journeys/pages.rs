//! A person looks at every page of the app.

use std::sync::Arc;

use anyhow::{Context, Result};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tools};

/// Every page fits the screen, can be read by all, and says nothing in the console.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    for page in ["truck", "measure", "lift", "tire-fit", "corrections", "look-ups", "sheet"] {
        tab.turn_to(page).await?;
        let seen = async {
            tab.picture(page).await?;
            tab.no_sideways_scroll().await?;
            axe::no_violations(&tab).await?;
            tab.quiet_console().await
        };
        seen.await.with_context(|| format!("on the page {page}"))?;
    }
    tab.no_third_party().await?;
    tab.close().await
}
