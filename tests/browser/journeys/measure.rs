//! A person under the truck: readings by the keys and by the phone, whatever the phone's sensor does, what a
//! set of them comes to, and nothing lost when the tab goes.

use std::sync::Arc;

use anyhow::{Result, ensure};
use serde_json::json;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

/// The button for a new set.
pub const NEW_SET: &str = "New set: after a part, an alignment, a season";

/// Picks a measurement by its name.
pub async fn pick(tab: &Tab, name: &str) -> Result<()> {
    tab.script("for (const d of document.querySelectorAll('main details')) d.open = true").await?;
    tab.script(&format!(
        "[...document.querySelectorAll('.others button')].find(b => b.textContent === {}).click()",
        json!(name)
    ))
    .await?;
    tab.until(name, &format!("document.querySelector('.take h2').textContent === {}", json!(name)))
        .await
}

/// Holds the phone so for a while: beta by a formula of the sample's number `i`.
async fn hold(tab: &Tab, beta: &str, samples: u32) -> Result<()> {
    tab.promise(&format!(
        "new Promise(done => {{ let i = 0; const t = setInterval(() => {{ \
         window.dispatchEvent(new DeviceOrientationEvent('deviceorientation', {{ alpha: 0, beta: {beta}, gamma: 0 }})); \
         if (++i >= {samples}) {{ clearInterval(t); done(true); }} }}, 25); }})"
    ))
    .await?;
    Ok(())
}

/// Takes one reading by typing it.
pub async fn read(tab: &Tab, name: &str, text: &str) -> Result<()> {
    pick(tab, name).await?;
    tab.fill("reading", text).await?;
    tab.click(".entry button[type=submit]").await?;
    tab.until(&format!("{name}, {text}"), "document.getElementById('reading').value === ''").await
}

/// Waits until a line of a list says a number.
async fn comes_to(tab: &Tab, what: &str, number: &str) -> Result<()> {
    let line = json!(format!("{what} {number} "));
    tab.until(
        &format!("{what} {number}"),
        &format!("[...document.querySelectorAll('.readings li p')].some(p => p.textContent.startsWith({line}))"),
    )
    .await
}

/// A morning's readings: a sweep, a frame's rake, strings and tapes on both sides, toe at two heights; what
/// they come to, by hand.
///
/// Caster by sweep: tan τ·(cos γ₁ + cos γ₂)·sin δ = sin γ₁ − sin γ₂ + tan σ·(cos γ₁ − cos γ₂)·cos δ with
/// γ 0.1° and 1.1° at δ = ±20°, σ 9°: −1.459°; for small angles (0.1° − 1.1°)/(2 sin 20°) = −1.462°
/// (after D. B. January, SAE 850219). Toe: 2 asin(6 / (2 · 878 mm)) = 0.392°, the diameter by UN Regulation
/// 30 from 315/75R16.
pub async fn sweep(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("measure").await?;
    let readings = [
        ("Camber, left, wheel turned 20° left", "0.1"),
        ("Camber, left, wheel turned 20° right", "1.1"),
        ("Kingpin inclination, left", "9"),
        ("Frame rail, nose down", "0.6"),
        ("Frame rail to wheel, left", "311"),
        ("Frame rail to wheel, right", "287"),
        ("Hub to arch, left", "636"),
        ("Hub to arch, right", "633"),
        ("Toe by tape", "6"),
        ("Toe by tape, 254 mm (10 in) above the floor", "5.6"),
    ];
    for (name, text) in readings {
        read(&tab, name, text).await?;
    }
    for (what, number) in [
        ("Caster by sweep, left", "−1.46°"),
        ("Caster against the frame, left", "−0.86°"),
        ("Axle off center, to the left", "12.0 mm"),
        ("Body higher on the left", "3.0 mm"),
        ("Toe by tape, as an angle", "0.39°"),
        ("Toe by tape, 254 mm (10 in) above the floor, as an angle", "0.39°"),
    ] {
        comes_to(&tab, what, number).await?;
    }
    tab.reads("the one for small angles gives −1.46°").await?;
    tab.reads("The two heights agree").await?;
    tab.script(
        "[...document.querySelectorAll('h2')].find(h => h.textContent === 'What this set comes to').scrollIntoView()",
    )
    .await?;
    tab.no_sideways_scroll().await?;
    axe::no_violations(&tab).await?;
    tab.picture("measure-worked").await?;
    // Ten readings in no file: said once, quietly, until one is saved.
    tab.reads("10 readings are in no file yet").await?;
    tab.click(".build-name").await?;
    tab.press("Save as file").await?;
    tab.press("Close").await?;
    tab.until("no reminder", "!document.body.innerText.includes('in no file yet')").await?;
    // The same morning in inches, by the keys.
    tab.press("in").await?;
    comes_to(&tab, "Axle off center, to the left", "1/2\"").await?;
    pick(&tab, "Panhard bar, eye to eye").await?;
    for key in ["3", "3", "1/4"] {
        tab.click(&format!(".keys button[aria-label='{key}']")).await?;
    }
    tab.until("the keys", "document.getElementById('reading').value === '33 1/4'").await?;
    tab.script("document.querySelector('.entry').scrollIntoView()").await?;
    tab.picture("measure-inch-keys").await?;
    tab.click(".entry button[type=submit]").await?;
    tab.reads("Taken: 33 1/4\".").await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// Three readings by the keys with a slip among the sets, the tab killed in mid-reading, the log.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (server, profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("measure").await?;
    tab.reads("usually good to").await?;
    tab.picture("measure-first").await?;
    axe::no_violations(&tab).await?;
    pick(&tab, "Panhard bar, eye to eye").await?;
    for text in ["880", "881", "879"] {
        for key in text.chars() {
            tab.click(&format!(".keys button[aria-label='{key}']")).await?;
        }
        tab.until("the keys", &format!("document.getElementById('reading').value === '{text}'"))
            .await?;
        tab.click(".entry button[type=submit]").await?;
        tab.until("the reading", "document.getElementById('reading').value === ''").await?;
    }
    tab.reads("Mean 880.0 mm").await?;
    // Half a reading, and the tab is gone: its process ends, nothing is asked of the page.
    tab.fill("reading", "88").await?;
    ensure!(tab.driver().cdp().send_raw("Page.crash", json!({})).await.is_err(), "it lives on");
    drop(tab);

    let tab = Tab::open(&tools, &profile, look).await?;
    tab.visit(&stage::address(&server)).await?;
    tab.turn_to("measure").await?;
    ensure!(tab.value("reading").await? == "88", "half a reading was lost");
    tab.fill("reading", "").await?;
    // Inches typed as millimeters stand out.
    pick(&tab, "Drag link, eye to eye").await?;
    tab.fill("reading", "36.5").await?;
    tab.click(".entry button[type=submit]").await?;
    tab.reads("Look again").await?;
    tab.reads("inches").await?;
    tab.picture("measure-slip").await?;
    // A second set beside the first.
    tab.press(NEW_SET).await?;
    pick(&tab, "Panhard bar, eye to eye").await?;
    tab.fill("reading", "884").await?;
    tab.click(".entry button[type=submit]").await?;
    tab.reads("How it went").await?;
    tab.no_sideways_scroll().await?;
    axe::no_violations(&tab).await?;
    tab.picture("measure-log").await?;
    tab.turn_to("lift").await?;
    tab.until("the answers", "document.querySelector('main#page.at-lift table')").await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// The phone as a gauge: turned end for end, noisy, denied, not there.
pub async fn gauge(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("measure").await?;
    pick(&tab, "Panhard bar, angle").await?;
    // Not there: the browser's own event, without numbers, or none at all.
    tab.press("Use this phone as the gauge").await?;
    tab.reads("no sensor that tells which way is down").await?;
    // Denied.
    tab.script("DeviceOrientationEvent.requestPermission = () => Promise.resolve('denied')")
        .await?;
    tab.press("Try again").await?;
    tab.reads("Allow motion sensors").await?;
    // Granted: 6.2° by a phone that is 0.8° off, turned end for end. Each capture is heard and felt, for a
    // screen nobody sees.
    tab.script(
        "window.told = [0, 0]; navigator.vibrate = () => { window.told[1]++; return true; }; \
         const make = AudioContext.prototype.createOscillator; \
         AudioContext.prototype.createOscillator = function () { window.told[0]++; return make.call(this); }",
    )
    .await?;
    tab.script("DeviceOrientationEvent.requestPermission = () => Promise.resolve('granted')")
        .await?;
    tab.press("Try again").await?;
    tab.reads("Waiting").await?;
    hold(&tab, "7.0", 90).await?;
    tab.reads("turn it end for end").await?;
    tab.picture("gauge-turn").await?;
    hold(&tab, "40 * Math.sin(i)", 30).await?;
    hold(&tab, "-5.4", 160).await?;
    tab.reads("Taken, scatter").await?;
    tab.reads("6.20°").await?;
    let told = tab.script("return window.told").await?;
    ensure!(told == json!([2, 2]), "sounds and shakes of the two captures: {told}");
    // Noisy: a long mean, its error known.
    tab.press("Read it once more").await?;
    tab.reads("Waiting").await?;
    hold(&tab, "7.0 + 0.5 * Math.sin(i * 2.399)", 420).await?;
    tab.reads("Taken, scatter").await?;
    tab.reads("Once more.").await?;
    tab.picture("gauge-done").await?;
    axe::no_violations(&tab).await?;
    // A driveshaft's slope, for its look-up: 4.1° by a phone that is 0.5° off.
    tab.script("location.hash = 'look-ups/driveline'").await?;
    tab.reads("Joint to joint along the truck").await?;
    tab.press("Use this phone as the gauge").await?;
    tab.reads("Waiting").await?;
    hold(&tab, "4.6", 90).await?;
    tab.reads("turn it end for end").await?;
    hold(&tab, "40 * Math.sin(i)", 30).await?;
    hold(&tab, "-3.6", 160).await?;
    tab.reads("Taken, scatter").await?;
    tab.reads("4.10°").await?;
    tab.picture("gauge-shaft").await?;
    tab.quiet_console().await?;
    tab.close().await
}
