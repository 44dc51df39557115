//! Accessibility rules of axe-core, run inside the page.

use anyhow::{Result, ensure};
use serde_json::json;
use xtask::{house, tools};

use crate::stage::Tab;

/// Fails on any violation of any rule; without npm to bring the rules, says so and does nothing,
/// except where nothing may be skipped.
pub async fn no_violations(tab: &Tab) -> Result<()> {
    let source = match tools::axe_source() {
        Ok(source) => source,
        Err(why) if house::in_ci() => return Err(why),
        Err(_) => return Ok(()),
    };
    // The page's policy does not bind the driver's own scripts. Half a megabyte: once for each document.
    if tab.script("return !window.axe").await? == json!(true) {
        tab.script(&source).await?;
    }
    // What holds is looked at likewise, but not told place by place: nobody reads it.
    let broken = tab
        .promise(
            "axe.run({ resultTypes: ['violations'] }).then((r) => r.violations.map((v) => \
             v.id + ': ' + v.help + ' at ' + v.nodes.map((n) => n.target.join(' ') + ' (' + n.failureSummary + ')').join(', ')))",
        )
        .await?;
    let broken: Vec<&str> =
        broken.as_array().into_iter().flatten().filter_map(|v| v.as_str()).collect();
    ensure!(broken.is_empty(), "accessibility: {}", broken.join("\n"));
    Ok(())
}
