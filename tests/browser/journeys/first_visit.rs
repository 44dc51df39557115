//! A person opens the page for the first time.

use std::sync::Arc;

use anyhow::Result;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tools};

/// The page opens, asks nobody else, says nothing in the console, fits, and can be read by all.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.offline_ready().await?;
    tab.no_third_party().await?;
    tab.no_sideways_scroll().await?;
    tab.picture("first-visit").await?;
    axe::no_violations(&tab).await?;
    tab.quiet_console().await?;
    tab.close().await
}
