//! A person prints the build sheet, of the example and of a truck of which little is known.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;

use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// Paper by name: width and height in inches (ISO 216; ANSI/ASME Y14.1).
const PAPERS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("US Letter", 8.5, 11.0)];

/// Each sheet fills one page of either paper, in black on white whatever the theme.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    prints_on_one_page(&tab).await.context("the example, which has two axles and a plan")?;
    tab.turn_to("truck").await?;
    tab.press("Start empty").await?;
    prints_on_one_page(&tab).await.context("a truck of which nothing is measured")?;
    tab.quiet_console().await?;
    tab.close().await
}

async fn prints_on_one_page(tab: &Tab) -> Result<()> {
    tab.turn_to("sheet").await?;
    tab.until("the sheet", "document.querySelector('.sheet svg.qr')").await?;
    tab.picture("sheet").await?;
    for (paper, width, height) in PAPERS {
        let options = json!({ "paperWidth": width, "paperHeight": height, "preferCSSPageSize": false,
            "marginTop": 0.31, "marginBottom": 0.31, "marginLeft": 0.31, "marginRight": 0.31 });
        let answer = tab.driver().cdp().send_raw("Page.printToPDF", options).await?;
        let data = answer["data"].as_str().context("no document came back")?;
        let pdf = data_encoding::BASE64.decode(data.as_bytes())?;
        let text = String::from_utf8_lossy(&pdf);
        let pages = text.matches("/Type /Page\n").count() + text.matches("/Type /Page ").count();
        ensure!(pages == 1, "the sheet takes {pages} pages of {paper}");
    }
    let media = |name: &str| json!({ "media": name });
    tab.driver().cdp().send_raw("Emulation.setEmulatedMedia", media("print")).await?;
    let colors = tab
        .script(
            "const at = getComputedStyle(document.querySelector('.sheet'));\
             return [at.color, at.backgroundColor]",
        )
        .await?;
    tab.driver().cdp().send_raw("Emulation.setEmulatedMedia", media("")).await?;
    ensure!(colors == json!(["rgb(0, 0, 0)", "rgb(255, 255, 255)"]), "printed in {colors}");
    Ok(())
}
