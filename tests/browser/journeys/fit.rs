//! A person slides a finger over the map of the Tire fit page, then uses keys and the list instead.

use std::sync::Arc;

use anyhow::{Context, Result, ensure};
use serde_json::json;
use thirtyfour::{By, Key};

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

const MAP: &str = ".map[role=slider]";

/// What stands on the page for one place of the map.
#[derive(Debug, PartialEq)]
struct Seen {
    /// The number and the place in words.
    read: String,
    /// The three drawings.
    drawings: String,
}

/// Views, number and words follow a finger, the arrow keys and the list of nearest places.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("tire-fit").await?;
    tab.until("the map", &format!("document.querySelector('{MAP}')")).await?;
    ensure!(drawings(&tab).await? == 3, "three views were to be drawn");
    tab.picture("fit-worst").await?;
    let worst = seen(&tab).await?;

    let middle = slide(&tab, 0, 0).await?;
    ensure!(middle.read != worst.read, "the words stayed at {}", worst.read);
    ensure!(middle.drawings != worst.drawings, "the views stood still");
    let turned = slide(&tab, -60, 20).await?;
    ensure!(turned.drawings != middle.drawings, "the views stood still");
    ensure!(turned.read.contains("left"), "left of the middle is {}", turned.read);
    tab.until(
        "the words to be said once the finger rests",
        "document.querySelector('.fit-map [role=status]').textContent.includes(\
         document.querySelector('.fit-read b').textContent)",
    )
    .await?;
    tab.picture("fit-finger").await?;

    // By keys from there: further left, then down.
    let steer = now(&tab).await?;
    tab.script(&format!("document.querySelector('{MAP}').focus()")).await?;
    for _ in 0..4 {
        tab.driver().active_element().await?.send_keys(Key::Left).await?;
    }
    ensure!(now(&tab).await? > steer, "the left arrow left the steer at {steer}");
    let before = seen(&tab).await?;
    for _ in 0..4 {
        tab.driver().active_element().await?.send_keys(Key::Down).await?;
    }
    ensure!(seen(&tab).await? != before, "the down arrow did nothing");

    // A place of the list: its number is the one under the finger then.
    let picks = "[...document.querySelectorAll('.contact-pick')]";
    let count = tab.script(&format!("return {picks}.length")).await?.as_u64().unwrap_or_default();
    ensure!(count >= 2, "{count} places are listed");
    for index in [1, count - 1, 0] {
        tab.script(&format!("{picks}[{index}].click()")).await?;
        tab.until(
            "the finger to be at the place picked",
            &format!(
                "{picks}[{index}].getAttribute('aria-pressed') === 'true' && (() => {{\
                   const bare = (text) => text.replace(/[^0-9/. ]/g, '').trim();\
                   const number = {picks}[{index}].querySelector('.finding-value').firstChild.textContent;\
                   return bare(document.querySelector('.fit-read b').textContent) === bare(number); }})()"
            ),
        )
        .await?;
    }

    for words in ["Left tire", "Right tire", "Worse of both", "Half", "Crossed up", "Level"] {
        tab.press(words).await?;
        let words = tab.words().await?;
        ensure!(!words.contains("NaN"), "{words}");
        ensure!(drawings(&tab).await? == 3, "three views were to be drawn");
    }

    // What each change buys, worked out when asked for.
    tab.press("Work it out").await?;
    tab.until(
        "every change to be worked out",
        "document.querySelectorAll('.room tbody').length >= 2 && !document.querySelector('.room [role=status]')",
    )
    .await?;
    let words = tab.words().await?;
    ensure!(!words.contains("NaN"), "{words}");
    tab.script("document.getElementById('room-title').scrollIntoView()").await?;
    tab.picture("fit-room").await?;
    axe::no_violations(&tab).await?;
    tab.no_sideways_scroll().await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// Puts a finger on the middle of the map and slides it by so many pixels.
async fn slide(tab: &Tab, right: i64, down: i64) -> Result<Seen> {
    tab.script(&format!("document.querySelector('{MAP}').scrollIntoView({{ block: 'center' }})"))
        .await?;
    let map = tab.driver().find(By::Css(MAP)).await?;
    tab.driver()
        .action_chain()
        .move_to_element_center(&map)
        .click_and_hold()
        .move_by_offset(right / 2, down / 2)
        .move_by_offset(right - right / 2, down - down / 2)
        .release()
        .perform()
        .await?;
    let off = tab
        .script(&format!(
            "const of = (e) => {{ const b = e.getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; }};\
             const [x, y] = of(document.querySelector('{MAP}')), [a, b] = of(document.querySelector('.finger circle'));\
             return Math.hypot(a - x - {right}, b - y - {down})"
        ))
        .await?;
    ensure!(off.as_f64().is_some_and(|px| px < 3.0), "the mark is {off} px from the finger");
    seen(tab).await
}

async fn seen(tab: &Tab) -> Result<Seen> {
    let found = tab
        .script(
            "return [document.querySelector('.fit-read').innerText,\
             [...document.querySelectorAll('.views .pose')].map((e) => e.innerHTML).join()]",
        )
        .await?;
    let [read, drawings]: [String; 2] = serde_json::from_value(found)?;
    Ok(Seen { read, drawings })
}

async fn drawings(tab: &Tab) -> Result<u64> {
    let script = "return [...document.querySelectorAll('.views .pose')]\
                  .filter((e) => e.querySelector('.tire')).length";
    tab.script(script).await?.as_u64().context("no count came back")
}

async fn now(tab: &Tab) -> Result<f64> {
    let script =
        format!("return document.querySelector({}).getAttribute('aria-valuenow')", json!(MAP));
    let value = tab.script(&script).await?;
    value.as_str().context("the map does not say where it is")?.parse().context("no number")
}

/// Slides over the map; then once each frame, where a frame is late when the next one does not begin
/// in time.
const SLIDE: &str = "
    const map = document.querySelector('.map[role=slider]');
    map.scrollIntoView({ block: 'center' });
    const box = map.getBoundingClientRect();
    const touch = (type, i) => map.dispatchEvent(new PointerEvent(type, {
        bubbles: true, buttons: 1, pointerId: 1,
        clientX: box.left + 70 + (box.width - 90) * ((i * 7) % 100) / 100,
        clientY: box.top + 20 + (box.height - 60) * ((i * 3) % 100) / 100,
    }));
    const views = () => document.querySelector('.views');
    const found = await timed(views, (i) => touch('pointermove', i));
    let last = await frame(), late = 0;
    for (let i = 0; i < 120; i += 1) {
        touch('pointermove', i);
        const now = await frame();
        if (now - last > 1000 / 60 * 1.5) late += 1;
        last = now;
    }
    return { ...found, late };";

/// Measures a finger's move over the map, while the answer is still refined and after. No time is
/// asserted here, only that the views really follow.
pub async fn speed(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("tire-fit").await?;
    tab.until("the map", &format!("document.querySelector('{MAP}')")).await?;
    let named = if look.phone { "map_slide_phone" } else { "map_slide" };
    for (slowdown, name) in [(1, "full speed"), (4, "4 times slowed")] {
        tab.driver()
            .cdp()
            .send_raw("Emulation.setCPUThrottlingRate", json!({ "rate": slowdown }))
            .await?;
        let found = tab.promise(&super::speed::timing(SLIDE)).await?;
        let still = found["still"].as_u64().context("no count came back")?;
        ensure!(still == 0, "the views stood still in {still} of 60 moves: {found}");
        println!(
            "measured: {named}/{name}: median {} ms, 95th percentile {} ms, {} of 120 frames late",
            found["median"], found["nearly_worst"], found["late"]
        );
    }
    tab.close().await
}
