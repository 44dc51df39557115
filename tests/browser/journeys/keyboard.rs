//! A person who uses the keyboard only.

use std::sync::Arc;

use anyhow::{Result, bail, ensure};
use serde_json::json;
use thirtyfour::Key;

use crate::look::Look;
use crate::stage::{self, Tab, Tools};

const LIFT: &str = "[id='f-front.sitting.lift_mm']";

/// Every stop can be seen; a number is changed, undone, and another page opened without a pointer.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("truck").await?;

    walk_to(&tab, LIFT).await?;
    tab.driver().active_element().await?.send_keys(Key::Control + "a").await?;
    tab.driver().active_element().await?.send_keys("137 mm").await?;
    tab.until(
        "the number to be taken",
        &format!("document.querySelector({}).value.startsWith('137')", json!(LIFT)),
    )
    .await?;

    walk_to(&tab, "[aria-label='Undo']").await?;
    tab.driver().active_element().await?.send_keys(" ").await?;
    tab.until("undo", &format!("!document.querySelector({}).value.startsWith('137')", json!(LIFT)))
        .await?;

    walk_to(&tab, "nav a[href='#lift']").await?;
    tab.driver().active_element().await?.send_keys(Key::Enter).await?;
    tab.until("the lift page", "document.querySelector('main#page.at-lift h1')").await?;
    tab.close().await
}

/// Presses Tab until what the selector names has the focus; every stop on the way must be seen.
async fn walk_to(tab: &Tab, selector: &str) -> Result<()> {
    for _ in 0..150 {
        tab.driver().action_chain().send_keys(Key::Tab).perform().await?;
        let stop = tab
            .script(
                "const e = document.activeElement; if (!e || e === document.body) return null;\
                 const seen = [e, e.parentElement, e.nextElementSibling].filter(Boolean).some((p) => {\
                   const s = getComputedStyle(p);\
                   return (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0) || s.boxShadow !== 'none'; });\
                 const box = (e.labels?.[0] ?? e).getBoundingClientRect();\
                 return { seen, there: box.width > 0 && box.height > 0, what: e.outerHTML.slice(0, 200) }",
            )
            .await?;
        if stop.is_null() {
            continue;
        }
        ensure!(
            stop["seen"] == true && stop["there"] == true,
            "the focus cannot be seen on {}",
            stop["what"]
        );
        let here = tab
            .script(&format!("return document.activeElement.matches({})", json!(selector)))
            .await?;
        if here == true {
            return Ok(());
        }
    }
    bail!("the Tab key never reaches {selector}")
}
