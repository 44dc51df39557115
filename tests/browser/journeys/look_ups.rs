//! A person looks something up at a trailhead, sends it to a friend, and finds it again offline.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;
use thirtyfour::Key;
use xtask::house;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Profile, Tab, Tools};

/// Found by a word of the trade, opened in one tap, answered while typing; the link opens as the same
/// card elsewhere and touches no build; the last input is there again without a network.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let server = stage::serve(&house::dist())?;
    let address = stage::address(&server);
    let profile = Profile::fresh()?;
    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&address).await?;
    tab.offline_ready().await?;
    tab.turn_to("look-ups").await?;
    tab.fill("card-search", "speedo").await?;
    tab.until(
        "the list to shrink",
        "document.querySelectorAll('.card-list li').length < 4 \
         && document.querySelector('.card-list b').textContent === 'Gearing and speedometer'",
    )
    .await?;
    axe::no_violations(&tab).await?;
    tab.click(".card-list a").await?;
    opened(&tab, "Gearing and speedometer").await?;
    // The same size as the speedometer was made for: 100 at a true 100.
    tab.fill("c-tire", "235/85R16").await?;
    answer(&tab, "Speedometer shows", "100").await?;
    tab.fill("c-tire", "33x12.50R15").await?;
    answer(&tab, "Speedometer shows", "9").await?;
    tab.fill("c-speed", "62 mp").await?;
    tab.until("the complaint", "document.querySelector('.card-field.wrong .complaint')").await?;
    tab.fill("c-speed", "62 mph").await?;
    tab.no_sideways_scroll().await?;
    targets(&tab).await?;
    axe::no_violations(&tab).await?;
    tab.picture("look-up").await?;
    let link = copied(&tab).await?;
    ensure!(link.contains("#c1."), "{link}");
    tab.quiet_console().await?;
    tab.close().await?;

    friend(&tools, look, &link).await?;

    drop(server);
    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&format!("{address}#look-ups/gearing")).await?;
    opened(&tab, "Gearing and speedometer").await?;
    ensure!(tab.value("c-tire").await? == "33x12.50R15", "{}", tab.value("c-tire").await?);
    // 62 · 1.609344 km/h, as it stands in metric once nobody types.
    ensure!(tab.value("c-speed").await? == "99.78", "{}", tab.value("c-speed").await?);
    tab.press("Start over").await?;
    tab.until("the start", "document.getElementById('c-tire').value === '315/75R16'").await?;
    tab.press("Put back what was there").await?;
    tab.until("what was there", "document.getElementById('c-tire').value === '33x12.50R15'")
        .await?;
    tab.close().await
}

/// Every card in one tap, two of them with a drawing, from the truck too; by the keyboard on a desk.
pub async fn every_card(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("look-ups").await?;
    for card in checks::ALL.iter() {
        let seen = async {
            tab.turn_to("look-ups").await?;
            tab.click(&format!(".card-list a[href='#look-ups/{}']", card.slug)).await?;
            opened(&tab, card.title).await?;
            tab.until("answers", "document.querySelectorAll('.look-up .finding').length").await?;
            tab.no_sideways_scroll().await?;
            let words = tab.words().await?;
            ensure!(!words.contains("NaN"), "{words}");
            for caution in &card.cautions {
                ensure!(words.contains(caution), "not on the screen: {caution}");
            }
            if ["tires", "hub"].contains(&card.slug) {
                tab.until("the drawing", "document.querySelector('.overlay .overlay-thing')")
                    .await?;
            }
            axe::no_violations(&tab).await?;
            tab.quiet_console().await
        };
        seen.await.with_context(|| format!("on the look-up {}", card.slug))?;
    }
    tab.turn_to("look-ups").await?;
    tab.click(".card-list a[href='#look-ups/hub']").await?;
    opened(&tab, "Offset, spacer and wheel bearings").await?;
    tab.press("From this truck").await?;
    tab.until(
        "the truck's figures",
        "document.querySelector('.card-mark').textContent.includes('on this truck')",
    )
    .await?;
    tab.press("in").await?;
    tab.until("inches", "document.getElementById('c-rim').value === '16'").await?;
    if !look.phone {
        tab.turn_to("look-ups").await?;
        by_keyboard(&tab).await?;
    }
    tab.quiet_console().await?;
    tab.no_third_party().await?;
    tab.close().await
}

/// In a browser that was never here the link opens as its card, beside builds it does not touch.
async fn friend(tools: &Tools, look: Look, link: &str) -> Result<()> {
    let profile = Profile::fresh()?;
    let tab = Tab::open(tools, &profile, look).await?;
    tab.visit(link).await?;
    opened(&tab, "Gearing and speedometer").await?;
    ensure!(tab.value("c-tire").await? == "33x12.50R15", "{}", tab.value("c-tire").await?);
    let builds =
        "return Object.keys(localStorage).filter((k) => k.startsWith('tapewright.build.')).length";
    ensure!(tab.script(builds).await? == json!(1), "a card's link made a build");
    // Cut short it opens nothing and says so.
    tab.visit(&link[..link.len() - 3]).await?;
    tab.reads("nothing of yours was changed").await?;
    tab.close().await
}

async fn opened(tab: &Tab, title: &str) -> Result<()> {
    let title = json!(title);
    tab.until(
        "the look-up",
        &format!("document.querySelector('.look-up h1')?.textContent === {title}"),
    )
    .await
}

/// Waits until an answer's value begins so.
async fn answer(tab: &Tab, name: &str, begins: &str) -> Result<()> {
    let found = format!(
        "[...document.querySelectorAll('.finding')].some((e) => e.querySelector('.finding-name').textContent === {}\
         && e.querySelector('.finding-value').textContent.startsWith({}))",
        json!(name),
        json!(begins)
    );
    tab.until(&format!("{name} to be {begins}"), &found).await
}

/// Nothing to press on the card is smaller than a finger.
async fn targets(tab: &Tab) -> Result<()> {
    let small = tab
        .script(
            "return [...document.querySelectorAll('.look-ups :is(a, button, input, select, summary)')]\
             .filter((e) => e.getClientRects().length && e.getBoundingClientRect().height < 47.5)\
             .map((e) => e.outerHTML.slice(0, 120))",
        )
        .await?;
    ensure!(small == json!([]), "smaller than 48 px: {small}");
    Ok(())
}

async fn copied(tab: &Tab) -> Result<String> {
    tab.script("navigator.clipboard.writeText = (text) => { window.copied = text; return Promise.resolve(); }").await?;
    tab.press("Copy link").await?;
    tab.until("the link to be copied", "window.copied").await?;
    let link = tab.script("return window.copied").await?;
    Ok(link.as_str().context("the link is not text")?.to_owned())
}

/// Search, open and type without a pointer.
async fn by_keyboard(tab: &Tab) -> Result<()> {
    let reach = async |selector: &str| -> Result<()> {
        for _ in 0..60 {
            tab.driver().action_chain().send_keys(Key::Tab).perform().await?;
            let here = format!("return document.activeElement.matches({})", json!(selector));
            if tab.script(&here).await? == json!(true) {
                return Ok(());
            }
        }
        anyhow::bail!("the Tab key never reaches {selector}")
    };
    reach("#card-search").await?;
    tab.driver().active_element().await?.send_keys("lug nut").await?;
    reach(".card-list a").await?;
    tab.driver().active_element().await?.send_keys(Key::Enter).await?;
    opened(tab, "Bolts, studs and torque").await?;
    reach("#c-torque").await?;
    tab.driver().active_element().await?.send_keys("95 lb·ft").await?;
    answer(tab, "Clamp of one", "").await
}
