//! A person reads the curves over the travel: by a tap, by the keyboard, and as a table.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use buildfile::Build;
use fitment::axle::{Answer, NoAnswer, Output, answer};
use fitment::calibrate::answer_surely;
use fitment::truck::{End, State, Truck};
use serde_json::json;
use thirtyfour::{By, Key};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// Roll steer bends with the rubber's rates: slopes alone tell a third of its ±, and soon after the page
/// is shown it says all of it: what holds then.
fn as_sure_as_it_is() -> Result<String> {
    let truck = Build::example().truck;
    let spread = |of: fn(&Truck, End, State) -> Result<Answer, NoAnswer>| -> Result<String> {
        let sigma = of(&truck, End::Front, State::Sitting)?.sigma.get(Output::RollSteer);
        Ok(format!("±{:.0}", 2.0 * sigma.context("roll steer has a ±")?))
    };
    let (all, by_slopes) = (spread(answer_surely)?, spread(answer)?);
    ensure!(all != by_slopes, "slopes tell it all: {all}");
    let (rows, name) = ("[...document.querySelectorAll('.answers tr')]", Output::RollSteer.label());
    let row = format!("row.textContent.startsWith('{name}') && row.textContent.includes('{all}')");
    Ok(format!("{rows}.some((row) => {row})"))
}

/// Every path and group has curves; tap and keys move the cursor, and all three values follow.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("lift").await?;
    tab.until("charts", "document.querySelector('.chart')").await?;
    tab.until("roll steer with all of its ±", &as_sure_as_it_is()?).await?;
    tab.script("document.getElementById('curves-title').scrollIntoView()").await?;
    tab.picture("curves").await?;

    choose(&tab, "curves-group", "Caster, pinion").await?;
    let rest = read(&tab).await?;
    ensure!(rest.len() == 3 && rest[0] != rest[1], "three states, told apart: {rest:?}");

    // A tap right of the first chart's middle.
    tab.script("document.querySelector('.chart').scrollIntoView({ block: 'center' })").await?;
    let chart = tab.driver().find(By::Css(".chart")).await?;
    tab.driver()
        .action_chain()
        .move_to_element_with_offset(&chart, 70, -10)
        .click()
        .perform()
        .await?;
    tab.until("the cursor to move up", "document.querySelector('#curves-cursor').value > 20")
        .await?;
    let tapped = read(&tab).await?;
    ensure!(tapped != rest, "the values stayed at {rest:?}");

    // By keys from there.
    let before = cursor(&tab).await?;
    tab.script("document.getElementById('curves-cursor').focus()").await?;
    for _ in 0..4 {
        tab.driver().active_element().await?.send_keys(Key::Left).await?;
    }
    let after = cursor(&tab).await?;
    ensure!(after < before, "the keys moved the cursor from {before} to {after}");
    tab.until(
        "the slider to say where it is",
        "document.getElementById('curves-cursor').getAttribute('aria-valuetext').includes('up')",
    )
    .await?;

    for path in ["Roll", "Left wheel", "Right wheel", "Steering", "Both wheels"] {
        choose(&tab, "curves-path", path).await?;
        let groups = tab
            .script(
                "return [...document.getElementById('curves-group').options].map((o) => o.text)",
            )
            .await?;
        for group in groups.as_array().context("no groups")? {
            let group = group.as_str().context("a name")?;
            choose(&tab, "curves-group", group).await?;
            sound(&tab).await.with_context(|| format!("{path}, {group}"))?;
        }
    }
    tab.press("The same as a table").await?;
    tab.until("the table", "document.querySelector('.curves details[open] tbody tr')").await?;
    axe::no_violations(&tab).await?;
    tab.no_sideways_scroll().await?;
    tab.quiet_console().await?;
    tab.close().await
}

async fn choose(tab: &Tab, id: &str, name: &str) -> Result<()> {
    tab.script(&format!(
        "const it = document.getElementById({}), at = [...it.options].findIndex((o) => o.text === {});\
         it.selectedIndex = at; it.dispatchEvent(new Event('change', {{ bubbles: true }}))",
        json!(id),
        json!(name)
    ))
    .await?;
    tab.until(
        &format!("{name} to be chosen"),
        &format!(
            "document.getElementById({}).selectedOptions[0]?.text === {}",
            json!(id),
            json!(name)
        ),
    )
    .await
}

/// The three values beside the first chart.
async fn read(tab: &Tab) -> Result<Vec<String>> {
    let found = tab
        .script(
            "return [...document.querySelector('.read').querySelectorAll('dd')].map((e) => e.innerText)",
        )
        .await?;
    Ok(serde_json::from_value(found)?)
}

async fn cursor(tab: &Tab) -> Result<f64> {
    let value = tab.script("return Number(document.getElementById('curves-cursor').value)").await?;
    value.as_f64().context("the cursor is nowhere")
}

/// Charts with at least one curve each, all of it on the paper, and no number that is none.
async fn sound(tab: &Tab) -> Result<()> {
    let found = tab
        .script(
            "return [...document.querySelectorAll('.chart')].map((chart) => {\
               const lines = [...chart.querySelectorAll('.line')].map((e) => e.getAttribute('d'));\
               const box = chart.viewBox.baseVal;\
               const out = lines.some((d) => d.split(/[ML]/).filter(Boolean).some((p) => {\
                 const [x, y] = p.split(' ').map(Number);\
                 return !(x >= 0 && x <= box.width && y >= 0 && y <= box.height); }));\
               return { drawn: lines.some(Boolean), out }; })",
        )
        .await?;
    let charts = found.as_array().context("no charts")?;
    ensure!(!charts.is_empty(), "there is no chart");
    ensure!(charts.iter().all(|chart| chart["drawn"] == true && chart["out"] == false), "{found}");
    ensure!(!tab.words().await?.contains("NaN"), "{}", tab.words().await?);
    Ok(())
}
