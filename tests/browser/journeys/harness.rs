//! The checks that every journey leans on, shown to fail when there is something to find.

use std::sync::Arc;

use anyhow::{Result, ensure};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tools};

/// Spoils the page in one way after another; each spoiling must be seen.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;

    tab.script("console.error('spoiled')").await?;
    ensure!(tab.quiet_console().await.is_err(), "an error in the console was not seen");
    tab.quiet_console().await?;

    // The page's own policy must refuse an address elsewhere and an inline script.
    tab.script("document.body.append(Object.assign(new Image(), { src: 'http://127.0.0.1:9/x.png', alt: '' }))").await?;
    tab.script("const s = document.createElement('script'); s.textContent = 'window.spoiled = 1'; document.body.append(s)")
        .await?;
    ensure!(
        tab.quiet_console().await.is_err(),
        "the policy let an address elsewhere or an inline script pass"
    );
    tab.until("the inline script not to have run", "window.spoiled === undefined").await?;

    tab.script("const d = document.createElement('div'); d.style.width = '5000px'; d.textContent = '.'; document.body.append(d)")
        .await?;
    ensure!(tab.no_sideways_scroll().await.is_err(), "a page too wide was not seen");

    tab.script("document.body.append(document.createElement('button'))").await?;
    ensure!(axe::no_violations(&tab).await.is_err(), "a button without a name was not seen");
    tab.close().await
}
