//! A person lets the page look for the best plan, takes one, and asks why not another.

use std::sync::Arc;
use std::time::Duration;

use anyhow::{Context, Result, ensure};
use buildfile::Build;
use fitment::measure::Known;
use fitment::truck::{Hole, LayoutKind, Member, Part, Pivot, Turning};
use serde_json::json;
use thirtyfour::By;

use crate::axe;
use crate::look::Look;
use crate::stage::{self, Tab, Tools};

const DONE: &str =
    "document.querySelector('.plans [role=status]')?.textContent.startsWith('Found')";

/// A plan is there at once; the best is planned with one tap, taken back and planned again; a pick by
/// hand is told why it is none of the best and what would be better; a target that cannot be met
/// says what would give.
pub async fn play(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("corrections").await?;
    tab.until("a first plan", "document.querySelector('.suggestion h3')").await?;
    tab.until("the ranking to stand", DONE).await?;
    tab.answered().await?;
    tab.picture("plans").await?;
    show(&tab, ".plans").await?;
    tab.picture("plans-list").await?;
    // The owner's own plan is none of the best, and is told why.
    tab.until("why not", "document.querySelector('.why-not p')?.textContent.length > 20").await?;
    let before = numbers(&tab).await?;
    tab.click("ol.suggestions > li:first-child .suggestion-foot button").await?;
    tab.until("the mark", "document.querySelector('ol.suggestions > li.on .planned-mark')").await?;
    tab.until("nothing to be told", "!document.querySelector('.why-not')").await?;
    ensure!(tab.script(&format!("return Boolean({DONE})")).await? == json!(true), "it began anew");
    let after = numbers(&tab).await?;
    ensure!(before != after, "the numbers stand still: {before}");
    show(&tab, "ol.suggestions > li.on").await?;
    tab.picture("plans-planned").await?;
    tab.no_sideways_scroll().await?;
    axe::no_violations(&tab).await?;
    // What to get, how long, and what to do in which order: beneath the plan and on the sheet.
    tab.click(".job-card > summary").await?;
    tab.until("the order of work", "document.querySelectorAll('.job-card .job h3').length > 3")
        .await?;
    ensure!(tab.words().await?.contains("eye to eye"), "the bar has no length");
    show(&tab, ".job-card").await?;
    tab.picture("plans-job").await?;
    axe::no_violations(&tab).await?;
    tab.turn_to("sheet").await?;
    tab.reads("eye to eye").await?;
    tab.turn_to("corrections").await?;
    tab.until("the ranking again", DONE).await?;
    // Undone, and planned again by what is said to be better.
    tab.click("[aria-label='Undo']:not(:disabled)").await?;
    tab.until("the plan from before", "document.querySelector('.why-not button')").await?;
    ensure!(numbers(&tab).await? == before, "undo did not bring the numbers back");
    show(&tab, ".why-not").await?;
    tab.picture("plans-why-not").await?;
    tab.click(".why-not button").await?;
    tab.until("other numbers", &format!("{NUMBERS} !== {before}")).await?;
    // Every target of a plan, with what it is judged by.
    tab.click("ol.suggestions > li:first-child summary").await?;
    tab.until("the table", "document.querySelectorAll('.plan-table tbody tr').length > 5").await?;
    show(&tab, ".plan-table").await?;
    tab.picture("plans-targets").await?;
    tab.no_sideways_scroll().await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// A caster nobody can bring: the page says what fights, and one tap allows for it.
pub async fn conflict(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    tab.turn_to("corrections").await?;
    tab.until("the ranking to stand", DONE).await?;
    tab.click(".targets > summary").await?;
    // The list is drawn once it is opened.
    tab.until(
        "the targets",
        "[...document.querySelectorAll('.targets li')].some((li) => li.textContent.startsWith('Caster'))",
    )
    .await?;
    tab.script(
        "const row = [...document.querySelectorAll('.targets li')].find((li) => li.textContent.startsWith('Caster'));\
         row.querySelector('summary').click(); row.scrollIntoView({ block: 'center' })",
    )
    .await?;
    tab.picture("plans-judged-by").await?;
    tab.fill("caster_deg-0", "14").await?;
    tab.fill("caster_deg-1", "15").await?;
    tab.click(".own-band[open] .row-buttons button").await?;
    // What fought before is on the page until the search begins anew, so the new one is waited for.
    tab.until(
        "what fights over caster",
        &format!(
            "{DONE} && document.querySelector('.clash button') && \
             [...document.querySelectorAll('.clash p')].some((p) => /caster/i.test(p.textContent))"
        ),
    )
    .await?;
    // Called out in a line, so that the best plan stays in sight; told once opened.
    show(&tab, ".plans").await?;
    tab.picture("plans-fight").await?;
    tab.click(".clash > summary").await?;
    show(&tab, ".clash").await?;
    tab.picture("plans-clash").await?;
    axe::no_violations(&tab).await?;
    let words = tab.script("return document.querySelector('.clash p').textContent").await?;
    tab.click(".clash button").await?;
    tab.until(
        "it to be allowed",
        &format!("{DONE} && document.querySelector('.clash p')?.textContent !== {words}"),
    )
    .await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// A long search has a plan at once, is stopped, goes on, begins anew when the height changes, and
/// leaves every frame to the finger.
pub async fn long(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (_server, _profile, tab) = stage::first_visit(&tools, look).await?;
    open_long_shelf(&tab).await?;
    // The worker starts once the page has settled, so that the first plan does not wait for it.
    let mut targets = serde_json::Value::Null;
    for _ in 0..50 {
        targets = tab.driver().cdp().send_raw("Target.getTargets", json!({})).await?;
        if targets.to_string().contains("\"worker\"") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    ensure!(targets.to_string().contains("\"worker\""), "no worker: {targets}");
    let found = tab.promise(&format!("(async () => {{ {WATCH} return look('hash') }})()")).await?;
    println!("measured: plan_search/first visit: {found}");
    let count = tab.script("return document.querySelector('.hunt p').textContent").await?;
    let count = count.as_str().context("no count")?;
    let digits: String = count.chars().filter(char::is_ascii_digit).collect();
    ensure!(digits.parse::<u64>().is_ok_and(|count| count >= 1_000_000), "{count}");
    tab.picture("plans-long").await?;
    // Another height: all is looked for again. What stalls the page does so each time; a busy
    // machine does so once.
    let mut stalls = Vec::new();
    for height in [83, 79, 87] {
        let found = tab
            .promise(&format!("(async () => {{ {WATCH} return look('height', {height}) }})()"))
            .await?;
        println!("measured: plan_search/another height: {found}");
        if found["longest_frame_ms"].as_f64().is_some_and(|ms| ms < 100.0) {
            stalls.clear();
            break;
        }
        stalls.push(found);
    }
    ensure!(stalls.is_empty(), "it stalls each time: {stalls:?}");
    // Stopped on the way, it keeps what it has.
    tab.driver().cdp().send_raw("Emulation.setCPUThrottlingRate", json!({ "rate": 4 })).await?;
    tab.promise(&format!("(async () => {{ {WATCH} return look('stop', 61) }})()")).await?;
    tab.driver().cdp().send_raw("Emulation.setCPUThrottlingRate", json!({ "rate": 1 })).await?;
    tab.until("it to stop", &format!("{STATUS}.startsWith('Stopped')")).await?;
    ensure!(
        tab.script("return Boolean(document.querySelector('.suggestion h3'))").await?
            == json!(true)
    );
    tab.picture("plans-stopped").await?;
    tab.press("Go on looking").await?;
    tab.until("all of it", DONE).await?;
    tab.quiet_console().await?;
    tab.close().await
}

/// Where a browser has no workers the search goes on between the frames.
pub async fn without_worker(tools: Arc<Tools>, look: Look) -> Result<()> {
    let (server, _profile, tab) = stage::first_visit(&tools, look).await?;
    let gone = json!({ "source": "delete globalThis.Worker" });
    tab.driver().cdp().send_raw("Page.addScriptToEvaluateOnNewDocument", gone).await?;
    tab.visit(&stage::address(&server)).await?;
    tab.reload().await?;
    ensure!(tab.script("return typeof Worker").await? == json!("undefined"), "there is a worker");
    open_long_shelf(&tab).await?;
    let found = tab.promise(&format!("(async () => {{ {WATCH} return look('hash') }})()")).await?;
    println!("measured: plan_search/without a worker: {found}");
    let found =
        tab.promise(&format!("(async () => {{ {WATCH} return look('height', 83) }})()")).await?;
    println!("measured: plan_search/without a worker, another height: {found}");
    tab.quiet_console().await?;
    tab.close().await
}

/// Where the search is, in words.
const STATUS: &str = "document.querySelector('.plans [role=status]').textContent";

/// Defines `look(how, height)`: sets the search off and times its first plan, its end and the longest
/// frame.
const WATCH: &str = "
    const frame = () => new Promise((done) => requestAnimationFrame(done));
    const status = () => document.querySelector('.plans [role=status]')?.textContent ?? '';
    const look = async (how, height) => {
        await frame();
        const from = performance.now();
        let last = from, longest = 0, frames = 0, first = null, left = false;
        if (how === 'hash') location.hash = 'corrections';
        else {
            const field = document.querySelector('#f-front\\\\.planned\\\\.lift_mm');
            field.value = String(height);
            field.dispatchEvent(new InputEvent('input', { bubbles: true }));
        }
        while (performance.now() - from < 30000) {
            await frame();
            const now = performance.now();
            frames += 1;
            longest = Math.max(longest, now - last);
            last = now;
            left ||= status().startsWith('Looking');
            if (left && first === null && document.querySelector('.suggestion h3')) {
                first = now - from;
                if (how === 'stop') {
                    document.querySelector('.hunt button').click();
                    return null;
                }
            }
            if (left && status().startsWith('Found')) break;
        }
        return { first_plan_ms: first, all_ms: performance.now() - from, longest_frame_ms: longest, frames };
    };";

/// Opens a build whose shelf has over a million combinations.
async fn open_long_shelf(tab: &Tab) -> Result<()> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("long.json");
    std::fs::write(&file, buildfile::json::to_json(&long_shelf())?)?;
    tab.click(".build-name").await?;
    tab.until("the dialog", "document.querySelector('#open-file')").await?;
    tab.driver().find(By::Css("#open-file")).await?.send_keys(file.to_string_lossy()).await?;
    tab.until(
        "the build to be open",
        "document.querySelector('.build-name').textContent.includes('Long shelf')",
    )
    .await?;
    tab.press("Close").await
}

/// Six kinds of parts, nine or ten choices each.
fn long_shelf() -> Build {
    let mut build = Build::blank(LayoutKind::RadiusArms);
    build.name = "Long shelf".into();
    let Some(axle) = &mut build.truck.front else { return build };
    axle.sitting.lift_mm = Known::exact(75.0);
    axle.planned = axle.sitting.clone();
    let holes = |step: f64, ahead: f64| -> Vec<Hole> {
        let hole = |n: u32| Hole {
            name: n.to_string(),
            x_mm: Known::exact(ahead * f64::from(n % 3)),
            y_mm: Known::exact(0.0),
            z_mm: Known::exact(step * f64::from(n)),
        };
        (1..10).map(hole).collect()
    };
    let mut shelf = vec![
        Part::bracket(Pivot::PanhardAxle, holes(10.0, 0.0), 0),
        Part::bracket(Pivot::PanhardChassis, holes(-8.0, 0.0), 0),
        Part::bracket(Pivot::Arm, holes(-8.0, 12.0), 0),
        Part::length(Member::Panhard, 0.0, [-25.0, 40.0]),
        Part::length(Member::DragLink, 0.0, [-30.0, 30.0]),
        Part::turn(Turning::CasterBush, 2.0, (2..11).map(|n| 0.5 * f64::from(n)).collect()),
    ];
    for of in [Member::Panhard, Member::DragLink] {
        shelf.extend(
            (0..6).map(|n| 4.0 * f64::from(n) - 9.0).map(|mm| Part::length(of, mm, [mm, mm])),
        );
    }
    axle.shelf = shelf.into_iter().collect();
    build
}

/// What stands in the table that is always in view.
const NUMBERS: &str = "document.querySelector('.before-after tbody').innerText";

async fn numbers(tab: &Tab) -> Result<serde_json::Value> {
    tab.script(&format!("return {NUMBERS}")).await
}

async fn show(tab: &Tab, selector: &str) -> Result<()> {
    let found = json!(selector);
    tab.script(&format!(
        "document.querySelector({found}).scrollIntoView({{ block: 'start' }}); scrollBy(0, -170)"
    ))
    .await?;
    Ok(())
}
