//! A person opens the page for the first time.

use std::sync::Arc;

use anyhow::Result;
use xtask::house;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Profile, Tab, Tools};

/// The page opens, asks nobody else, says nothing in the console, fits, and can be read by all.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let server = stage::serve(&house::dist())?;
    let profile = Profile::fresh()?;
    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&stage::address(&server)).await?;
    tab.offline_ready().await?;
    tab.no_third_party().await?;
    tab.no_sideways_scroll().await?;
    tab.picture("first-visit").await?;
    axe::no_violations(&tab).await?;
    tab.quiet_console().await?;
    tab.close().await
}
