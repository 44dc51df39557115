//! A person who has been here once opens the page with no network at all.

use std::sync::Arc;

use anyhow::Result;
use xtask::house;

use crate::look::Look;
use crate::stage::{self, Profile, Tab, Tools};

/// After one visit the browser and the server both go; a new start of the browser still has the page.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let profile = Profile::fresh()?;
    let server = stage::serve(&house::dist())?;
    let address = stage::address(&server);
    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&address).await?;
    tab.offline_ready().await?;
    tab.close().await?;
    drop(server);

    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&address).await?;
    tab.no_sideways_scroll().await?;
    // A link's query and a folder's name without its file come from the stored copy too.
    tab.visit(&format!("{address}?from=home-screen")).await?;
    tab.close().await
}
