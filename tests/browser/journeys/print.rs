//! A person prints the build sheet, of the example and of a truck of which little is known.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;

use fitment::finding::Severity;
use fitment::truck::{End, State, Truck};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// Paper by name: width and height in inches (ISO 216; ANSI/ASME Y14.1).
const PAPERS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("US Letter", 8.5, 11.0)];

/// Each sheet fills one page of either paper, in black on white whatever the theme; the order of work and
/// the work sheet, where they are wanted, one more each. What the look-ups find out of band comes with its
/// cautions, on paper too, with or without the work sheet.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    prints(&tab, 2).await.context("the example, which has two axles, a plan and cautions")?;
    for on in ["screen", "print"] {
        says_every_caution(&tab, on).await.context("behind the build sheet")?;
    }
    print_picture(&tab, "sheet-printed").await?;
    tab.click("#work-sheet").await?;
    tab.until("the work sheet", "document.querySelector('.sheet-work .sheet-torque')").await?;
    tab.picture("work-sheet").await?;
    tab.no_sideways_scroll().await?;
    axe::no_violations(&tab).await?;
    says_every_caution(&tab, "print").await.context("on the work sheet")?;
    // The order of work for the plan is a sheet between the two, with its stages and a caution at its step; a long plan
    // may take two pages.
    let job = tab
        .script("const it = document.querySelector('.sheet-job'); return it ? it.textContent : ''")
        .await?;
    let job = job.as_str().unwrap_or_default();
    for words in ["Parts and lengths", "Measure first", "Cycle and check", "Alignment"] {
        ensure!(job.contains(words), "the order of work does not say “{words}”: {job}");
    }
    tab.until("a caution at its step", "document.querySelector('.sheet-job li .caution')").await?;
    tab.script("document.querySelector('.sheet-job').scrollIntoView()").await?;
    tab.picture("order-of-work").await?;
    for (paper, width, height) in PAPERS {
        let pages = pages(&tab, width, height).await?;
        ensure!(
            pages == 3,
            "build sheet, order of work and work sheet take {pages} pages of {paper}"
        );
    }
    print_picture(&tab, "work-sheet-printed").await?;
    // It is remembered, and taken back.
    tab.turn_to("truck").await?;
    tab.turn_to("sheet").await?;
    tab.until("the work sheet again", "document.querySelector('.sheet-torque')").await?;
    tab.click("#work-sheet").await?;
    tab.until("no work sheet", "!document.querySelector('.sheet-torque')").await?;
    tab.turn_to("truck").await?;
    tab.press("Start empty").await?;
    prints(&tab, 1).await.context("a truck of which nothing is measured")?;
    tab.quiet_console().await?;
    tab.close().await
}

/// The sheet takes one page, and what goes behind it another.
async fn prints(tab: &Tab, wanted: usize) -> Result<()> {
    tab.turn_to("sheet").await?;
    tab.until("the sheet", "document.querySelector('.sheet svg.qr')").await?;
    tab.picture("sheet").await?;
    for (paper, width, height) in PAPERS {
        let pages = pages(tab, width, height).await?;
        ensure!(pages == wanted, "the sheet takes {pages} pages of {paper}, not {wanted}");
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

/// How many pages of a paper the sheet takes.
async fn pages(tab: &Tab, width: f64, height: f64) -> Result<usize> {
    let options = json!({ "paperWidth": width, "paperHeight": height, "preferCSSPageSize": false,
        "marginTop": 0.31, "marginBottom": 0.31, "marginLeft": 0.31, "marginRight": 0.31 });
    let answer = tab.driver().cdp().send_raw("Page.printToPDF", options).await?;
    let data = answer["data"].as_str().context("no document came back")?;
    let pdf = data_encoding::BASE64.decode(data.as_bytes())?;
    let text = String::from_utf8_lossy(&pdf);
    Ok(text.matches("/Type /Page\n").count() + text.matches("/Type /Page ").count())
}

/// A picture of what goes to the printer.
pub async fn print_picture(tab: &Tab, name: &str) -> Result<()> {
    let media = |name: &str| json!({ "media": name });
    tab.driver().cdp().send_raw("Emulation.setEmulatedMedia", media("print")).await?;
    tab.picture(name).await?;
    tab.driver().cdp().send_raw("Emulation.setEmulatedMedia", media("")).await?;
    Ok(())
}

/// Every caution that goes with what the look-ups find out of band is said with it.
async fn says_every_caution(tab: &Tab, on: &str) -> Result<()> {
    let found = checks::of_truck(&Truck::example(), End::Front, State::Planned);
    let out = |of: &&checks::OfTruck| {
        of.line.verdict.is_some_and(|(_, verdict)| verdict.severity >= Severity::Out)
    };
    let media = |name: &str| json!({ "media": name });
    tab.driver().cdp().send_raw("Emulation.setEmulatedMedia", media(on)).await?;
    let words = tab.words().await?;
    tab.driver().cdp().send_raw("Emulation.setEmulatedMedia", media("")).await?;
    let mut cautions = found.iter().filter(out).flat_map(|of| &of.card.cautions).peekable();
    ensure!(cautions.peek().is_some(), "nothing of the example is out of band: nothing is tested");
    for caution in cautions {
        ensure!(words.contains(caution), "not said: {caution}");
    }
    Ok(())
}
